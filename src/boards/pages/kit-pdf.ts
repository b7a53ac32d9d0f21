/** The kit as one print-ready PDF: cover, camera sheet, one page per board. */
import { PDFDocument, PrintScaling, StandardFonts } from "pdf-lib";
import { kitRanges, type RoleKind } from "../kit.ts";
import type { KitWords, PrintLanguage } from "../words/kit-words.ts";
import { kitWordsEn } from "../words/kit-words-en.ts";
import { kitWordsEs } from "../words/kit-words-es.ts";
import { drawBoardPage } from "./board-page.ts";
import { drawCoverPage } from "./cover-page.ts";
import type { KitPage } from "./kit-page.ts";
import { type PaperName, papers } from "./paper.ts";
import { Pen, type Typeface } from "./pen.ts";
import { drawSheetPage } from "./sheet-page.ts";

export interface KitContent {
  readonly paper: PaperName;
  /** Roles whose boards are printed, all by default. */
  readonly roles?: readonly RoleKind[];
  /** With the camera sheet (its squares are 25 mm on any paper). */
  readonly cameraSheet?: boolean;
  /** English by default. */
  readonly language?: PrintLanguage;
}

export const kitWords: Readonly<Record<PrintLanguage, KitWords>> = {
  en: kitWordsEn,
  es: kitWordsEs,
};

/** The pages in their order. */
export function kitPages(content: KitContent): KitPage[] {
  const boards = kitRanges
    .filter(({ kind }) => content.roles?.includes(kind) ?? true)
    .flatMap(({ first, last }) => Array.from({ length: last - first + 1 }, (_, i) => first + i));
  return [
    { kind: "cover" },
    ...(content.cameraSheet ? [{ kind: "camera sheet" } as const] : []),
    ...boards.map((id) => ({ kind: "board", id }) as const),
  ];
}

/** Fixed, so that the same program writes the same bytes. */
const edition = new Date(Date.UTC(2025, 0, 1));

/** The PDF's bytes; the same content gives the same bytes. */
export async function buildKitPdf(content: KitContent): Promise<Uint8Array> {
  const paper = papers[content.paper];
  const pdf = await PDFDocument.create({ updateMetadata: false });
  const words = kitWords[content.language ?? "en"];
  pdf.setTitle(`${words.title}, ${paper.name}`);
  pdf.setSubject(words.subject);
  pdf.setCreator("Plumbshot");
  pdf.setProducer("Plumbshot");
  pdf.setLanguage(words.language);
  pdf.setCreationDate(edition);
  pdf.setModificationDate(edition);
  // Tells the print dialogue not to offer "fit to page" as its first choice.
  pdf.catalog.getOrCreateViewerPreferences().setPrintScaling(PrintScaling.None);

  const type: Typeface = {
    regular: await pdf.embedFont(StandardFonts.Helvetica),
    bold: await pdf.embedFont(StandardFonts.HelveticaBold),
  };
  const pages = kitPages(content);
  for (const [index, page] of pages.entries()) {
    const pen = new Pen(pdf, type, paper.widthMm, paper.heightMm, words);
    const number = { page: index + 1, pages: pages.length };
    if (page.kind === "cover") drawCoverPage(pen, paper, pages);
    else if (page.kind === "camera sheet") drawSheetPage(pen, paper, number);
    else drawBoardPage(pen, paper, page.id, number);
  }
  return pdf.save();
}

/** The pages on building as a PDF, on A4 or Letter, in the kit's languages. */
import { PDFDocument, StandardFonts } from "pdf-lib";
import { type Paper, type PaperName, papers } from "../pages/paper.ts";
import { Pen, type Typeface } from "../pages/pen.ts";
import type { PrintLanguage } from "../words/kit-words.ts";
import { buildingWords } from "./all-words.ts";
import { drawingOf } from "./drawings.ts";
import type { LineStyle, Mark } from "./marks.ts";
import type { BuildingSection, BuildingWords } from "./words.ts";

/** Fixed, so that the same program writes the same bytes. */
const edition = new Date(Date.UTC(2025, 0, 1));
const rim = 15;
const bodyPt = 9.5;
const lineOf: Readonly<Record<LineStyle, { widthMm: number; dashMm?: number[] }>> = {
  visible: { widthMm: 0.4 },
  thin: { widthMm: 0.18 },
  asked: { widthMm: 0.55 },
  centre: { widthMm: 0.18, dashMm: [4, 1.2, 0.8, 1.2] },
  phantom: { widthMm: 0.18, dashMm: [3, 0.8, 0.8, 0.8, 0.8, 0.8] },
};

interface Page {
  readonly pen: Pen;
  y: number;
}

export const buildBuildingPdf = (
  paperName: PaperName,
  language: PrintLanguage,
): Promise<Uint8Array> => buildLeafletPdf(buildingWords[language], paperName, language);

/** Sections one below the other, none cut by the end of a page. */
export async function buildLeafletPdf(
  words: BuildingWords,
  paperName: PaperName,
  language: PrintLanguage,
): Promise<Uint8Array> {
  const paper = papers[paperName];
  const pdf = await PDFDocument.create({ updateMetadata: false });
  pdf.setTitle(`Plumbshot: ${words.title}`);
  pdf.setCreator("Plumbshot");
  pdf.setProducer("Plumbshot");
  pdf.setLanguage(language);
  pdf.setCreationDate(edition);
  pdf.setModificationDate(edition);
  const type: Typeface = {
    regular: await pdf.embedFont(StandardFonts.Helvetica),
    bold: await pdf.embedFont(StandardFonts.HelveticaBold),
  };
  const pages: Page[] = [];
  const newPage = (): Page => {
    const pen = new Pen(pdf, type, paper.widthMm, paper.heightMm);
    const page = { pen, y: paper.heightMm / 2 - rim - 4 };
    pages.push(page);
    return page;
  };
  let page = newPage();
  drawHead(page, paper, words);
  for (const section of words.sections) {
    const height = heightOf(page.pen, paper, section, words);
    if (section.newPage || page.y - height < -paper.heightMm / 2 + rim + 8) {
      page = newPage();
    }
    drawSection(page, paper, section, words);
  }
  for (const [index, { pen }] of pages.entries()) {
    const y = -paper.heightMm / 2 + rim - 4;
    pen.text(words.page(index + 1, pages.length), paper.widthMm / 2 - rim, y, {
      ...{ sizePt: 7, align: "right" },
    });
  }
  return pdf.save();
}

const leftOf = (paper: Paper): number => -paper.widthMm / 2 + rim;
const columnOf = (paper: Paper): number => paper.widthMm - 2 * rim;

function drawHead(page: Page, paper: Paper, words: BuildingWords): void {
  const { pen } = page;
  const left = leftOf(paper);
  pen.text(words.title, left, page.y, { sizePt: 20, bold: true });
  page.y -= 8;
  page.y = pen.paragraph(words.intro, left, page.y, columnOf(paper), { sizePt: bodyPt }) - 1;
  page.y =
    pen.paragraph(words.caution, left, page.y, columnOf(paper), { sizePt: bodyPt, bold: true }) - 3;
}

/** Height that a section takes, mm, so that none is cut by the page's end. */
function heightOf(pen: Pen, paper: Paper, section: BuildingSection, words: BuildingWords): number {
  const leading = (bodyPt * 1.35 * 25.4) / 72;
  const lines = section.paragraphs.reduce(
    (sum, text) =>
      sum + Math.ceil((1.06 * pen.textWidth(text, { sizePt: bodyPt })) / columnOf(paper)),
    0,
  );
  const drawing = section.drawing ? drawingOf(section.drawing, words).heightMm + 4 : 0;
  const parts = section.parts ? 6 + 4.6 * section.parts.length : 0;
  const pairs = (section.pairs ?? []).reduce((sum, pair) => sum + pairHeight(pen, paper, pair), 0);
  return 8 + drawing + leading * lines + section.paragraphs.length + parts + pairs + 4;
}

/** What is seen stands over what to do, indented. */
const indent = 4;
const pairHeight = (pen: Pen, paper: Paper, [, what]: readonly [string, string]): number => {
  const width = 1.06 * pen.textWidth(what, { sizePt: bodyPt });
  return ((bodyPt * 1.35 * 25.4) / 72) * (1 + Math.ceil(width / (columnOf(paper) - indent))) + 1.2;
};

function drawPairs(page: Page, paper: Paper, pairs: NonNullable<BuildingSection["pairs"]>): void {
  const { pen } = page;
  const left = leftOf(paper);
  for (const [seen, what] of pairs) {
    page.y = pen.paragraph(seen, left, page.y, columnOf(paper), { sizePt: bodyPt, bold: true });
    page.y =
      pen.paragraph(what, left + indent, page.y, columnOf(paper) - indent, { sizePt: bodyPt }) -
      1.2;
  }
}

function drawSection(
  page: Page,
  paper: Paper,
  section: BuildingSection,
  words: BuildingWords,
): void {
  const { pen } = page;
  const left = leftOf(paper);
  pen.text(section.title, left, page.y, { sizePt: 12.5, bold: true });
  page.y -= 3;
  if (section.drawing) {
    const drawing = drawingOf(section.drawing, words);
    for (const mark of drawing.marks) {
      drawMark(pen, mark, left, page.y);
    }
    page.y -= drawing.heightMm + 2;
  }
  page.y -= 3;
  for (const text of section.paragraphs) {
    page.y = pen.paragraph(text, left, page.y, columnOf(paper), { sizePt: bodyPt }) - 1;
  }
  if (section.pairs) {
    drawPairs(page, paper, section.pairs);
  }
  if (section.parts) {
    drawParts(page, paper, section.parts, section.partsTitle ?? words.partsTitle);
  }
  page.y -= 5;
}

function drawParts(
  page: Page,
  paper: Paper,
  parts: NonNullable<BuildingSection["parts"]>,
  title: string,
): void {
  const { pen } = page;
  const left = leftOf(paper);
  const right = left + columnOf(paper);
  pen.text(title, left, page.y, { sizePt: 9, bold: true });
  pen.line(left, page.y - 1.4, right, page.y - 1.4, 0.2);
  page.y -= 5.2;
  for (const [letter, what, count] of parts) {
    pen.text(letter, left, page.y, { sizePt: 9, bold: true });
    pen.text(what, left + 8, page.y, { sizePt: 9 });
    pen.text(count, right, page.y, { sizePt: 9, align: "right" });
    page.y -= 4.6;
  }
}

function drawMark(pen: Pen, mark: Mark, left: number, top: number): void {
  if (mark.kind === "text") {
    const { x, y, words, align, bold } = mark;
    pen.text(words.replace("≥", ">="), left + x, top - y, { sizePt: 8, align, bold });
    return;
  }
  const { widthMm, dashMm } = lineOf[mark.style];
  const points = mark.kind === "circle" ? roundPoints(mark) : mark.points;
  for (let at = 0; at + 3 < points.length; at += 2) {
    pen.line(
      left + points[at],
      top - points[at + 1],
      left + points[at + 2],
      top - points[at + 3],
      widthMm,
      // A dash on every short piece of a circle would fill it: thin and whole instead.
      mark.kind === "circle" ? undefined : dashMm,
    );
  }
}

function roundPoints({ x, y, radius }: Extract<Mark, { kind: "circle" }>): number[] {
  const pieces = Math.max(24, Math.round(radius * 3));
  return Array.from({ length: pieces + 1 }, (_, at) => (2 * Math.PI * at) / pieces).flatMap(
    (turn) => [x + radius * Math.cos(turn), y + radius * Math.sin(turn)],
  );
}

/** The files in calibration-boards beside the kit. */
export const buildingFiles: readonly {
  readonly file: string;
  readonly paper: PaperName;
  readonly language: PrintLanguage;
}[] = (["A4", "Letter"] as const).flatMap((paper) =>
  (["en", "es"] as const).map((language) => ({
    file: `plumbshot-building-${paper.toLowerCase()}${language === "en" ? "" : "-es"}.pdf`,
    paper,
    language,
  })),
);

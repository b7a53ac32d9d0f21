/** The field guide's pages as a PDF, made as the pages on building are. */
import { buildLeafletPdf } from "../building/building-pdf.ts";
import type { PaperName } from "../pages/paper.ts";
import type { PrintLanguage } from "../words/kit-words.ts";
import { guideWords } from "./all-words.ts";

export const buildGuidePdf = (paper: PaperName, language: PrintLanguage): Promise<Uint8Array> =>
  buildLeafletPdf(guideWords(language), paper, language);

/** The files in calibration-boards beside the kit. */
export const guideFiles = (["A4", "Letter"] as const).flatMap((paper) =>
  (["en", "es"] as const).map((language) => ({
    file: `plumbshot-field-guide-${paper.toLowerCase()}${language === "en" ? "" : "-es"}.pdf`,
    paper,
    language,
  })),
);

import buildingA4 from "../../../calibration-boards/plumbshot-building-a4.pdf?url";
import buildingA4Es from "../../../calibration-boards/plumbshot-building-a4-es.pdf?url";
import buildingLetter from "../../../calibration-boards/plumbshot-building-letter.pdf?url";
import buildingLetterEs from "../../../calibration-boards/plumbshot-building-letter-es.pdf?url";
import guideA4 from "../../../calibration-boards/plumbshot-field-guide-a4.pdf?url";
import guideA4Es from "../../../calibration-boards/plumbshot-field-guide-a4-es.pdf?url";
import guideLetter from "../../../calibration-boards/plumbshot-field-guide-letter.pdf?url";
import guideLetterEs from "../../../calibration-boards/plumbshot-field-guide-letter-es.pdf?url";
import kitA4 from "../../../calibration-boards/plumbshot-kit-a4.pdf?url";
import kitA4Es from "../../../calibration-boards/plumbshot-kit-a4-es.pdf?url";
import kitLetter from "../../../calibration-boards/plumbshot-kit-letter.pdf?url";
import kitLetterEs from "../../../calibration-boards/plumbshot-kit-letter-es.pdf?url";
import largeA3 from "../../../calibration-boards/plumbshot-large-boards-a3.pdf?url";
import largeA3Es from "../../../calibration-boards/plumbshot-large-boards-a3-es.pdf?url";
import largeTabloid from "../../../calibration-boards/plumbshot-large-boards-tabloid.pdf?url";
import largeTabloidEs from "../../../calibration-boards/plumbshot-large-boards-tabloid-es.pdf?url";

/** Addresses of the printable boards and of the pages to read, by language and paper. */
export const kitPdf = {
  en: { a4: kitA4, letter: kitLetter },
  es: { a4: kitA4Es, letter: kitLetterEs },
} as const;
export const largePdf = {
  en: { a4: largeA3, letter: largeTabloid },
  es: { a4: largeA3Es, letter: largeTabloidEs },
} as const;
export const buildingPdf = {
  en: { a4: buildingA4, letter: buildingLetter },
  es: { a4: buildingA4Es, letter: buildingLetterEs },
} as const;

export const guidePdf = {
  en: { a4: guideA4, letter: guideLetter },
  es: { a4: guideA4Es, letter: guideLetterEs },
} as const;

/** The print's language: the app's, where the kit is printed in it. */
export const printLanguage = (locale: string): "en" | "es" =>
  locale.toLowerCase().startsWith("es") ? "es" : "en";

import kitA4 from "../../../calibration-boards/plumbshot-kit-a4.pdf?url";
import kitLetter from "../../../calibration-boards/plumbshot-kit-letter.pdf?url";
import largeA3 from "../../../calibration-boards/plumbshot-large-boards-a3.pdf?url";
import largeTabloid from "../../../calibration-boards/plumbshot-large-boards-tabloid.pdf?url";

/** Addresses of the printable boards, by paper. */
export const kitPdf = { a4: kitA4, letter: kitLetter } as const;
export const largePdf = { a4: largeA3, letter: largeTabloid } as const;

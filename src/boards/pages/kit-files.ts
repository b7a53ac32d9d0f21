/** The PDFs in calibration-boards and what each of them holds. */
import type { KitContent } from "./kit-pdf.ts";

export const kitFiles: readonly { readonly file: string; readonly content: KitContent }[] = [
  { file: "plumbshot-kit-a4.pdf", content: { paper: "A4", cameraSheet: true } },
  { file: "plumbshot-kit-letter.pdf", content: { paper: "Letter", cameraSheet: true } },
  {
    file: "plumbshot-large-boards-a3.pdf",
    content: { paper: "A3", roles: ["floor point", "stand"] },
  },
  {
    file: "plumbshot-large-boards-tabloid.pdf",
    content: { paper: "Tabloid", roles: ["floor point", "stand"] },
  },
];

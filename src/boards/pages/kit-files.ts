/** The PDFs in calibration-boards and what each of them holds. */
import type { KitContent } from "./kit-pdf.ts";

interface KitFile {
  readonly file: string;
  readonly content: KitContent;
}

const inEnglish: readonly KitFile[] = [
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

/** The same pages in Spanish: `plumbshot-kit-a4-es.pdf`. */
const inSpanish = inEnglish.map(({ file, content }) => ({
  file: file.replace(".pdf", "-es.pdf"),
  content: { ...content, language: "es" as const },
}));

export const kitFiles: readonly KitFile[] = [...inEnglish, ...inSpanish];

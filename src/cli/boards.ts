/** `npm run boards`: writes the print-ready PDFs into calibration-boards. */
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { kitFiles } from "../boards/kit-files.ts";
import { buildKitPdf, kitPages } from "../boards/kit-pdf.ts";

const target =
  process.argv[2] ?? fileURLToPath(new URL("../../calibration-boards", import.meta.url));

await mkdir(target, { recursive: true });
for (const { file, content } of kitFiles) {
  const bytes = await buildKitPdf(content);
  await writeFile(join(target, file), bytes);
  const pages = kitPages(content).length;
  console.log(`${file}: ${pages} pages, ${Math.ceil(bytes.length / 1024)} KB`);
}

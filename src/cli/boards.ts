/** `npm run boards [-- --out <folder>]`: writes the print-ready PDFs, into calibration-boards. */
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildBuildingPdf, buildingFiles } from "../boards/building/building-pdf.ts";
import { buildGuidePdf, guideFiles } from "../boards/guide/guide-pdf.ts";
import { kitFiles } from "../boards/pages/kit-files.ts";
import { buildKitPdf, kitPages } from "../boards/pages/kit-pdf.ts";
import { readArguments } from "./arguments.ts";

const help = {
  usage: "Usage: npm run boards [-- --out <folder>]",
  text: `Writes the printable boards, and the pages on how to build with them, as PDF files.

  --out <folder>   another folder than calibration-boards`,
};
const read = readArguments(help, { out: { type: "string" } }, null);
if (!read.ok) process.exit(read.status);
const target =
  read.values.out ?? fileURLToPath(new URL("../../calibration-boards", import.meta.url));

await mkdir(target, { recursive: true });
for (const { file, content } of kitFiles) {
  const bytes = await buildKitPdf(content);
  await writeFile(join(target, file), bytes);
  const pages = kitPages(content).length;
  console.log(`${file}: ${pages} pages, ${Math.ceil(bytes.length / 1024)} KB`);
}
for (const [files, build] of [
  [buildingFiles, buildBuildingPdf],
  [guideFiles, buildGuidePdf],
] as const) {
  for (const { file, paper, language } of files) {
    const bytes = await build(paper, language);
    await writeFile(join(target, file), bytes);
    console.log(`${file}: ${Math.ceil(bytes.length / 1024)} KB`);
  }
}

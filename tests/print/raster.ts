import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ensureDebian, onPath } from "../tools/debian.ts";

/** A page as a printer's program would rasterise it. */
export interface Raster {
  readonly width: number;
  readonly height: number;
  /** Grey, 0 black, row by row from the top. */
  readonly data: Uint8Array;
  readonly dpi: number;
}

const ensurePoppler = (): void =>
  ensureDebian(
    () => onPath("pdftoppm") && onPath("pdftotext"),
    ["poppler-utils"],
    "The print test (pdftoppm, pdftotext)",
  );

/** Renders pages first..last (from 1) with poppler's pdftoppm, one after the other. */
export function* rasterise(
  pdf: string,
  dpi: number,
  first: number,
  last: number,
): Generator<Raster> {
  ensurePoppler();
  const folder = mkdtempSync(join(tmpdir(), "print-"));
  try {
    const range = ["-f", String(first), "-l", String(last)];
    execFileSync("pdftoppm", ["-r", String(dpi), "-gray", ...range, pdf, join(folder, "page")]);
    const files = readdirSync(folder).sort();
    if (files.length !== last - first + 1)
      throw new Error(`${pdf}: ${files.length} pages rendered, ${last - first + 1} expected`);
    for (const file of files) yield readPgm(readFileSync(join(folder, file)), dpi);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The words on one page as poppler's pdftotext reads them. */
export function pageText(pdf: string, page: number): string {
  ensurePoppler();
  const range = ["-f", String(page), "-l", String(page)];
  return execFileSync("pdftotext", ["-layout", ...range, pdf, "-"], { encoding: "utf8" });
}

/** Number of pages, as pdftotext separates them with form feeds. */
export function countPages(pdf: string): number {
  ensurePoppler();
  const text = execFileSync("pdftotext", [pdf, "-"], { encoding: "utf8" });
  return text.split("\f").length - 1;
}

function readPgm(bytes: Uint8Array, dpi: number): Raster {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(
    Buffer.from(bytes.subarray(0, 64)).toString("latin1"),
  );
  if (!head) throw new Error("pdftoppm did not write an 8-bit PGM");
  const [width, height] = [Number(head[1]), Number(head[2])];
  const data = bytes.subarray(head[0].length);
  if (data.length !== width * height) throw new Error("the PGM's size does not fit its header");
  return { width, height, data, dpi };
}

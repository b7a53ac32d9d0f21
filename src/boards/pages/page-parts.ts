/** What the pages of the kit have in common: check bars, the up mark, lines of small print. */
import { type PageLayout, type Paper, printableRimMm } from "./paper.ts";
import type { Pen } from "./pen.ts";

/** Where a page stands in its document. */
export interface PageNumber {
  readonly page: number;
  readonly pages: number;
}

export const safetyLine =
  "The vehicle maker's procedure governs. This print helps to measure; it certifies no calibration.";

/** Ticks are this thin so that their middle can be read to a tenth of a millimetre. */
export const hairlineMm = 0.2;
export const smallPt = 7;

/** The horizontal check bar with its length in words. */
export function drawHorizontalBar(pen: Pen, { horizontal: bar }: PageLayout): void {
  const half = bar.lengthMm / 2;
  pen.line(-half, bar.atMm, half, bar.atMm, hairlineMm);
  for (const x of [-half, half])
    pen.line(x, bar.atMm - bar.tickMm, x, bar.atMm + bar.tickMm, hairlineMm);
  pen.text(`Check bar, across: ${bar.lengthMm} mm from tick to tick`, -half + 3, bar.atMm + 1.2, {
    sizePt: smallPt,
  });
}

/**
 * The vertical check bar. With `stemEndMm` it is interrupted: two ticks, each with a stem that ends
 * at that distance from the page's middle.
 */
export function drawVerticalBar(pen: Pen, { vertical: bar }: PageLayout, stemEndMm = 0): void {
  const half = bar.lengthMm / 2;
  for (const side of [1, -1]) {
    const y = side * half;
    pen.line(bar.atMm - bar.tickMm, y, bar.atMm + bar.tickMm, y, hairlineMm);
    if (stemEndMm > 0) pen.line(bar.atMm, y, bar.atMm, side * stemEndMm, hairlineMm);
  }
  if (stemEndMm === 0) pen.line(bar.atMm, -half, bar.atMm, half, hairlineMm);
}

/** A solid arrowhead and the words "This way up"; x and y are the arrow's lower left corner. */
export function drawUpMark(pen: Pen, x: number, y: number, heightMm: number): void {
  pen.fill([[x, y, x + heightMm, y, x + heightMm / 2, y + heightMm]]);
  pen.text("This way up", x + heightMm + 2.5, y + heightMm / 2 - 1.4, { sizePt: 11, bold: true });
}

export const paperWords = (paper: Paper): string =>
  `${paper.name}, ${paper.widthMm} x ${paper.heightMm} mm`;

/** "Plumbshot kit A4, page 3 of 51". */
export const pageWords = (paper: Paper, { page, pages }: PageNumber): string =>
  `Plumbshot kit ${paper.name}, page ${page} of ${pages}`;

/** x of the outermost printable point at the right. */
export const printableHalfWidth = (paper: Paper): number => paper.widthMm / 2 - printableRimMm;

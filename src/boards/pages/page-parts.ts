/** What the pages of the kit have in common: check bars, the up mark, lines of small print. */
import { barWords, type PageLayout, type Paper, printableRimMm } from "./paper.ts";
import type { Pen } from "./pen.ts";

/** Where a page stands in its document. */
export interface PageNumber {
  readonly page: number;
  readonly pages: number;
}

/** Ticks are this thin so that their middle can be read to a tenth of a millimetre. */
export const hairlineMm = 0.2;
export const smallPt = 7;

/**
 * The horizontal check bar with its length in words. Between `gapMm` the line is left out, for what
 * stands there; the ticks are what is read.
 */
export function drawHorizontalBar(
  pen: Pen,
  paper: Paper,
  { horizontal: bar }: PageLayout,
  gapMm?: readonly [from: number, to: number],
): void {
  const half = bar.lengthMm / 2;
  const [from, to] = gapMm ?? [half, half];
  pen.line(-half, bar.atMm, from, bar.atMm, hairlineMm);
  if (to < half) pen.line(to, bar.atMm, half, bar.atMm, hairlineMm);
  for (const x of [-half, half])
    pen.line(x, bar.atMm - bar.tickMm, x, bar.atMm + bar.tickMm, hairlineMm);
  pen.text(pen.words.barAcross(barWords(paper, bar.lengthMm)), -half + 3, bar.atMm + 1.2, {
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
  pen.text(pen.words.upMark, x + heightMm + 2.5, y + heightMm / 2 - 1.4, {
    sizePt: 11,
    bold: true,
  });
}

export const paperWords = (paper: Paper): string =>
  `${paper.name}, ${paper.widthMm} x ${paper.heightMm} mm`;

/** "Plumbshot kit A4, page 3 of 51". */
export const pageWords = (pen: Pen, paper: Paper, { page, pages }: PageNumber): string =>
  pen.words.page(paper.name, page, pages);

/** x of the outermost printable point at the right. */
export const printableHalfWidth = (paper: Paper): number => paper.widthMm / 2 - printableRimMm;

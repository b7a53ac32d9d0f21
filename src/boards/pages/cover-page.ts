/** The kit's first page: how to print, what to measure on the print, what goes where. */

import { kitRanges, type RoleKind } from "../kit.ts";
import type { KitWords } from "../words/kit-words.ts";
import { drawBay, drawPageKey } from "./cover-drawing.ts";
import type { KitPage } from "./kit-page.ts";
import { barWords, boardPageLayout, type Paper, papers } from "./paper.ts";
import type { Pen, TextStyle } from "./pen.ts";

const bodyPt = 9.5;

/** Text column of the cover; sizes grow with the paper. */
interface Column {
  readonly pen: Pen;
  readonly left: number;
  readonly width: number;
  /** Size against A4. */
  readonly k: number;
}

/** Draws the cover; `pages` are all pages of the document, in order, the cover first. */
export function drawCoverPage(pen: Pen, paper: Paper, pages: readonly KitPage[]): void {
  const k = Math.min(paper.widthMm / 210, paper.heightMm / 279.4);
  const column: Column = {
    pen,
    left: -paper.widthMm / 2 + 18 * k,
    width: paper.widthMm - 36 * k,
    k,
  };
  const { left, width } = column;
  let y = paper.heightMm / 2 - 22 * k;

  pen.text(pen.words.cover.heading, left, y, { sizePt: 20 * k, bold: true });
  pen.text(`${pen.words.title}, ${paper.name}`, left + width, y, {
    sizePt: 11 * k,
    align: "right",
  });
  pen.line(left, y - 3 * k, left + width, y - 3 * k, 0.3);
  y -= 11 * k;

  const keyWidth = 40 * k;
  const beside = { ...column, width: width - keyWidth - 10 * k };
  drawPageKey(pen, paper, left + width - keyWidth, y + 2.5 * k, keyWidth);
  y = section(beside, pen.words.cover.print, printWords(pen.words, paper, pages), y);
  y = section(beside, pen.words.cover.measure, measureWords(pen.words, paper), y);
  y = drawReadingLines(beside, y, paper);
  y = section(column, pen.words.cover.glue, [pen.words.cover.glueWords(paper.cellMm)], y);
  y = heading(column, pen.words.cover.where, y);
  y = drawBay(pen, left, y, width, rolesOf(pages)) - 6 * k;
  y = drawTable(column, pages, y);
  drawSafety(column, y - 1.5 * k);
}

function heading({ pen, left, k }: Column, words: string, y: number): number {
  pen.text(words, left, y, { sizePt: 11.5 * k, bold: true });
  return y - 5.2 * k;
}

function section(column: Column, title: string, words: readonly string[], y: number): number {
  const { pen, left, width, k } = column;
  y = heading(column, title, y);
  for (const sentence of words)
    y = pen.paragraph(sentence, left, y, width, { sizePt: bodyPt * k }) - 0.6 * k;
  return y - 2.4 * k;
}

function printWords({ cover }: KitWords, paper: Paper, pages: readonly KitPage[]): string[] {
  return [
    cover.printWords,
    cover.first(firstNeeded(pages)),
    ...(paper.cellMm === papers.A4.cellMm
      ? []
      : [cover.largeCells(paper.cellMm, papers.A4.cellMm)]),
  ];
}

function measureWords({ cover }: KitWords, paper: Paper): string[] {
  const { horizontal, vertical } = boardPageLayout(paper);
  return [
    cover.measureWords(barWords(paper, horizontal.lengthMm), barWords(paper, vertical.lengthMm)),
  ];
}

/** Blanks to write the readings in. */
function drawReadingLines({ pen, left, width, k }: Column, y: number, paper: Paper): number {
  const { horizontal, vertical } = boardPageLayout(paper);
  const blanks = [
    [pen.words.cover.acrossReads(barWords(paper, horizontal.lengthMm)), 0, 0.48],
    [pen.words.cover.upReads(barWords(paper, vertical.lengthMm)), 0.52, 1],
  ] as const;
  const style = { sizePt: bodyPt * k };
  for (const [label, from, to] of blanks) {
    const x = left + from * width;
    pen.text(label, x, y - k, style);
    pen.line(x + pen.textWidth(label, style) + 2, y - 1.6 * k, left + to * width, y - 1.6 * k, 0.2);
  }
  return y - 10.5 * k;
}

function drawTable({ pen, left, width, k }: Column, pages: readonly KitPage[], y: number): number {
  const { cover } = pen.words;
  const columns = { ids: left, name: left + 19 * k, where: left + 52 * k, pages: left + width };
  const plain = { sizePt: 8.5 * k };
  const head = { ...plain, bold: true };
  const row = (ids: string, name: string, where: string, range: string, style: TextStyle) => {
    pen.text(ids, columns.ids, y, style);
    pen.text(name, columns.name, y, style);
    pen.text(range, columns.pages, y, { ...style, align: "right" });
    y = pen.paragraph(where, columns.where, y, width - 68 * k, style) - 0.9 * k;
  };
  row(...cover.columns, head);
  pen.line(left, y + 2.8 * k, left + width, y + 2.8 * k, 0.2);
  y -= 1.2 * k;
  for (const { first, last, kind } of kitRanges) {
    const range = pageRange(pages, (p) => p.kind === "board" && p.id >= first && p.id <= last);
    const { name, where } = cover.places[kind];
    if (range) row(cover.range(first, last), name, where, range, plain);
  }
  const sheet = pageRange(pages, (p) => p.kind === "camera sheet");
  if (sheet) row("", pen.words.cameraSheet, cover.sheetWhere, sheet, plain);
  return y;
}

function drawSafety({ pen, left, width, k }: Column, y: number): void {
  pen.line(left, y + 3.2 * k, left + width, y + 3.2 * k, 0.2);
  pen.paragraph(pen.words.cover.caution, left, y - 1.5 * k, width, { sizePt: 8.5 * k, bold: true });
}

const rolesOf = (pages: readonly KitPage[]): RoleKind[] =>
  kitRanges
    .filter(({ first }) => pages.some((p) => p.kind === "board" && p.id === first))
    .map(({ kind }) => kind);

/** Boards for a first job: the wheels, six floor points, two on the stand, one length bar. */
const firstIds = [1, 2, 3, 4, 11, 12, 13, 14, 15, 16, 31, 32, 51, 52];

function firstNeeded(pages: readonly KitPage[]): string {
  const wanted = pages.flatMap((page, i) => {
    const needed =
      page.kind === "camera sheet" || (page.kind === "board" && firstIds.includes(page.id));
    return needed ? [i + 1] : [];
  });
  return listRanges(wanted);
}

function pageRange(pages: readonly KitPage[], isWanted: (page: KitPage) => boolean): string | null {
  const numbers = pages.flatMap((page, i) => (isWanted(page) ? [i + 1] : []));
  return numbers.length > 0 ? listRanges(numbers) : null;
}

/** [2, 3, 4, 7, 9, 10] -> "2-4, 7, 9-10". */
export function listRanges(numbers: readonly number[]): string {
  const parts: string[] = [];
  for (let i = 0; i < numbers.length; i++) {
    const start = numbers[i];
    while (numbers[i + 1] === numbers[i] + 1) i++;
    parts.push(numbers[i] === start ? `${start}` : `${start}-${numbers[i]}`);
  }
  return parts.join(", ");
}

/**
 * One board on one page. The board stands in the page's middle; the strip of one cell height above
 * and below its white margin carries what must stay with the board (id, role, up mark, centre
 * ticks); check bars and notes stand outside the cut lines.
 */
import { type Role, roleOf } from "../kit.ts";
import { blackRuns, boardCells, boardPoint } from "../pattern.ts";
import {
  drawHorizontalBar,
  drawUpMark,
  drawVerticalBar,
  hairlineMm,
  type PageNumber,
  pageWords,
  paperWords,
  printableHalfWidth,
  smallPt,
} from "./page-parts.ts";
import { barWords, boardPageLayout, cutLineMm, type Paper, whiteHalfMm } from "./paper.ts";
import type { Pen } from "./pen.ts";

/** Draws a board, its strips, cut marks, check bars and notes; the pen is on a page of this paper. */
export function drawBoardPage(pen: Pen, paper: Paper, id: number, number: PageNumber): void {
  const layout = boardPageLayout(paper);
  const cut = cutLineMm(paper);
  const role = roleOf(id);
  drawBoard(pen, id, paper.cellMm);
  drawTitleStrip(pen, paper, role);
  drawFootStrip(pen, paper, id);
  drawCutMarks(pen, paper, role);
  drawHorizontalBar(pen, paper, layout, drawNumber(pen, paper, id, role));
  drawVerticalBar(pen, layout, cut + 2);
  drawNotes(pen, paper, role, number);
}

/** The pattern, its centre at the page's centre. */
export function drawBoard(pen: Pen, id: number, cellMm: number): void {
  pen.fill(
    blackRuns(id).map(({ row, col, length }) => {
      const [left, top] = boardPoint(row, col);
      const [right, bottom] = boardPoint(row + 1, col + length);
      return [left, top, right, top, right, bottom, left, bottom].map((c) => c * cellMm);
    }),
  );
}

function drawTitleStrip(pen: Pen, paper: Paper, role: Role | null): void {
  const left = (-boardCells / 2) * paper.cellMm;
  const base = whiteHalfMm(paper);
  const above = hasNumberAbove(role);
  const textLeft = above ? left + numberWidth(pen, paper) + 4 : left;
  // Beside the number the words stand above the centre tick, on a pointer left of it.
  const lift = above ? 11.8 : 0;
  if (role) {
    pen.text(pen.words.role(role), textLeft, base + lift + 6.4, { sizePt: 12, bold: true });
    pen.text(pen.words.usage[role.kind], textLeft, base + lift + 2.8, { sizePt: 6.5 });
  }
  pen.line(0, base + 0.5, 0, cutLineMm(paper), hairlineMm);
  drawUpMark(pen, 5, base + 2.8, 6.5);
}

function drawFootStrip(pen: Pen, paper: Paper, id: number): void {
  const ringMm = boardCells * paper.cellMm;
  const base = -whiteHalfMm(paper);
  const y = base - 4.5;
  pen.line(0, base - 0.5, 0, -cutLineMm(paper), hairlineMm);
  const small = { sizePt: smallPt };
  pen.text(pen.words.cell(paper.cellMm, ringMm), -ringMm / 2, y, small);
  pen.text(pen.words.tag(id), ringMm / 2, y, { ...small, align: "right" });
}

/**
 * Digits this high are read standing, from some three metres: two cells, and no less than 25 mm.
 * They stand where the white margin ends, so that nothing lies in it.
 */
const numberMm = (paper: Paper): number => Math.max(25.2, 1.94 * paper.cellMm);
/** Height of Helvetica's digits as a share of its size: its metrics give 0.703 to 0.709. */
const digitShare = 0.703;
const pointsPerMm = 72 / 25.4;
const numberStyle = (paper: Paper) =>
  ({ sizePt: (numberMm(paper) / digitShare) * pointsPerMm, bold: true }) as const;
const numberWidth = (pen: Pen, paper: Paper): number => pen.textWidth("88", numberStyle(paper));

/** A pointer is cut at its upper line: its number stands below the board. */
const hasNumberAbove = (role: Role | null): boolean => role?.kind !== "pointer";

/** The board's number; returns where it crosses the level of the check bar below, if it does. */
function drawNumber(
  pen: Pen,
  paper: Paper,
  id: number,
  role: Role | null,
): readonly [number, number] | undefined {
  const left = (-boardCells / 2) * paper.cellMm;
  const base = whiteHalfMm(paper);
  const style = numberStyle(paper);
  if (hasNumberAbove(role)) {
    // On Letter a number 6 % higher (see below) must still end at the printable rim.
    pen.text(String(id), left, base + 2.2, style);
    return undefined;
  }
  // Digits of a font that stands in for Helvetica may be up to 6 % higher.
  const y = -base - 1.8 - numberMm(paper);
  const half = pen.textWidth(String(id), style) / 2;
  pen.text(String(id), 0, y, { ...style, align: "centre" });
  const crosses = y < boardPageLayout(paper).horizontal.atMm + 1;
  return crosses ? [-half - 2, half + 2] : undefined;
}

/**
 * Short marks at both edges. Above, only a pointer is cut, and there the whole line stands; other
 * boards keep the paper above their margin with the number on it.
 */
function drawCutMarks(pen: Pen, paper: Paper, role: Role | null): void {
  const cut = cutLineMm(paper);
  const edge = printableHalfWidth(paper);
  const inner = (boardCells / 2) * paper.cellMm;
  const pointer = role?.kind === "pointer";
  for (const y of pointer ? [cut] : [-cut]) {
    pen.line(-edge, y, -inner, y, hairlineMm);
    pen.line(inner, y, edge, y, hairlineMm);
    pen.text(pen.words.cut, -inner + 1, y - 0.7, { sizePt: 6 });
  }
  if (pointer) pen.line(-inner + 6, cut, inner, cut, hairlineMm, [2, 1.5]);
}

function drawNotes(pen: Pen, paper: Paper, role: Role | null, number: PageNumber): void {
  const { vertical } = boardPageLayout(paper);
  const left = (-boardCells / 2) * paper.cellMm;
  const cut = cutLineMm(paper);
  const small = { sizePt: smallPt };
  const numbered = hasNumberAbove(role);
  const beside = numbered ? left + numberWidth(pen, paper) + 4 : left;
  const above = cut + (numbered ? 9.4 : 4);
  const page = pageWords(pen, paper, number);
  pen.text(`${page} (${paperWords(paper)}). ${pen.words.fullSize}`, beside, above + 3.4, small);
  const upToLower = pen.words.barUpToLower(barWords(paper, vertical.lengthMm));
  // Left of the whole tick: on Letter both stand at the same height.
  pen.text(upToLower, vertical.atMm - vertical.tickMm - 1, above, { ...small, align: "right" });
  pen.text(pen.words.safety, left, numbered ? -cut - 5.8 : above + 6.8, small);
}

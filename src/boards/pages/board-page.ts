/**
 * One board on one page. The board stands in the page's middle; the strip of one cell height above
 * and below its white margin carries what must stay with the board (id, role, up mark, centre
 * ticks); check bars and notes stand outside the cut lines.
 */
import { type Role, roleOf, roleWords } from "../kit.ts";
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
  safetyLine,
  smallPt,
} from "./page-parts.ts";
import { boardPageLayout, cutLineMm, type Paper, whiteHalfMm } from "./paper.ts";
import type { Pen } from "./pen.ts";

/** One line under the role: how this board is used. */
const usage: Readonly<Record<Role["kind"], string>> = {
  "wheel plate": "Centre of the board on the centre of the plate, facing outward.",
  "floor point": "Flat on the floor, face up. The centre of the board is the point.",
  stand: "Fixed to the stand or target so that it cannot move against it.",
  pointer: "Cut at the upper line. The end of the tick is the tip: hold it on the point.",
  "length bar": "One end of a stiff bar. Its length counts from board centre to board centre.",
};

/** Draws a board, its strips, cut marks, check bars and notes; the pen is on a page of this paper. */
export function drawBoardPage(pen: Pen, paper: Paper, id: number, number: PageNumber): void {
  const layout = boardPageLayout(paper);
  const cut = cutLineMm(paper);
  const role = roleOf(id);
  drawBoard(pen, id, paper.cellMm);
  drawTitleStrip(pen, paper, id, role);
  drawFootStrip(pen, paper, id);
  drawCutMarks(pen, paper, role);
  drawHorizontalBar(pen, layout);
  drawVerticalBar(pen, layout, cut + 2);
  drawNotes(pen, paper, number);
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

function drawTitleStrip(pen: Pen, paper: Paper, id: number, role: Role | null): void {
  const left = (-boardCells / 2) * paper.cellMm;
  const base = whiteHalfMm(paper);
  const large = { sizePt: 26, bold: true };
  pen.text(String(id), left, base + 2.8, large);
  const textLeft = left + pen.textWidth(String(id), large) + 3.5;
  if (role) {
    pen.text(roleWords(role), textLeft, base + 6.4, { sizePt: 12, bold: true });
    pen.text(usage[role.kind], textLeft, base + 2.8, { sizePt: 6.5 });
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
  pen.text(
    `Cell ${paper.cellMm} mm, ring ${ringMm} x ${ringMm} mm, edge to edge`,
    -ringMm / 2,
    y,
    small,
  );
  pen.text(`Tag 36h11, id ${id}`, ringMm / 2, y, { ...small, align: "right" });
}

/** Short marks at both edges; a pointer board has the whole upper line, since it must be cut. */
function drawCutMarks(pen: Pen, paper: Paper, role: Role | null): void {
  const cut = cutLineMm(paper);
  const edge = printableHalfWidth(paper);
  const inner = (boardCells / 2) * paper.cellMm;
  for (const y of [cut, -cut]) {
    pen.line(-edge, y, -inner, y, hairlineMm);
    pen.line(inner, y, edge, y, hairlineMm);
    pen.text("cut", -inner + 1, y - 0.7, { sizePt: 6 });
  }
  if (role?.kind === "pointer") pen.line(-inner + 6, cut, inner, cut, hairlineMm, [2, 1.5]);
}

function drawNotes(pen: Pen, paper: Paper, number: PageNumber): void {
  const { vertical } = boardPageLayout(paper);
  const left = (-boardCells / 2) * paper.cellMm;
  const above = cutLineMm(paper) + 4;
  const small = { sizePt: smallPt };
  pen.text(
    `${pageWords(paper, number)} (${paperWords(paper)}). Print at 100 %.`,
    left,
    above,
    small,
  );
  const label = `Check bar, up: ${vertical.lengthMm} mm to the lower tick`;
  pen.text(label, vertical.atMm - 2, above, { ...small, align: "right" });
  pen.text(safetyLine, left, -above - 1.8, small);
}

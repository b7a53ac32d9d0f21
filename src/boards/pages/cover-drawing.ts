/** The cover's two drawings: where things stand on a page, and where boards go in a bay. */
import type { RoleKind } from "../kit.ts";
import { boardCells, tagCells } from "../pattern.ts";
import { barWords, boardPageLayout, cutLineMm, type Paper } from "./paper.ts";
import type { Pen } from "./pen.ts";

type Place = (...xy: number[]) => number[];

/** A board page in small, its upper left corner at (left, top): bars, cut lines, centre ticks. */
export function drawPageKey(
  pen: Pen,
  paper: Paper,
  left: number,
  top: number,
  width: number,
): void {
  const k = width / paper.widthMm;
  const [cx, cy] = [left + width / 2, top - (paper.heightMm * k) / 2];
  const at: Place = (...xy) => xy.map((v, i) => (i % 2 === 0 ? cx : cy) + v * k);
  const line = (widthMm: number, ...xy: number[]) => pen.polyline(at(...xy), widthMm);
  const box = (x: number, y: number, lineMm: number) =>
    line(lineMm, -x, -y, x, -y, x, y, -x, y, -x, -y);
  const sizePt = (6.5 * width) / 40;

  box(paper.widthMm / 2, paper.heightMm / 2, 0.3);
  const ring = (boardCells / 2) * paper.cellMm;
  const tag = (tagCells / 2) * paper.cellMm;
  box(ring, ring, 0.15);
  box(tag, tag, 0.15);

  const cut = cutLineMm(paper);
  for (const y of [cut, -cut])
    for (const side of [1, -1])
      line(0.15, side * (paper.widthMm / 2 - 8), y, side * (paper.widthMm / 2 - 24), y);
  line(0.15, 0, ring + 14, 0, cut);
  line(0.15, 0, -ring - 14, 0, -cut);

  const { horizontal, vertical } = boardPageLayout(paper);
  const across = horizontal.lengthMm / 2;
  const up = vertical.lengthMm / 2;
  line(0.5, -across, horizontal.atMm, across, horizontal.atMm);
  for (const x of [-across, across]) line(0.3, x, horizontal.atMm - 5, x, horizontal.atMm + 5);
  for (const y of [-up, up]) {
    line(0.5, vertical.atMm, y, vertical.atMm, Math.sign(y) * (cut + 2));
    line(0.3, vertical.atMm - 5, y, vertical.atMm + 5, y);
  }
  const [x, y] = at(vertical.atMm, 0);
  pen.line(x, y + ring * k, x, y - ring * k, 0.15, [0.7, 0.7]);
  pen.text(barWords(paper, vertical.lengthMm), x - 1, y, { sizePt, align: "centre", upward: true });
  const [hx, hy] = at(ring * 0.38, horizontal.atMm + 4);
  pen.text(barWords(paper, horizontal.lengthMm), hx, hy, { sizePt, align: "centre" });
  pen.text(pen.words.cover.drawing.board, cx, cy - 0.8, { sizePt, align: "centre" });
}

/**
 * An invented car from above, pointing right, with its boards. Own units: x 0..100 to the right,
 * y 0..32 up, scaled to the width given. Returns the y of the drawing's lower edge.
 */
export function drawBay(
  pen: Pen,
  left: number,
  top: number,
  width: number,
  roles: readonly RoleKind[],
): number {
  const k = width / 100;
  const bottom = top - 31 * k;
  const at: Place = (...xy) => xy.map((v, i) => (i % 2 === 0 ? left : bottom) + v * k);
  const label = (words: string, x: number, y: number, align: "left" | "centre" = "centre") => {
    const [px, py] = at(x, y);
    pen.text(words, px, py, { sizePt: 4.2 * k, align });
  };

  drawCar(pen, at);
  if (roles.includes("wheel plate"))
    for (const [x, y, id, side] of wheelBoards) {
      pen.fill([at(x - 1.8, y, x + 1.8, y, x + 1.8, y + side * 0.5, x - 1.8, y + side * 0.5)]);
      label(id, x, y + (side > 0 ? 1.3 : -2.4));
    }
  if (roles.includes("floor point"))
    for (const [x, y, id] of floorBoards) {
      drawBoardMark(pen, at, x, y);
      label(id, x + 1.8, y - 0.7, "left");
    }
  if (roles.includes("stand")) {
    pen.polyline(at(90, 10, 90, 22), 0.5);
    for (const [y, id] of [
      [12.5, "31"],
      [19.5, "32"],
    ] as const) {
      pen.fill([at(89.2, y - 1.2, 89.8, y - 1.2, 89.8, y + 1.2, 89.2, y + 1.2)]);
      label(id, 91, y - 0.7, "left");
    }
    label(pen.words.cover.drawing.stand, 90, 23.5);
  }
  if (roles.includes("length bar")) {
    pen.polyline(at(60, 28.5, 78, 28.5), 0.5);
    drawBoardMark(pen, at, 60, 28.5);
    drawBoardMark(pen, at, 78, 28.5);
    label("51", 57.6, 27.8);
    label("52", 80.4, 27.8);
    label(pen.words.cover.drawing.lengthBar, 69, 29.4);
  }
  const [x0, y0] = at(44, 16);
  const [x1] = at(86, 16);
  pen.line(x0, y0, x1, y0, 0.15, [3, 1, 0.6, 1]);
  return bottom;
}

const wheelBoards = [
  [37, 25.6, "1", 1],
  [37, 6.4, "2", -1],
  [13, 25.6, "3", 1],
  [13, 6.4, "4", -1],
] as const;

const floorBoards = [
  [25, 29.5, "11"],
  [25, 2.5, "12"],
  [54, 23, "13"],
  [54, 9, "14"],
  [72, 21, "15"],
  [72, 11, "16"],
] as const;

function drawCar(pen: Pen, at: Place): void {
  const body = [
    5, 9, 4, 16, 5, 23, 8, 24.4, 38, 24.4, 43, 23.2, 45.6, 20, 46.2, 16, 45.6, 12, 43, 8.8, 38, 7.6,
    8, 7.6, 5, 9,
  ];
  pen.polyline(at(...body), 0.3);
  const windscreen = [33, 10, 34.6, 16, 33, 22, 29.5, 20.8, 30.4, 16, 29.5, 11.2, 33, 10];
  pen.polyline(at(...windscreen), 0.2);
  const rearWindow = [9.5, 11, 8.6, 16, 9.5, 21, 12, 20, 11.4, 16, 12, 12, 9.5, 11];
  pen.polyline(at(...rearWindow), 0.2);
  for (const x of [13, 37])
    for (const y of [24.2, 6.6])
      pen.polyline(at(x - 3, y, x + 3, y, x + 3, y + 1.2, x - 3, y + 1.2, x - 3, y), 0.2);
}

/** A board seen from above: a square with a dark middle. */
function drawBoardMark(pen: Pen, at: Place, x: number, y: number): void {
  const square = (h: number) => [x - h, y - h, x + h, y - h, x + h, y + h, x - h, y + h];
  pen.polyline(at(...square(1.3), x - 1.3, y - 1.3), 0.2);
  pen.fill([at(...square(0.75))]);
}

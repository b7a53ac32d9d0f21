/**
 * What is printed, as grid lines and reflectances between them: the board's 14 x 14 cells with a
 * white margin, or the camera sheet's squares and markers. Which tag cell is black is data, read
 * from the product's table; everything else is written out here.
 */
import { tag36h11Codes } from "../../../src/boards/tag36h11.ts";
import type { TruePrint } from "./bay.ts";

export interface Pattern {
  /** Grid lines across (left to right) and up (bottom to top), cells from the centre. */
  readonly linesX: Float64Array;
  readonly linesY: Float64Array;
  /**
   * Reflectance between lines; one more row and column on every side stands for what is around the
   * paper: cell (i, j) lies between lines i - 1 and i across and j - 1 and j up.
   */
  readonly values: Float32Array;
  readonly columns: number;
}

const tagSide = 8;
const codeDigits = 9;

/** Is a tag's cell black, row 0 at the top? The border is, the 36 inside are by the code's bits. */
const tagIsBlack = (id: number, row: number, col: number): boolean => {
  if (row < 1 || col < 1 || row > 6 || col > 6) return true;
  const bit = 6 * (row - 1) + col - 1;
  const digit = Number.parseInt(tag36h11Codes[id * codeDigits + Math.floor(bit / 4)], 16);
  return ((digit >> (3 - (bit % 4))) & 1) === 0;
};

/** The board's cells, row 0 at the top: two rings of checks, a white ring, the tag. */
const boardIsBlack = (id: number, row: number, col: number): boolean => {
  if (row < 0 || col < 0 || row > 13 || col > 13) return false;
  const fromRim = Math.min(row, col, 13 - row, 13 - col);
  if (fromRim < 2) return (row + col) % 2 === 0;
  if (fromRim === 2) return false;
  return tagIsBlack(id, row - 3, col - 3);
};

const assemble = (
  linesX: readonly number[],
  linesY: readonly number[],
  around: number,
  at: (x: number, y: number) => number,
): Pattern => {
  const columns = linesX.length + 1;
  const rows = linesY.length + 1;
  const values = new Float32Array(columns * rows).fill(around);
  for (let j = 1; j < linesY.length; j++)
    for (let i = 1; i < linesX.length; i++)
      values[j * columns + i] = at(
        (linesX[i - 1] + linesX[i]) / 2,
        (linesY[j - 1] + linesY[j]) / 2,
      );
  return {
    linesX: Float64Array.from(linesX),
    linesY: Float64Array.from(linesY),
    values,
    columns,
  };
};

const span = (from: number, to: number): number[] =>
  Array.from({ length: Math.round(to - from) + 1 }, (_, i) => from + i);

const boardPattern = (print: TruePrint, id: number, around: number): Pattern =>
  assemble(span(-8, 8), span(-8, 8), around, (x, y) =>
    boardIsBlack(id, Math.floor(7 - y), Math.floor(x + 7)) ? print.black : print.white,
  );

const sheetColumns = 7;
const sheetRows = 10;
const firstMarker = 540;
const markerSide = 18.5 / 25;
const paperMargin = 0.3;

/** Lines of the squares and, inside each, of a marker's eight cells. */
const sheetLines = (squares: number): number[] => {
  const lines = [-squares / 2 - paperMargin];
  for (let s = 0; s < squares; s++) {
    lines.push(s - squares / 2);
    for (let k = 0; k <= tagSide; k++)
      lines.push(s - squares / 2 + 0.5 + markerSide * (k / tagSide - 0.5));
  }
  return [...lines, squares / 2, squares / 2 + paperMargin];
};

/** Markers are numbered row by row from the top over the white squares; top left is black. */
const sheetIsBlack = (x: number, y: number): boolean => {
  const col = Math.floor(x + sheetColumns / 2);
  const row = Math.floor(sheetRows / 2 - y);
  if (col < 0 || row < 0 || col >= sheetColumns || row >= sheetRows) return false;
  if ((row + col) % 2 === 0) return true;
  const bitCol = Math.floor(((x + sheetColumns / 2 - col - 0.5) / markerSide + 0.5) * tagSide);
  const bitRow = Math.floor(((sheetRows / 2 - y - row - 0.5) / markerSide + 0.5) * tagSide);
  if (bitCol < 0 || bitRow < 0 || bitCol >= tagSide || bitRow >= tagSide) return false;
  // White squares before this one: half of all before it, as colours alternate.
  const before = Math.floor((row * sheetColumns + col) / 2);
  return tagIsBlack(firstMarker + before, bitRow, bitCol);
};

const sheetPattern = (print: TruePrint, around: number): Pattern =>
  assemble(sheetLines(sheetColumns), sheetLines(sheetRows), around, (x, y) =>
    sheetIsBlack(x, y) ? print.black : print.white,
  );

/** The pattern of a print, with the reflectance of what lies around its paper. */
export const patternOf = (print: TruePrint, around: number): Pattern =>
  print.id === "sheet" ? sheetPattern(print, around) : boardPattern(print, print.id, around);

/** Half sides of the paper, cells. */
export const paperOf = (print: TruePrint): readonly [number, number] =>
  print.id === "sheet" ? [sheetColumns / 2 + paperMargin, sheetRows / 2 + paperMargin] : [8, 8];

/**
 * The printed board: 14 x 14 square cells, row 0 at the top, column 0 at the left, seen from the
 * front. A ring of checks two cells thick, a white ring one cell wide, and the 8 x 8 cells of a tag
 * of family 36h11 in the middle.
 *
 * Board frame: unit one cell, origin at the board's centre, x right, y up, z out of the printed
 * face. Multiply by the printed cell size to get millimetres.
 */
import { tag36h11Codes } from "./tag36h11.ts";

/** Cells along one side of a board. */
export const boardCells = 14;
/** Cells along one side of the tag with its black border. */
export const tagCells = 8;
/** White margin that every board needs outside its ring, cells. */
export const marginCells = 1;
/** Ids of the tag family: 0 .. tagCount - 1. */
export const tagCount = 587;

const ringCells = 2;
const half = boardCells / 2;
const tagStart = (boardCells - tagCells) / 2;
const dataCells = tagCells - 2;
const codeDigits = 9;

const isTagId = (id: number): boolean => Number.isInteger(id) && id >= 0 && id < tagCount;

/** Colour of one of the tag's 8 x 8 cells, row 0 at the top. Throws on an id outside the family. */
export function tagCellIsBlack(id: number, row: number, col: number): boolean {
  if (!isTagId(id)) throw new RangeError(`tag id ${id} is not in 0..${tagCount - 1}`);
  if (!insideSquare(row, col, tagCells)) throw new RangeError(`no tag cell (${row}, ${col})`);
  const dataRow = row - 1;
  const dataCol = col - 1;
  if (!insideSquare(dataRow, dataCol, dataCells)) return true;
  const bit = dataRow * dataCells + dataCol;
  const digit = Number.parseInt(tag36h11Codes[id * codeDigits + (bit >> 2)], 16);
  return ((digit >> (3 - (bit & 3))) & 1) === 0;
}

/**
 * Colour of one cell of the board with this tag id. Cells outside 0..13 are the margin: white.
 * Throws on an id outside the family or a fractional cell.
 */
export function cellIsBlack(id: number, row: number, col: number): boolean {
  if (!isTagId(id)) throw new RangeError(`tag id ${id} is not in 0..${tagCount - 1}`);
  if (!Number.isInteger(row) || !Number.isInteger(col)) throw new RangeError("cells are integers");
  if (!insideSquare(row, col, boardCells)) return false;
  if (isRingCell(row, col)) return (row + col) % 2 === 0;
  const tagRow = row - tagStart;
  const tagCol = col - tagStart;
  return insideSquare(tagRow, tagCol, tagCells) && tagCellIsBlack(id, tagRow, tagCol);
}

/** Is the cell part of the ring of checks? False outside the board. */
export function isRingCell(row: number, col: number): boolean {
  if (!insideSquare(row, col, boardCells)) return false;
  const last = boardCells - ringCells;
  return row < ringCells || col < ringCells || row >= last || col >= last;
}

/**
 * Board point of a grid crossing: (0, 0) is the top left corner of the ring, (14, 14) the bottom
 * right one. Fractions are allowed: (row + 0.5, col + 0.5) is the middle of a cell.
 */
export const boardPoint = (row: number, col: number): readonly [number, number] => [
  col - half,
  half - row,
];

/** A point where four checks of the ring meet. */
export interface RingSaddle {
  /** Grid crossing: the cells around it are (row - 1, col - 1) .. (row, col). */
  readonly row: number;
  readonly col: number;
  /** Board frame, cells. */
  readonly x: number;
  readonly y: number;
  /**
   * +1: black up left and down right, so brightness near the point grows like +(dx dy) in the board
   * frame (y up); -1: the other way round.
   */
  readonly polarity: 1 | -1;
}

/** The 48 crossings inside the ring, row by row from the top left. */
export const ringSaddles: readonly RingSaddle[] = findRingSaddles();

/** The same 48 points as x0 y0 x1 y1 .., cells, for `BoardView.boardPoints`. */
export const ringSaddlePoints = (): Float64Array =>
  Float64Array.from(ringSaddles.flatMap((s) => [s.x, s.y]));

/**
 * Corners of a square of the board, as x0 y0 .. x3 y3 in cells: top left, top right, bottom right,
 * bottom left, the order in which OpenCV reports a marker's corners.
 */
const squareCorners = (h: number): readonly number[] => [-h, h, h, h, h, -h, -h, -h];

/** Outer corners of the ring. */
export const boardOutline: readonly number[] = squareCorners(half);
/** Outer corners of the tag's black border: what a marker detector finds. */
export const tagOutline: readonly number[] = squareCorners(tagCells / 2);

/** A horizontal run of black cells. */
export interface CellRun {
  readonly row: number;
  readonly col: number;
  readonly length: number;
}

/** The black cells of a board as runs, row by row: what a drawing needs. */
export function blackRuns(id: number): CellRun[] {
  return runsOf(boardCells, (row, col) => cellIsBlack(id, row, col));
}

/** The black cells of the bare tag (8 x 8) as runs, row by row. */
export function tagBlackRuns(id: number): CellRun[] {
  return runsOf(tagCells, (row, col) => tagCellIsBlack(id, row, col));
}

function runsOf(size: number, isBlack: (row: number, col: number) => boolean): CellRun[] {
  const runs: CellRun[] = [];
  for (let row = 0; row < size; row++) {
    for (let col = 0; col < size; col++) {
      if (!isBlack(row, col)) continue;
      const start = col;
      while (col + 1 < size && isBlack(row, col + 1)) col++;
      runs.push({ row, col: start, length: col - start + 1 });
    }
  }
  return runs;
}

function findRingSaddles(): RingSaddle[] {
  const saddles: RingSaddle[] = [];
  for (let row = 1; row < boardCells; row++) {
    for (let col = 1; col < boardCells; col++) {
      const inRing =
        isRingCell(row - 1, col - 1) &&
        isRingCell(row - 1, col) &&
        isRingCell(row, col - 1) &&
        isRingCell(row, col);
      if (!inRing) continue;
      const [x, y] = boardPoint(row, col);
      saddles.push({ row, col, x, y, polarity: (row + col) % 2 === 0 ? 1 : -1 });
    }
  }
  return saddles;
}

function insideSquare(row: number, col: number, size: number): boolean {
  return row >= 0 && col >= 0 && row < size && col < size;
}

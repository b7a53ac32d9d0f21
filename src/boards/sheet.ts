/**
 * The camera sheet: a ChArUco board of 7 x 10 squares of 25 mm in the layout of OpenCV 4.6 and
 * later: the top left square is black, white squares carry the markers, numbered row by row.
 *
 * It is handled like a board: origin at its centre, x right, y up, z out of the face, unit one
 * "cell" = one 25 mm square.
 */
import { tagCells } from "./pattern.ts";

/** Stands for the camera sheet among board ids; no tag of the sheet or the kit carries it. */
export const sheetId = 1000;

export const sheetColumns = 7;
export const sheetRows = 10;
/** Side of one square as designed, mm. */
export const sheetSquareMm = 25;
/** Side of one marker, black border included, mm. */
export const sheetMarkerMm = 18.5;
export const sheetFirstMarkerId = 540;
export const sheetMarkerCount = 35;

/** Side of a marker, in squares. */
export const sheetMarkerCells = sheetMarkerMm / sheetSquareMm;
/** Side of one of the marker's 8 x 8 tag cells, in squares. */
export const sheetMarkerBitCells = sheetMarkerCells / tagCells;

export const sheetSquareIsBlack = (row: number, col: number): boolean => (row + col) % 2 === 0;

/** Sheet point of a grid crossing: (0, 0) top left, (10, 7) bottom right; in squares. */
export const sheetPoint = (row: number, col: number): readonly [number, number] => [
  col - sheetColumns / 2,
  sheetRows / 2 - row,
];

export interface SheetCorner {
  /** OpenCV's ChArUco corner id: row by row from the top left, 0..53. */
  readonly index: number;
  readonly row: number;
  readonly col: number;
  readonly x: number;
  readonly y: number;
  /** +1: black up left and down right of the point, as for the ring's saddles. */
  readonly polarity: 1 | -1;
}

/** The 54 crossings inside the sheet, where four squares meet; position = index. */
export const sheetCorners: readonly SheetCorner[] = Array.from(
  { length: (sheetColumns - 1) * (sheetRows - 1) },
  (_, index) => {
    const row = Math.floor(index / (sheetColumns - 1)) + 1;
    const col = (index % (sheetColumns - 1)) + 1;
    const [x, y] = sheetPoint(row, col);
    return { index, row, col, x, y, polarity: sheetSquareIsBlack(row - 1, col - 1) ? 1 : -1 };
  },
);

export interface SheetMarker {
  readonly id: number;
  /** The white square that carries it. */
  readonly row: number;
  readonly col: number;
  /** Centre, in squares. */
  readonly x: number;
  readonly y: number;
  /** Outer corners x0 y0 .. x3 y3: top left, top right, bottom right, bottom left. */
  readonly corners: readonly number[];
}

/** The 35 markers, ids ascending. */
export const sheetMarkers: readonly SheetMarker[] = placeMarkers();

export const isSheetMarkerId = (id: number): boolean =>
  Number.isInteger(id) && id >= sheetFirstMarkerId && id < sheetFirstMarkerId + sheetMarkerCount;

/** Outer corners of the sheet's squares, order as for a board: x0 y0 .. x3 y3. */
export const sheetOutline: readonly number[] = rectangle(0, 0, sheetColumns / 2, sheetRows / 2);

function placeMarkers(): SheetMarker[] {
  const markers: SheetMarker[] = [];
  for (let row = 0; row < sheetRows; row++) {
    for (let col = 0; col < sheetColumns; col++) {
      if (sheetSquareIsBlack(row, col)) continue;
      const [x, y] = sheetPoint(row + 0.5, col + 0.5);
      const h = sheetMarkerCells / 2;
      const id = sheetFirstMarkerId + markers.length;
      markers.push({ id, row, col, x, y, corners: rectangle(x, y, h, h) });
    }
  }
  return markers;
}

function rectangle(x: number, y: number, halfWidth: number, halfHeight: number): number[] {
  const [l, r, b, t] = [x - halfWidth, x + halfWidth, y - halfHeight, y + halfHeight];
  return [l, t, r, t, r, b, l, b];
}

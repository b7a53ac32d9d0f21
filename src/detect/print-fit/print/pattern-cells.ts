import { boardCells, cellIsBlack, tagCellIsBlack, tagCells } from "../../../boards/pattern.ts";

/** Crossings of the cell grid along one side of the board: 0 .. 14. */
export const crossingsPerSide = boardCells + 1;
/** One tile around every crossing: half a cell to all sides. */
export const tileCount = crossingsPerSide * crossingsPerSide;

/**
 * The print as steps at its grid lines. A tile at crossing (col i, row j) sees `lines` grid lines in
 * each direction, i - reach .. i + reach, and (lines + 1)^2 cells; the print there is
 * sum over a, b of steps[a, b] E_a(u) E_b(v), where E_0 = 1 and E_a is the edge profile at line a.
 */
export interface PatternSteps {
  readonly lines: number;
  readonly reach: number;
  /** tileCount x (lines + 1) x (lines + 1): row b (v), column a (u). */
  readonly steps: Float64Array;
  /**
   * As `steps`: which cells meet at the crossing of lines a and b, as an index into `softTable`: bits
   * 0 .. 3 left above, right above, left below, right below; for line 0, 16 + left, right; 20 +
   * above, below; 24 + the cell itself.
   */
  readonly codes: Uint8Array;
  /** 1 where the tile has an edge. */
  readonly busy: Uint8Array;
}

/** A whole board, or only the tag in its middle: a marker of the camera sheet. */
export type PrintKind = "board" | "marker";

const cache = new Map<string, PatternSteps>();

/** Steps of a print for windows of 1, 3, 5 or 7 lines. */
export function patternSteps(id: number, lines: number, kind: PrintKind): PatternSteps {
  const key = `${kind} ${id} ${lines}`;
  const known = cache.get(key);
  if (known) return known;
  const made = makeSteps(id, lines, kind);
  cache.set(key, made);
  return made;
}

/** Lines of the grid that bound the tag. */
const tagFrom = (boardCells - tagCells) / 2;
const tagTo = tagFrom + tagCells;

function markerIsBlack(id: number, row: number, col: number): boolean {
  const inside = row >= tagFrom && col >= tagFrom && row < tagTo && col < tagTo;
  return inside && tagCellIsBlack(id, row - tagFrom, col - tagFrom);
}

function makeSteps(id: number, lines: number, kind: PrintKind): PatternSteps {
  const isBlack = kind === "board" ? cellIsBlack : markerIsBlack;
  const reach = (lines - 1) / 2;
  const n = lines + 1;
  const steps = new Float64Array(tileCount * n * n);
  const codes = new Uint8Array(tileCount * n * n);
  const busy = new Uint8Array(tileCount);
  // Whiteness of the cell right of line a, below line b (a, b counted from the tile's first line).
  const white = (row: number, col: number): number => (isBlack(id, row, col) ? 0 : 1);
  for (let j = 0; j < crossingsPerSide; j++)
    for (let i = 0; i < crossingsPerSide; i++) {
      const tile = j * crossingsPerSide + i;
      const row0 = j - reach - 1;
      const col0 = i - reach - 1;
      for (let b = 0; b < n; b++)
        for (let a = 0; a < n; a++) {
          const here = white(row0 + b, col0 + a);
          const left = a > 0 ? white(row0 + b, col0 + a - 1) : 0;
          const above = b > 0 ? white(row0 + b - 1, col0 + a) : 0;
          const across = a > 0 && b > 0 ? white(row0 + b - 1, col0 + a - 1) : 0;
          const step = here - left - above + across;
          const at = tile * n * n + b * n + a;
          steps[at] = step;
          if (a > 0 && b > 0) codes[at] = across + 2 * above + 4 * left + 8 * here;
          else codes[at] = a > 0 ? 16 + left + 2 * here : b > 0 ? 20 + above + 2 * here : 24 + here;
          if (step !== 0 && (a > 0 || b > 0)) busy[tile] = 1;
        }
    }
  return { lines, reach, steps, codes, busy };
}

/** Middle of the 14 cells in grid units, where the board's origin lies. */
export const gridCentre = boardCells / 2;

/** Crossings that a fit looks at: all of a board's, or a marker's with one more on every side. */
export const crossingsOf: Readonly<Record<PrintKind, Int32Array>> = {
  board: crossingsFrom(0),
  marker: crossingsFrom(2),
};

function crossingsFrom(first: number): Int32Array {
  const last = crossingsPerSide - 1 - first;
  const tiles: number[] = [];
  for (let row = first; row <= last; row++)
    for (let col = first; col <= last; col++) tiles.push(row * crossingsPerSide + col);
  return Int32Array.from(tiles);
}

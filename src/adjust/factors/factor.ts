import type { Block } from "../problem/layout.ts";
import type { Source } from "../problem/problem.ts";
import type { State } from "../problem/state.ts";

/** Place of a block among the blocks of its layout. */
export type IndexOfBlock = (block: Block) => number;

/**
 * One statement about the unknowns, already weighted: its residual vector r has unit covariance.
 * Factors write their share of the normal equations: N = J^T J and g = J^T r over the unknowns of
 * the blocks they touch, in the order of `blocks`.
 */
export interface Factor {
  /** Name shown to people: "board 7 in photo IMG_2", "length bar". */
  readonly label: string;
  /** Key by which the program looks this statement up: see cellSizeKey. Never compare labels. */
  readonly key?: string;
  readonly source: Source;
  /** Key of the camera whose lens this is about. */
  readonly camera?: string;
  /** Key of the photo that this is about, where it is no view of a board in it. */
  readonly ofPhoto?: string;
  /** Indices into layout.blocks, without repetition. */
  readonly blocks: readonly number[];
  /** Number of unknowns in those blocks. */
  readonly width: number;
  /** Number of independent observations. */
  readonly rows: number;
  /** Weighted sum of squares |r|^2; Infinity where the state is impossible (behind the camera). */
  cost(state: State): number;
  /** Writes N (width x width, full) and g (width), both overwritten; returns |r|^2. */
  normals(state: State, n: Float64Array, g: Float64Array): number;
}

/** A factor small enough to give its Jacobian as a whole. */
export interface SmallFactor extends Factor {
  /** Residuals r (rows) and, where `j` is given, J (rows x width, row-major). */
  residuals(state: State, r: Float64Array, j?: Float64Array): void;
}

/** Completes a factor from its residual function. */
export const smallFactor = (
  parts: Pick<
    SmallFactor,
    "label" | "source" | "camera" | "ofPhoto" | "blocks" | "width" | "rows" | "residuals"
  >,
): SmallFactor => {
  const { rows, width } = parts;
  return {
    ...parts,
    cost(state) {
      const r = scratch("statement residuals", rows);
      parts.residuals(state, r);
      let cost = 0;
      for (let i = 0; i < rows; i++) cost += r[i] * r[i];
      return cost;
    },
    normals(state, n, g) {
      const r = scratch("statement residuals", rows);
      const j = scratch("statement derivatives", rows * width).fill(0, 0, rows * width);
      parts.residuals(state, r, j);
      return squareUp(r, j, rows, width, n, g);
    },
  };
};

/** N = J^T J, g = J^T r; returns r^T r. */
export const squareUp = (
  r: Float64Array,
  j: Float64Array,
  rows: number,
  width: number,
  n: Float64Array,
  g: Float64Array,
): number => {
  n.fill(0, 0, width * width);
  g.fill(0, 0, width);
  let cost = 0;
  for (let i = 0; i < rows; i++) {
    const at = i * width;
    const ri = r[i];
    cost += ri * ri;
    for (let a = 0; a < width; a++) {
      const ja = j[at + a];
      if (ja === 0) continue;
      g[a] += ja * ri;
      for (let b = 0; b <= a; b++) n[a * width + b] += ja * j[at + b];
    }
  }
  for (let a = 0; a < width; a++) for (let b = 0; b < a; b++) n[b * width + a] = n[a * width + b];
  return cost;
};

const work = new Map<string, Float64Array>();

/**
 * Work space shared by all factors, so that thousands of them need no memory of their own. Valid
 * until the next call with the same name; contents are whatever was there.
 */
export const scratch = (name: string, size: number): Float64Array => {
  let array = work.get(name);
  if (!array || array.length < size) {
    array = new Float64Array(Math.max(size, 256));
    work.set(name, array);
  }
  return array;
};

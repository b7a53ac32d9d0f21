/**
 * How far a board has moved in the picture since a reference: a shift, a growth and a turn (four
 * numbers, a similarity), fitted to its points with the weights of the print fit.
 */
import type { BoardView } from "../detect/findings/findings.ts";
import { invertPositive } from "../maths/dense.ts";

/** Shift of the board's centre in px, growth (0.001 = a thousandth larger) and turn in radians. */
export interface ImageMovement {
  readonly dx: number;
  readonly dy: number;
  readonly growth: number;
  readonly turn: number;
  /** 4 x 4 covariance in this order, as the print fit states it. */
  readonly covariance: Float64Array;
}

/** Where a board lay in the reference. */
export interface BoardReference {
  readonly id: number;
  /** x0 y0 x1 y1 .., px. */
  readonly pixels: Float64Array;
  readonly centre: readonly [number, number];
  /** Pixels that one cell spans along the direction in which it is not foreshortened. */
  readonly cellPx: number;
}

/** From the mean of several views of one board, which must have the same points. */
export function referenceOf(views: readonly BoardView[]): BoardReference {
  const pixels = new Float64Array(views[0].pixels.length);
  for (const view of views) {
    for (let i = 0; i < pixels.length; i++) pixels[i] += view.pixels[i] / views.length;
  }
  return {
    id: views[0].id,
    pixels,
    centre: centreOf(pixels),
    cellPx: longestCell(views[0].boardPoints, pixels),
  };
}

/** Null where the views' points differ or their weights tell nothing. */
export function movementOf(reference: BoardReference, view: BoardView): ImageMovement | null {
  const count = reference.pixels.length;
  if (view.pixels.length !== count) return null;
  const design = designOf(reference);
  const offset = reference.pixels.map((value, i) => view.pixels[i] - value);
  const [a, b] = whitened(view, design, offset);
  const rows = b.length;
  const normal = new Float64Array(16);
  const right = new Float64Array(4);
  for (let r = 0; r < rows; r++) {
    for (let i = 0; i < 4; i++) {
      right[i] += a[r * 4 + i] * b[r];
      for (let j = 0; j < 4; j++) normal[i * 4 + j] += a[r * 4 + i] * a[r * 4 + j];
    }
  }
  const covariance = invertPositive(normal, 4);
  if (!covariance) return null;
  const [dx, dy, growth, turn] = [0, 1, 2, 3].map((i) =>
    right.reduce((sum, value, j) => sum + covariance[i * 4 + j] * value, 0),
  );
  return { dx, dy, growth, turn, covariance };
}

/** Rows x and y of every point over shift x, shift y, growth, turn. */
function designOf({ pixels, centre: [cx, cy] }: BoardReference): Float64Array {
  const design = new Float64Array(pixels.length * 4);
  for (let i = 0; i < pixels.length; i += 2) {
    const [x, y] = [pixels[i] - cx, pixels[i + 1] - cy];
    design.set([1, 0, x, -y, 0, 1, y, x], i * 4);
  }
  return design;
}

function whitened(
  { noise }: BoardView,
  design: Float64Array,
  offset: Float64Array,
): [Float64Array, Float64Array] {
  if (noise.kind === "isotropic") {
    const by = 1 / noise.sigmaPx;
    return [design.map((value) => value * by), offset.map((value) => value * by)];
  }
  const { rows, sqrtInformation: w } = noise;
  const columns = offset.length;
  const a = new Float64Array(rows * 4);
  const b = new Float64Array(rows);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) {
      const weight = w[r * columns + c];
      b[r] += weight * offset[c];
      for (let i = 0; i < 4; i++) a[r * 4 + i] += weight * design[c * 4 + i];
    }
  }
  return [a, b];
}

function centreOf(pixels: Float64Array): [number, number] {
  let [x, y] = [0, 0];
  for (let i = 0; i < pixels.length; i += 2) {
    x += pixels[i];
    y += pixels[i + 1];
  }
  return [(2 * x) / pixels.length, (2 * y) / pixels.length];
}

/** Largest stretch of the affine map from cells to pixels that fits best. */
function longestCell(cells: Float64Array, pixels: Float64Array): number {
  const [u, v] = [centreOf(cells), centreOf(pixels)];
  const normal = new Float64Array(4);
  const mixed = new Float64Array(4);
  for (let i = 0; i < cells.length; i += 2) {
    for (let j = 0; j < 2; j++) {
      for (let k = 0; k < 2; k++) {
        normal[2 * j + k] += (cells[i + j] - u[j]) * (cells[i + k] - u[k]);
        mixed[2 * j + k] += (pixels[i + j] - v[j]) * (cells[i + k] - u[k]);
      }
    }
  }
  const inverse = invertPositive(normal, 2);
  if (!inverse) return Number.NaN;
  const [a, b, c, d] = [0, 1, 2, 3].map(
    (at) => mixed[at & 2] * inverse[at & 1] + mixed[(at & 2) + 1] * inverse[2 + (at & 1)],
  );
  // Larger singular value of a 2 x 2 matrix.
  return (Math.hypot(a + d, c - b) + Math.hypot(a - d, b + c)) / 2;
}

import { cholesky, choleskySolve } from "../numerics/dense.ts";
import type { Mat3 } from "./pose.ts";

/** Similarity that brings points to mean zero and mean distance sqrt(2) (Hartley 1997). */
const normalisation = (points: ArrayLike<number>): { s: number; x: number; y: number } => {
  const n = points.length / 2;
  let x = 0;
  let y = 0;
  for (let i = 0; i < n; i++) {
    x += points[2 * i] / n;
    y += points[2 * i + 1] / n;
  }
  let spread = 0;
  for (let i = 0; i < n; i++) spread += Math.hypot(points[2 * i] - x, points[2 * i + 1] - y) / n;
  return { s: spread > 0 ? Math.SQRT2 / spread : 0, x, y };
};

/**
 * Homography H (row-major, scaled to H[8] > 0 sign of the plane in front) with
 * [u v 1] ~ H [x y 1], from n >= 4 point pairs given as x0 y0 x1 y1 .. Normalised direct linear
 * transform: Hartley & Zisserman, Multiple View Geometry, 4.1 and 4.4. Null where the points do
 * not determine it (fewer than four, or all on a line).
 */
export const homographyFromPoints = (
  from: ArrayLike<number>,
  to: ArrayLike<number>,
): Mat3 | null => {
  const n = from.length / 2;
  if (n < 4 || to.length !== from.length) return null;
  const a = normalisation(from);
  const b = normalisation(to);
  if (!(a.s > 0) || !(b.s > 0)) return null;
  const normal = new Float64Array(81);
  const row = new Float64Array(9);
  const accumulate = () => {
    for (let i = 0; i < 9; i++) for (let k = 0; k < 9; k++) normal[i * 9 + k] += row[i] * row[k];
  };
  for (let i = 0; i < n; i++) {
    const x = (from[2 * i] - a.x) * a.s;
    const y = (from[2 * i + 1] - a.y) * a.s;
    const u = (to[2 * i] - b.x) * b.s;
    const v = (to[2 * i + 1] - b.y) * b.s;
    row.set([x, y, 1, 0, 0, 0, -u * x, -u * y, -u]);
    accumulate();
    row.set([0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
    accumulate();
  }
  const h = smallestEigenvector(normal, 9);
  return h && denormalise(h, a, b);
};

/**
 * Eigenvector of the smallest eigenvalue of a positive semidefinite matrix by inverse iteration;
 * null where a second eigenvalue is as small (the vector is then not determined).
 */
const smallestEigenvector = (matrix: Float64Array, n: number): Float64Array | null => {
  let trace = 0;
  for (let i = 0; i < n; i++) trace += matrix[i * n + i];
  const shift = 1e-13 * trace;
  for (let i = 0; i < n; i++) matrix[i * n + i] += shift;
  if (cholesky(matrix, n, 1e-16).failedAt >= 0) return null;
  const iterate = (v: Float64Array, against: Float64Array | null): number => {
    let growth = 0;
    for (let pass = 0; pass < 4; pass++) {
      if (against) removeAlong(v, against);
      choleskySolve(matrix, n, v);
      if (against) removeAlong(v, against);
      growth = Math.hypot(...v);
      for (let i = 0; i < n; i++) v[i] /= growth;
    }
    return growth;
  };
  const first = Float64Array.from({ length: n }, (_, i) => 1 + 0.1 * i);
  iterate(first, null);
  const second = Float64Array.from({ length: n }, (_, i) => 1 - 0.23 * i);
  // growth = 1 / eigenvalue.
  return 1 / iterate(second, first) > 1e-9 * trace ? first : null;
};

const removeAlong = (v: Float64Array, unitVector: Float64Array): void => {
  let along = 0;
  for (let i = 0; i < v.length; i++) along += v[i] * unitVector[i];
  for (let i = 0; i < v.length; i++) v[i] -= along * unitVector[i];
};

type Similarity = ReturnType<typeof normalisation>;

/** Undoes the normalisations: H = T_b^-1 h T_a. */
const denormalise = (h: ArrayLike<number>, a: Similarity, b: Similarity): Mat3 => {
  const right: number[] = [];
  for (let r = 0; r < 3; r++) {
    const [p, q, c] = [h[3 * r] * a.s, h[3 * r + 1] * a.s, h[3 * r + 2]];
    right.push(p, q, c - p * a.x - q * a.y);
  }
  const out: number[] = [];
  for (let k = 0; k < 3; k++) out[k] = right[k] / b.s + b.x * right[6 + k];
  for (let k = 0; k < 3; k++) out[3 + k] = right[3 + k] / b.s + b.y * right[6 + k];
  for (let k = 0; k < 3; k++) out[6 + k] = right[6 + k];
  return out as unknown as Mat3;
};

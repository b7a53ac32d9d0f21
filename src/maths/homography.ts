/**
 * Plane-to-plane projective maps, 3 x 3 row-major with the last number 1.
 */
import { cholesky, choleskySolve } from "./dense.ts";

export type Homography = Float64Array;

/** Image of a point. */
export function applyHomography(h: Homography, x: number, y: number): [number, number] {
  const w = h[6] * x + h[7] * y + h[8];
  return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
}

/** d(image)/d(point) at (x, y), row-major 2 x 2. */
export function homographyJacobian(
  h: Homography,
  x: number,
  y: number,
): [number, number, number, number] {
  const w = h[6] * x + h[7] * y + h[8];
  const [u, v] = [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w];
  return [
    (h[0] - u * h[6]) / w,
    (h[1] - u * h[7]) / w,
    (h[3] - v * h[6]) / w,
    (h[4] - v * h[7]) / w,
  ];
}

/**
 * Whether the square of half-width `half` about (x, y) lies on one side of the line that the map takes to
 * infinity: the horizon of its plane. Beyond it lies what is behind the camera.
 */
export function isClearOfHorizon(h: Homography, x: number, y: number, half: number): boolean {
  const depths = [-half, half].flatMap((dx) =>
    [-half, half].map((dy) => h[6] * (x + dx) + h[7] * (y + dy) + h[8]),
  );
  return depths.every((d) => d > 0) || depths.every((d) => d < 0);
}

export function invertHomography(h: Homography): Homography {
  const inverse = Float64Array.of(
    h[4] * h[8] - h[5] * h[7],
    h[2] * h[7] - h[1] * h[8],
    h[1] * h[5] - h[2] * h[4],
    h[5] * h[6] - h[3] * h[8],
    h[0] * h[8] - h[2] * h[6],
    h[2] * h[3] - h[0] * h[5],
    h[3] * h[7] - h[4] * h[6],
    h[1] * h[6] - h[0] * h[7],
    h[0] * h[4] - h[1] * h[3],
  );
  return scaled(inverse);
}

export function multiplyHomographies(a: Homography, b: Homography): Homography {
  const c = new Float64Array(9);
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++)
      c[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
  return scaled(c);
}

const scaled = (h: Float64Array): Homography => h.map((x) => x / h[8]);

/**
 * Homography that takes `from` to `to` (x0 y0 x1 y1 ..), at least four points; weighted least
 * squares on normalised coordinates (Hartley's normalisation), with the denominators of a first
 * pass as weights so that the error is measured in the `to` plane. Null where degenerate.
 */
export function fitHomography(
  from: ArrayLike<number>,
  to: ArrayLike<number>,
  weights?: ArrayLike<number>,
): Homography | null {
  const a = normalisation(from);
  const b = normalisation(to);
  if (!a || !b) return null;
  let h: Float64Array | null = null;
  for (let pass = 0; pass < 3; pass++) {
    h = solveOnce(from, to, a, b, weights, h);
    if (!h) return null;
  }
  return h && fromNormalised(h, a, b);
}

/** Shift and scale: x' = s (x - cx). */
type Normalisation = { cx: number; cy: number; s: number };

function normalisation(points: ArrayLike<number>): Normalisation | null {
  const n = points.length / 2;
  let [cx, cy] = [0, 0];
  for (let i = 0; i < n; i++) {
    cx += points[2 * i] / n;
    cy += points[2 * i + 1] / n;
  }
  let spread = 0;
  for (let i = 0; i < n; i++) spread += Math.hypot(points[2 * i] - cx, points[2 * i + 1] - cy) / n;
  return spread > 1e-12 ? { cx, cy, s: Math.SQRT2 / spread } : null;
}

function solveOnce(
  from: ArrayLike<number>,
  to: ArrayLike<number>,
  a: Normalisation,
  b: Normalisation,
  weights: ArrayLike<number> | undefined,
  previous: Float64Array | null,
): Float64Array | null {
  // Sums of weight times 1, x, y, xx, xy, yy; the same times either target and times their squares.
  const sums = new Float64Array(24);
  for (let i = 0; i < from.length / 2; i++) {
    const x = a.s * (from[2 * i] - a.cx);
    const y = a.s * (from[2 * i + 1] - a.cy);
    const denominator = previous ? previous[6] * x + previous[7] * y + 1 : 1;
    if (!(Math.abs(denominator) > 1e-9)) return null;
    const weight = (weights ? weights[i] : 1) / (denominator * denominator);
    const u = b.s * (to[2 * i] - b.cx);
    const v = b.s * (to[2 * i + 1] - b.cy);
    for (let k = 0; k < 4; k++) {
      const w = weight * (k === 0 ? 1 : k === 1 ? u : k === 2 ? v : u * u + v * v);
      const o = 6 * k;
      sums[o] += w;
      sums[o + 1] += w * x;
      sums[o + 2] += w * y;
      sums[o + 3] += w * x * x;
      sums[o + 4] += w * x * y;
      sums[o + 5] += w * y * y;
    }
  }
  const normal = new Float64Array(64);
  const right = new Float64Array(8);
  for (let axis = 0; axis < 2; axis++) {
    const d = 27 * axis;
    const t = 6 * (axis + 1);
    normal[d] = sums[3];
    normal[d + 8] = sums[4];
    normal[d + 9] = sums[5];
    normal[d + 16] = sums[1];
    normal[d + 17] = sums[2];
    normal[d + 18] = sums[0];
    const o = 48 + 3 * axis;
    normal[o] = -sums[t + 3];
    normal[o + 1] = -sums[t + 4];
    normal[o + 2] = -sums[t + 1];
    normal[o + 8] = -sums[t + 4];
    normal[o + 9] = -sums[t + 5];
    normal[o + 10] = -sums[t + 2];
    right[3 * axis] = sums[t + 1];
    right[3 * axis + 1] = sums[t + 2];
    right[3 * axis + 2] = sums[t];
  }
  normal[54] = sums[21];
  normal[62] = sums[22];
  normal[63] = sums[23];
  right[6] = -sums[19];
  right[7] = -sums[20];
  if (cholesky(normal, 8).failedAt >= 0) return null;
  choleskySolve(normal, 8, right);
  return right.every(Number.isFinite) ? Float64Array.of(...right, 1) : null;
}

function fromNormalised(h: Float64Array, a: Normalisation, b: Normalisation): Homography {
  const toNormalised = Float64Array.of(a.s, 0, -a.s * a.cx, 0, a.s, -a.s * a.cy, 0, 0, 1);
  const back = Float64Array.of(1 / b.s, 0, b.cx, 0, 1 / b.s, b.cy, 0, 0, 1);
  return multiplyHomographies(back, multiplyHomographies(h, toNormalised));
}

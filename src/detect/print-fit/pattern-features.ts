import { invertPositive } from "../../maths/dense.ts";
import { applyHomography, homographyJacobian } from "../../maths/homography.ts";
import type { FeatureNoise } from "../findings/findings.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { patchJacobian } from "../picture/straight-patch.ts";
import { bendRates, printByPlane, seenAtPrint } from "./pattern-bend.ts";
import { homographyOfFit, type PatternFit } from "./pattern-fit.ts";
import { homographyUnknowns } from "./pattern-normal.ts";
import { gridCentre } from "./print/pattern-cells.ts";

/** Grid of points, cells from the board's centre, that carries a fit to the network. */
const positions = [-6, -2, 2, 6] as const;
export const featurePoints: readonly (readonly [number, number])[] = positions.flatMap((y) =>
  positions.map((x) => [x, y] as const),
);

export interface PatternFeatures {
  readonly boardPoints: Float64Array;
  readonly pixels: Float64Array;
  readonly noise: FeatureNoise;
}

/**
 * The fitted map as points in the photo with their covariance. The points come from eight fitted
 * numbers, eleven with the bend, so their covariance has that rank: with G = d(pixels)/d(numbers)
 * and the numbers' covariance C, W = L^T (G^T G)^-1 G^T with L L^T = C^-1. Null if C is not
 * positive.
 */
export function patternFeatures(fit: PatternFit, map: PlaneMap): PatternFeatures | null {
  const n = featurePoints.length;
  const numbers = numbersOf(fit);
  const boardPoints = Float64Array.from(featurePoints.flat());
  const pixels = new Float64Array(2 * n);
  const derivatives = new Float64Array(2 * n * numbers);
  const homography = homographyOfFit(fit);
  featurePoints.forEach((point, i) => {
    pixels.set(placePoint(fit, homography, map, point, derivatives, i), 2 * i);
  });
  const sqrtInformation = whitening(derivatives, fit.covariance, numbers, 2 * n);
  if (!sqrtInformation) return null;
  const noise = { kind: "full", rows: numbers, sqrtInformation } as const;
  return { boardPoints, pixels, noise };
}

const numbersOf = ({ covariance }: PatternFit): number => Math.sqrt(covariance.length);

/** The board's origin in the photo, px, with its standard deviation per coordinate. */
export function centreOfFit(
  fit: PatternFit,
  map: PlaneMap,
): { readonly x: number; readonly y: number; readonly sigmaPx: number } {
  const n = numbersOf(fit);
  const g = new Float64Array(2 * n);
  const [x, y] = placePoint(fit, homographyOfFit(fit), map, [0, 0], g, 0);
  let variance = 0;
  for (const row of [0, n])
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) variance += g[row + i] * g[row + j] * fit.covariance[i * n + j];
  return { x, y, sigmaPx: Math.sqrt(variance / 2) };
}

/** Pixel of a board point; its derivatives by the fitted numbers go to rows 2 i and 2 i + 1. */
function placePoint(
  fit: PatternFit,
  homography: Float64Array,
  map: PlaneMap,
  [x, y]: readonly [number, number],
  derivatives: Float64Array,
  i: number,
): [number, number] {
  const { state, patch, sight } = fit;
  const [u, v] = [gridCentre + x, gridCentre - y];
  const [seenU, seenV] = sight ? seenAtPrint(state.bend, sight, u, v) : [u, v];
  const seen = applyHomography(homography, seenU - gridCentre, gridCentre - seenV);
  const pixel = map.fromPlane(seen[0], seen[1]);
  const { cx, cy, scale } = patch;
  const lens = patchJacobian(patch, (pixel[0] - cx) / scale, (pixel[1] - cy) / scale);
  const plane = [(seen[0] - cx) / scale, (seen[1] - cy) / scale] as const;
  pixelDerivatives(fit, plane, lens, derivatives, i);
  if (sight) bendDerivatives(fit, [u, v], plane, lens, derivatives, i);
  return pixel;
}

/**
 * A fixed board point moves in the photo by -(d(u, v)/d(pixel))^-1 d(u, v)/dm when the numbers m
 * change. `lens` is d(X, Y)/d(x, y) in normalised coordinates.
 */
function pixelDerivatives(
  fit: PatternFit,
  [X, Y]: readonly [number, number],
  lens: readonly number[],
  out: Float64Array,
  i: number,
): void {
  const m = fit.state.gridFromPlane;
  const w = 1 / (m[6] * X + m[7] * Y + 1);
  const u = (m[0] * X + m[1] * Y + m[2]) * w;
  const v = (m[3] * X + m[4] * Y + m[5]) * w;
  const pixelFromGrid = inverseJacobian(fit, [X, Y], lens);
  const du = [X * w, Y * w, w, 0, 0, 0, -u * X * w, -u * Y * w];
  const dv = [0, 0, 0, X * w, Y * w, w, -v * X * w, -v * Y * w];
  const n = numbersOf(fit);
  for (let k = 0; k < du.length; k++) {
    const [x, y] = times(pixelFromGrid, du[k], dv[k]);
    out[2 * i * n + k] = -x;
    out[(2 * i + 1) * n + k] = -y;
  }
}

/** The same by the three curvatures, at the print (u, v): the point of the plane behind it moves. */
function bendDerivatives(
  fit: PatternFit,
  [u, v]: readonly [number, number],
  plane: readonly [number, number],
  lens: readonly number[],
  out: Float64Array,
  i: number,
): void {
  const { sight, state } = fit;
  if (!sight) return;
  const pixelFromGrid = inverseJacobian(fit, plane, lens);
  const planeByPrint = inverse2(printByPlane(state.bend, sight, u, v));
  const rates = new Float64Array(6);
  bendRates(state.bend, sight, u, v, rates, 0);
  const n = numbersOf(fit);
  for (let k = 0; k < 3; k++) {
    const [du, dv] = times(planeByPrint, rates[2 * k], rates[2 * k + 1]);
    const [x, y] = times(pixelFromGrid, du, dv);
    out[2 * i * n + homographyUnknowns + k] = -x;
    out[(2 * i + 1) * n + homographyUnknowns + k] = -y;
  }
}

type Square = readonly [number, number, number, number];

const times = ([a, b, c, d]: Square, x: number, y: number): [number, number] => [
  a * x + b * y,
  c * x + d * y,
];

function inverse2([a, b, c, d]: Square): Square {
  const det = a * d - b * c;
  return [d / det, -b / det, -c / det, a / det];
}

/** d(pixel)/d(u, v) of the flat board at a point of the plane. */
function inverseJacobian(
  { state, patch }: PatternFit,
  [X, Y]: readonly [number, number],
  lens: readonly number[],
): Square {
  const [a, b, c, d] = homographyJacobian(state.gridFromPlane, X, Y);
  const s = patch.scale;
  return inverse2([
    (a * lens[0] + b * lens[2]) / s,
    (a * lens[1] + b * lens[3]) / s,
    (c * lens[0] + d * lens[2]) / s,
    (c * lens[1] + d * lens[3]) / s,
  ]);
}

function whitening(
  derivatives: Float64Array,
  covariance: Float64Array,
  n: number,
  rows: number,
): Float64Array | null {
  const gram = new Float64Array(n * n);
  for (let r = 0; r < rows; r++)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        gram[i * n + j] += derivatives[r * n + i] * derivatives[r * n + j];
  const gramInverse = invertPositive(gram, n);
  const upper = upperFactorOfInverse(covariance, n);
  if (!gramInverse || !upper) return null;
  const left = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      for (let k = i; k < n; k++) left[i * n + j] += upper[i * n + k] * gramInverse[k * n + j];
  const out = new Float64Array(n * rows);
  for (let i = 0; i < n; i++)
    for (let r = 0; r < rows; r++)
      for (let k = 0; k < n; k++) out[i * rows + r] += left[i * n + k] * derivatives[r * n + k];
  return out;
}

/** Upper triangular U with U^T U = C^-1. */
function upperFactorOfInverse(c: Float64Array, n: number): Float64Array | null {
  const information = invertPositive(c, n);
  if (!information) return null;
  const l = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = information[i * n + j];
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k];
      if (i !== j) l[i * n + j] = sum / l[j * n + j];
      else if (sum > 0) l[i * n + i] = Math.sqrt(sum);
      else return null;
    }
  const upper = new Float64Array(n * n);
  for (let i = 0; i < n; i++) for (let j = 0; j <= i; j++) upper[j * n + i] = l[i * n + j];
  return upper;
}

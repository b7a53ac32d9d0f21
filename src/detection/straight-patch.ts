import { cholesky, choleskySolve } from "../numerics/dense.ts";
import type { PlaneMap } from "./plane-map.ts";

const degree = 5;
const terms = ((degree + 1) * (degree + 2)) / 2;
const samplesPerAxis = 9;

/**
 * Local form of the lens around one board: normalised plane coordinates (X, Y) as polynomials of
 * normalised pixels (x, y), so that every pixel costs a few multiplications instead of an iterative
 * undistortion. Normalised: (pixel - centre) / scale.
 */
export interface StraightPatch {
  readonly cx: number;
  readonly cy: number;
  readonly scale: number;
  /** Coefficients of x^i y^j in X and in Y, in the order of `forEachTerm`. */
  readonly forX: Float64Array;
  readonly forY: Float64Array;
}

export const patchDegree = degree;

/** Fits the patch to the map over a square of half side `scale` about (cx, cy). */
export function straightPatch(map: PlaneMap, cx: number, cy: number, scale: number): StraightPatch {
  const forX = new Float64Array(terms);
  const forY = new Float64Array(terms);
  if (!map.lens) {
    forX[termIndex(1, 0)] = 1;
    forY[termIndex(0, 1)] = 1;
    return { cx, cy, scale, forX, forY };
  }
  const normal = new Float64Array(terms * terms);
  const row = new Float64Array(terms);
  const pixel = new Float64Array(2);
  for (let b = 0; b < samplesPerAxis; b++)
    for (let a = 0; a < samplesPerAxis; a++) {
      // Chebyshev points keep the error even up to the rim.
      const x = Math.cos((Math.PI * (a + 0.5)) / samplesPerAxis);
      const y = Math.cos((Math.PI * (b + 0.5)) / samplesPerAxis);
      pixel[0] = cx + scale * x;
      pixel[1] = cy + scale * y;
      const plane = map.toPlane(pixel);
      monomials(x, y, row);
      for (let i = 0; i < terms; i++) {
        forX[i] += (row[i] * (plane[0] - cx)) / scale;
        forY[i] += (row[i] * (plane[1] - cy)) / scale;
        for (let j = 0; j <= i; j++) normal[i * terms + j] += row[i] * row[j];
      }
    }
  cholesky(normal, terms);
  choleskySolve(normal, terms, forX);
  choleskySolve(normal, terms, forY);
  return { cx, cy, scale, forX, forY };
}

/** Index of the coefficient of x^i y^j. */
export const termIndex = (i: number, j: number): number => {
  const d = i + j;
  return (d * (d + 1)) / 2 + j;
};

function monomials(x: number, y: number, out: Float64Array): void {
  for (let d = 0; d <= degree; d++)
    for (let j = 0; j <= d; j++) out[termIndex(d - j, j)] = x ** (d - j) * y ** j;
}

/** Coefficients of x^0 .. x^5 at one y, for a row of pixels. */
export function rowPolynomial(coefficients: Float64Array, y: number, out: Float64Array): void {
  for (let i = 0; i <= degree; i++) {
    let sum = 0;
    for (let j = degree - i; j >= 0; j--) sum = sum * y + coefficients[termIndex(i, j)];
    out[i] = sum;
  }
}

/** d(X, Y)/d(x, y) of the patch, row-major, at a normalised pixel. */
export function patchJacobian(
  patch: StraightPatch,
  x: number,
  y: number,
): [number, number, number, number] {
  const out: [number, number, number, number] = [0, 0, 0, 0];
  for (let d = 1; d <= degree; d++)
    for (let j = 0; j <= d; j++) {
      const i = d - j;
      const k = termIndex(i, j);
      const dx = i === 0 ? 0 : i * x ** (i - 1) * y ** j;
      const dy = j === 0 ? 0 : j * x ** i * y ** (j - 1);
      out[0] += patch.forX[k] * dx;
      out[1] += patch.forX[k] * dy;
      out[2] += patch.forY[k] * dx;
      out[3] += patch.forY[k] * dy;
    }
  return out;
}

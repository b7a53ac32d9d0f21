import { cholesky, choleskySolve } from "../../maths/dense.ts";
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
  /** Coefficients of x^i y^j in X and in Y, at `termIndex(i, j)`. */
  readonly forX: Float64Array;
  readonly forY: Float64Array;
}

/** Fits the patch to the map over a square of half side `scale` about (cx, cy). */
export function straightPatch(map: PlaneMap, cx: number, cy: number, scale: number): StraightPatch {
  const forX = new Float64Array(terms);
  const forY = new Float64Array(terms);
  if (map.isIdentity) {
    forX[termIndex(1, 0)] = 1;
    forY[termIndex(0, 1)] = 1;
    return { cx, cy, scale, forX, forY };
  }
  const { rows, factor } = sampling();
  const pixel = new Float64Array(2);
  for (let b = 0; b < samplesPerAxis; b++)
    for (let a = 0; a < samplesPerAxis; a++) {
      pixel[0] = cx + scale * sample(a);
      pixel[1] = cy + scale * sample(b);
      const plane = map.toPlane(pixel);
      const row = (b * samplesPerAxis + a) * terms;
      for (let i = 0; i < terms; i++) {
        forX[i] += (rows[row + i] * (plane[0] - cx)) / scale;
        forY[i] += (rows[row + i] * (plane[1] - cy)) / scale;
      }
    }
  choleskySolve(factor, terms, forX);
  choleskySolve(factor, terms, forY);
  return { cx, cy, scale, forX, forY };
}

/** Chebyshev points keep the error even up to the rim. */
const sample = (k: number): number => Math.cos((Math.PI * (k + 0.5)) / samplesPerAxis);

/** Monomials at the samples and the factor of their normal matrix: the same for every patch. */
const sampling = (() => {
  let made: { readonly rows: Float64Array; readonly factor: Float64Array } | null = null;
  return () => {
    made ??= makeSampling();
    return made;
  };
})();

function makeSampling() {
  const rows = new Float64Array(samplesPerAxis * samplesPerAxis * terms);
  const factor = new Float64Array(terms * terms);
  for (let k = 0; k < samplesPerAxis * samplesPerAxis; k++) {
    const row = rows.subarray(k * terms, (k + 1) * terms);
    monomials(sample(k % samplesPerAxis), sample(Math.floor(k / samplesPerAxis)), row);
    for (let i = 0; i < terms; i++)
      for (let j = 0; j <= i; j++) factor[i * terms + j] += row[i] * row[j];
  }
  cholesky(factor, terms);
  return { rows, factor };
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

/** d(X, Y)/d(x, y) of the patch, row-major, at a normalised pixel. */
export function patchJacobian(
  patch: StraightPatch,
  x: number,
  y: number,
): [number, number, number, number] {
  let [xx, xy, yx, yy] = [0, 0, 0, 0];
  // Rows of the triangle: x^(i - 1) and y^(j - 1) come from multiplying up.
  for (let i = 0, xi = 1, xBefore = 0; i <= degree; i++) {
    for (let j = 0, yj = 1, yBefore = 0; i + j <= degree; j++) {
      const k = termIndex(i, j);
      const dx = i * xBefore * yj;
      const dy = j * xi * yBefore;
      xx += patch.forX[k] * dx;
      xy += patch.forX[k] * dy;
      yx += patch.forY[k] * dx;
      yy += patch.forY[k] * dy;
      yBefore = yj;
      yj *= y;
    }
    xBefore = xi;
    xi *= x;
  }
  return [xx, xy, yx, yy];
}

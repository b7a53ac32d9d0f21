import type { FeatureNoise } from "../../detect/findings/findings.ts";
import { symmetricEigen } from "../../maths/dense.ts";
import { whiten } from "../factors/image-factor.ts";
import type { BoardObservation } from "../problem/problem.ts";

/**
 * Noise of a view in two parts: the finder's own covariance C times scale^2, and a displacement of
 * the picture that nothing explains (rest of the lens, rest of a tremor), which moves a board as a
 * whole and stretches it a little. Over one board that field is taken as linear: two shifts of
 * standard deviation `fieldPx`, and four gradients of fieldPx / fieldLengthPx, all independent.
 * Boards of one photo, and photos, are taken as independent of each other.
 */
export interface NoiseParts {
  readonly scale: number;
  readonly fieldPx: number;
}

/**
 * Distance over which such a field changes, px. A ripple of three to five half waves from the middle
 * to the corner of a 12-megapixel frame has wavelengths of 1000 to 1700 px; gradient over value is
 * 2 pi over that. No source; it only has to be of the right order.
 */
const fieldLengthPx = 250;

/** Shifts along x and y, then du/dx, du/dy, dv/dx, dv/dy. */
const patterns = 6;

/** The field's patterns at the features of a view: 2n x 6, px per px of the field. */
const patternsOf = ({ pixels }: BoardObservation): Float64Array => {
  const n = pixels.length / 2;
  let [mx, my] = [0, 0];
  for (let i = 0; i < n; i++) {
    mx += pixels[2 * i] / n;
    my += pixels[2 * i + 1] / n;
  }
  const out = new Float64Array(2 * n * patterns);
  for (let i = 0; i < n; i++) {
    const x = (pixels[2 * i] - mx) / fieldLengthPx;
    const y = (pixels[2 * i + 1] - my) / fieldLengthPx;
    out.set([1, 0, x, y, 0, 0], 2 * i * patterns);
    out.set([0, 1, 0, 0, x, y], (2 * i + 1) * patterns);
  }
  return out;
};

const allPatterns = Array.from({ length: patterns }, (_, k) => k);

/** The field's patterns in units of the view's noise, rows x 6. */
export const whitenedPatterns = (observation: BoardObservation): Float64Array => {
  const { noise, pixels } = observation;
  const rows = noise.kind === "full" ? noise.rows : pixels.length;
  const out = new Float64Array(rows * patterns);
  whiten(observation, patternsOf(observation), pixels.length, patterns, allPatterns, out);
  return out;
};

/**
 * The observation with both parts in its noise. With A the whitened patterns and
 * S = I + fieldPx^2 A A^T, whitened residuals are multiplied by S^-1/2 = I - A B A^T, with B by the
 * eigenvectors of A^T A.
 */
export const withNoise = (
  observation: BoardObservation,
  { scale, fieldPx }: NoiseParts,
): BoardObservation => {
  const scaled = { ...observation, noise: scaledNoise(observation.noise, scale) };
  if (fieldPx === 0) return scaled;
  const a = whitenedPatterns(scaled);
  const widening = { patterns: a, shrinking: shrinking(a, a.length / patterns, fieldPx) };
  return { ...scaled, widened: [...(scaled.widened ?? []), widening] };
};

/** B with (I + f^2 A A^T)^-1/2 = I - A B A^T. */
const shrinking = (a: Float64Array, rows: number, field: number): Float64Array => {
  const gram = new Float64Array(patterns * patterns);
  for (let row = 0; row < rows; row++)
    for (let k = 0; k < patterns; k++)
      for (let l = 0; l < patterns; l++)
        gram[k * patterns + l] += a[row * patterns + k] * a[row * patterns + l];
  const { values, vectors } = symmetricEigen(gram, patterns);
  const largest = Math.max(...values);
  const b = new Float64Array(patterns * patterns);
  values.forEach((value, e) => {
    if (!(value > 1e-12 * largest)) return;
    const f = (1 - 1 / Math.sqrt(1 + field ** 2 * value)) / value;
    for (let k = 0; k < patterns; k++)
      for (let l = 0; l < patterns; l++)
        b[k * patterns + l] += f * vectors[k * patterns + e] * vectors[l * patterns + e];
  });
  return b;
};

const scaledNoise = (noise: FeatureNoise, scale: number): FeatureNoise =>
  noise.kind === "isotropic"
    ? { kind: "isotropic", sigmaPx: noise.sigmaPx * scale }
    : { ...noise, sqrtInformation: noise.sqrtInformation.map((value) => value / scale) };

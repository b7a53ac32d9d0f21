import { cellOf, type FrameSize, type LensRemainder, splineWeights } from "../../lens/remainder.ts";
import { cholesky, choleskyInverse, choleskySolve } from "../../maths/dense.ts";

/**
 * The smooth displacement that a lens model leaves, from the residuals of the sheet photos: a linear
 * model with normal priors on its coefficients (Bayesian linear regression; Bishop, Pattern
 * Recognition and Machine Learning, 2006, 3.3). The width of the priors is chosen by cross-validation
 * (leave one photo out), and there is a correction only where it predicts the left-out photos better
 * than none does: what differs from photo to photo (motion, the paper's shape) is not the lens.
 */

/** Residuals (seen minus computed, px) of one photo at pixels x0 y0 x1 y1 .. */
export interface PhotoResiduals {
  readonly pixels: ArrayLike<number>;
  readonly residuals: ArrayLike<number>;
}

/** Knots of the radial part from the middle to the corner: a lens's ripple has 3 to 5 half waves. */
const radialCells = 10;
const radialSize = radialCells + 3;
/** Cells of the general part, along the longer and the shorter side. */
const columns = 4;
const rows = 3;
const generalSize = (columns + 3) * (rows + 3);
const size = radialSize + 2 * generalSize;
/** Tried prior variances of the coefficients, in units of the residuals' own variance; 0 = none. */
const triedRadial = [0, 1, 10, 100];
const triedGeneral = [0, 0.01, 0.1, 1];
/**
 * A correction must reduce the left-out photos' sum of squares by this share. Our own: of noise
 * alone, twelve simulated sets of photos gained far less.
 */
const leastGain = 0.02;
const fewestPhotos = 4;

/** Where the parts of the model lie in the frame. */
interface Frame extends FrameSize {
  readonly centre: readonly [number, number];
  readonly cornerPx: number;
}

/** The correction, or null where left-out photos gain nothing from one. */
export const lensRemainder = (
  photos: readonly PhotoResiduals[],
  size: FrameSize,
  centre: readonly [number, number],
): LensRemainder | null => {
  if (photos.length < fewestPhotos) return null;
  const frame = { ...size, centre, cornerPx: Math.hypot(size.width, size.height) / 2 };
  const parts = photos.map((photo) => normalsOf(photo, frame));
  const all = parts.reduce((sum, { squares }) => sum + squares, 0);
  let best: { prior: Prior; left: number } | null = null;
  for (const radial of triedRadial)
    for (const general of triedGeneral) {
      if (radial === 0 && general === 0) continue;
      const left = leftOut(parts, { radial, general });
      if (left !== null && (!best || left < best.left)) best = { prior: { radial, general }, left };
    }
  if (!best || best.left > (1 - leastGain) * all) return null;
  return correction(parts, frame, best.prior);
};

interface Prior {
  readonly radial: number;
  readonly general: number;
}

interface Normals {
  /** size x size and size: sums of features times features, and times residuals. */
  readonly n: Float64Array;
  readonly g: Float64Array;
  readonly squares: number;
  readonly count: number;
}

/** The model's features at a pixel: coefficient numbers and weights for dx and for dy. */
const featuresAt = (frame: Frame, x: number, y: number) => {
  const [u, v] = [x - frame.centre[0], y - frame.centre[1]];
  const step = frame.cornerPx / radialCells;
  const [ring, t] = cellOf(Math.hypot(u, v) / step, radialCells);
  const [i, s] = cellOf((x / (frame.width - 1)) * columns, columns);
  const [j, q] = cellOf((y / (frame.height - 1)) * rows, rows);
  const at: number[] = [];
  const ofX: number[] = [];
  const ofY: number[] = [];
  splineWeights(t).forEach((w, k) => {
    at.push(ring + k);
    ofX.push((w * u) / frame.cornerPx);
    ofY.push((w * v) / frame.cornerPx);
  });
  const across = splineWeights(s);
  splineWeights(q).forEach((wy, b) => {
    across.forEach((wx, a) => {
      const cell = radialSize + (j + b) * (columns + 3) + i + a;
      at.push(cell, cell + generalSize);
      ofX.push(wy * wx, 0);
      ofY.push(0, wy * wx);
    });
  });
  return { at, ofX, ofY };
};

const normalsOf = ({ pixels, residuals }: PhotoResiduals, frame: Frame): Normals => {
  const n = new Float64Array(size * size);
  const g = new Float64Array(size);
  let squares = 0;
  for (let p = 0; p < pixels.length; p += 2) {
    const { at, ofX, ofY } = featuresAt(frame, pixels[p], pixels[p + 1]);
    const [rx, ry] = [residuals[p], residuals[p + 1]];
    squares += rx * rx + ry * ry;
    for (let a = 0; a < at.length; a++) {
      g[at[a]] += ofX[a] * rx + ofY[a] * ry;
      for (let b = 0; b < at.length; b++)
        n[at[a] * size + at[b]] += ofX[a] * ofX[b] + ofY[a] * ofY[b];
    }
  }
  return { n, g, squares, count: pixels.length };
};

const sumOf = (parts: readonly Normals[]): Normals => {
  const n = new Float64Array(size * size);
  const g = new Float64Array(size);
  for (const part of parts) {
    for (let i = 0; i < n.length; i++) n[i] += part.n[i];
    for (let i = 0; i < size; i++) g[i] += part.g[i];
  }
  return {
    n,
    g,
    squares: parts.reduce((sum, part) => sum + part.squares, 0),
    count: parts.reduce((sum, part) => sum + part.count, 0),
  };
};

/** A coefficient without a prior width is zero: held there by a large weight. */
const heldWeight = 1e9;

/** Cholesky factor of the normal matrix with the prior's weights; null where it has none. */
const factorOf = ({ n }: Normals, prior: Prior): Float64Array | null => {
  const a = n.slice();
  for (let i = 0; i < size; i++) {
    const width = i < radialSize ? prior.radial : prior.general;
    a[i * (size + 1)] += width > 0 ? 1 / width : heldWeight;
  }
  return cholesky(a, size).failedAt < 0 ? a : null;
};

/** Sum of squares of the prediction errors of all photos, each predicted from the others. */
const leftOut = (parts: readonly Normals[], prior: Prior): number | null => {
  const total = sumOf(parts);
  let sum = 0;
  for (const part of parts) {
    const n = total.n.map((v, i) => v - part.n[i]);
    const coefficients = total.g.map((v, i) => v - part.g[i]);
    const factor = factorOf({ ...total, n }, prior);
    if (!factor) return null;
    choleskySolve(factor, size, coefficients);
    // |r - F c|^2 = r^T r - 2 c^T F^T r + c^T F^T F c.
    let missed = part.squares;
    for (let i = 0; i < size; i++) {
      const c = coefficients[i];
      if (c === 0) continue;
      missed -= 2 * c * part.g[i];
      for (let j = 0; j < size; j++) missed += c * part.n[i * size + j] * coefficients[j];
    }
    sum += missed;
  }
  return sum;
};

const correction = (
  parts: readonly Normals[],
  frame: Frame,
  prior: Prior,
): LensRemainder | null => {
  const total = sumOf(parts);
  const factor = factorOf(total, prior);
  if (!factor) return null;
  const coefficients = total.g.slice();
  choleskySolve(factor, size, coefficients);
  const explained = coefficients.reduce((sum, c, i) => sum + c * total.g[i], 0);
  const variance = Math.max(0, total.squares - explained) / total.count;
  const covariance = choleskyInverse(factor, size);
  const sdPx: number[] = [];
  for (let j = 0; j <= rows; j++)
    for (let i = 0; i <= columns; i++) {
      const x = (i / columns) * (frame.width - 1);
      const y = (j / rows) * (frame.height - 1);
      sdPx.push(rounded(Math.sqrt(variance * spreadAt(covariance, frame, x, y))));
    }
  const list = (from: number, count: number): number[] =>
    Array.from(coefficients.subarray(from, from + count), rounded);
  return {
    centre: [...frame.centre],
    radialStepPx: frame.cornerPx / radialCells,
    radialPx: list(0, radialSize),
    radialUnitPx: frame.cornerPx,
    columns,
    rows,
    alongX: list(radialSize, generalSize),
    alongY: list(radialSize + generalSize, generalSize),
    sdPx,
  };
};

/** Mean over x and y of the displacement's variance there, in units of the residuals' variance. */
const spreadAt = (covariance: Float64Array, frame: Frame, x: number, y: number): number => {
  const { at, ofX, ofY } = featuresAt(frame, x, y);
  let sum = 0;
  for (let a = 0; a < at.length; a++)
    for (let b = 0; b < at.length; b++)
      sum += covariance[at[a] * size + at[b]] * (ofX[a] * ofX[b] + ofY[a] * ofY[b]);
  return sum / 2;
};

/** Files need no more digits than this, px. */
const rounded = (value: number): number => Number(value.toFixed(6));

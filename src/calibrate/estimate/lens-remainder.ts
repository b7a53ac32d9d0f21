import { type Lens, lensSize } from "../../lens/lens.ts";
import type { LensRemainder } from "../../lens/remainder.ts";
import { cholesky, choleskyInverse, choleskySolve } from "../../maths/dense.ts";
import { lensDoubt } from "./lens-doubt.ts";
import {
  columns,
  type Frame,
  generalSize,
  modelSize,
  radialCells,
  radialSize,
  rows,
} from "./remainder-model.ts";
import type { PhotoNormals, SheetNormals } from "./sheet-normals.ts";

/**
 * The smooth displacement that a lens model leaves, estimated together with everything else that the
 * sheet photos tell (poses, motion, sheet, Brown's numbers): a linear model with normal priors on its
 * coefficients (Bayesian linear regression; Bishop, Pattern Recognition and Machine Learning, 2006,
 * 3.3). The width of the priors is chosen by cross-validation (leave one photo out), and there is a
 * correction only where it predicts the left-out photos better than none does: what differs from photo
 * to photo (motion, the paper's shape) is not the lens.
 */

/** Tried prior standard deviations of the coefficients, px of a frame 4032 px wide; 0 = none. */
const triedRadialPx = [0, 0.05, 0.2, 0.8];
const triedGeneralPx = [0, 0.03, 0.15];
const usualWidth = 4032;
/**
 * A correction must reduce the left-out photos' sum of squares by this share. Our own: of noise
 * alone, twelve simulated sets of photos gained far less.
 */
const leastGain = 0.02;
const fewestPhotos = 4;

/** How the displacement was found, for the spread of what is left. */
export interface LensUnknowns {
  readonly lens: Lens;
  /** 9 x unknowns, row-major: from the camera's unknowns to the lens numbers. */
  readonly spread: Float64Array;
}

export interface FoundRemainder {
  /** The correction in all, where the photos had some taken off already. */
  readonly remainder: LensRemainder;
  /** The same with what is not known of it. */
  readonly withDoubt: (unknowns: LensUnknowns | null) => LensRemainder;
}

/**
 * The correction, or null where left-out photos gain nothing from one. `known` is what the photos had
 * taken off already.
 */
export const lensRemainder = (
  normals: SheetNormals,
  frame: Frame,
  known: LensRemainder | null = null,
): FoundRemainder | null => {
  if (normals.photos.length < fewestPhotos) return null;
  const { others } = normals;
  const had = known && coefficientsOf(known);
  const parts = normals.photos.map((photo) => (had ? fromNothing(photo, others, had) : photo));
  const all = { ...normals, photos: parts };
  let best: { prior: Prior; left: number } | null = null;
  const scale = frame.width / usualWidth;
  const none = leftOut(all, { radial: 0, general: 0 });
  for (const radial of triedRadialPx)
    for (const general of triedGeneralPx) {
      if (radial === 0 && general === 0) continue;
      const prior = { radial: (radial * scale) ** 2, general: (general * scale) ** 2 };
      const left = leftOut(all, prior);
      if (left !== null && (!best || left < best.left)) best = { prior, left };
    }
  if (!best || (none !== null && best.left > (1 - leastGain) * none)) return null;
  return correction(all, frame, best.prior);
};

/** Prior variances, px^2. */
interface Prior {
  readonly radial: number;
  readonly general: number;
}

const coefficientsOf = ({ radialPx, alongX, alongY }: LensRemainder): Float64Array =>
  Float64Array.from([...radialPx, ...alongX, ...alongY]);

/** Normals about coefficients of zero, from those about the coefficients `had`. */
const fromNothing = (
  { n, g, squares }: PhotoNormals,
  others: number,
  had: Float64Array,
): PhotoNormals => {
  const size = g.length;
  const moved = g.slice();
  let sum = squares;
  for (let a = 0; a < size; a++) {
    let along = 0;
    for (let b = 0; b < modelSize; b++) along += n[a * size + others + b] * had[b];
    moved[a] += along;
    if (a >= others) sum += had[a - others] * (2 * g[a] + along);
  }
  return { n, g: moved, squares: sum };
};

const sumOf = ({ photos, priors }: SheetNormals): PhotoNormals => {
  const n = priors.n.slice();
  const g = priors.g.slice();
  for (const part of photos) {
    for (let i = 0; i < n.length; i++) n[i] += part.n[i];
    for (let i = 0; i < g.length; i++) g[i] += part.g[i];
  }
  return { n, g, squares: photos.reduce((sum, part) => sum + part.squares, priors.squares) };
};

/** A coefficient without a prior width is zero: held there by a large weight. */
const heldWeight = 1e12;

/** Cholesky factor of the normal matrix with the prior's weights; null where it has none. */
const factorOf = (n: Float64Array, others: number, prior: Prior): Float64Array | null => {
  const a = n.slice();
  const size = others + modelSize;
  for (let i = 0; i < modelSize; i++) {
    const variance = i < radialSize ? prior.radial : prior.general;
    a[(others + i) * (size + 1)] += variance > 0 ? 1 / variance : heldWeight;
  }
  return cholesky(a, size).failedAt < 0 ? a : null;
};

/** Sum of squares of the prediction errors of all photos, each predicted from the others. */
const leftOut = (normals: SheetNormals, prior: Prior): number | null => {
  const total = sumOf(normals);
  const size = total.g.length;
  let sum = 0;
  for (const part of normals.photos) {
    const n = total.n.map((v, i) => v - part.n[i]);
    const x = total.g.map((v, i) => v - part.g[i]);
    const factor = factorOf(n, normals.others, prior);
    if (!factor) return null;
    choleskySolve(factor, size, x);
    let missed = part.squares;
    for (let i = 0; i < size; i++) {
      if (x[i] === 0) continue;
      missed -= 2 * x[i] * part.g[i];
      for (let j = 0; j < size; j++) missed += x[i] * part.n[i * size + j] * x[j];
    }
    sum += missed;
  }
  return sum;
};

const correction = (normals: SheetNormals, frame: Frame, prior: Prior): FoundRemainder | null => {
  const { others, lensAt } = normals;
  const total = sumOf(normals);
  const size = total.g.length;
  const factor = factorOf(total.n, others, prior);
  if (!factor) return null;
  const x = total.g.slice();
  choleskySolve(factor, size, x);
  const remainder: LensRemainder = {
    centre: [...frame.centre],
    radialStepPx: frame.cornerPx / radialCells,
    radialUnitPx: frame.cornerPx,
    columns,
    rows,
    ...inParts(x.subarray(others)),
    sdPx: new Array((columns + 1) * (rows + 1)).fill(0),
  };
  const withDoubt = (unknowns: LensUnknowns | null): LensRemainder => {
    const follow = unknowns && lensFollows(total.n, others, lensAt, unknowns);
    const covariance = lastPart(choleskyInverse(factor, size), size);
    return { ...remainder, ...lensDoubt(covariance, frame, unknowns?.lens ?? null, follow) };
  };
  return { remainder, withDoubt };
};

/** The coefficients' part of a covariance. */
const lastPart = (whole: Float64Array, size: number): Float64Array => {
  const out = new Float64Array(modelSize * modelSize);
  const others = size - modelSize;
  for (let a = 0; a < modelSize; a++)
    out.set(whole.subarray((others + a) * size + others, (others + a + 1) * size), a * modelSize);
  return out;
};

/** Coefficients by the parts of the model, with no more digits than files need. */
const inParts = (coefficients: ArrayLike<number>) => {
  const list = (from: number, count: number): number[] =>
    Array.from({ length: count }, (_, i) => rounded(coefficients[from + i]));
  return {
    radialPx: list(0, radialSize),
    alongX: list(radialSize, generalSize),
    alongY: list(radialSize + generalSize, generalSize),
  };
};

/**
 * How the lens numbers follow a change of the coefficients (9 x coefficients): -N_oo^-1 N_oc. The
 * covariance of the lens is that for known coefficients, so that what the coefficients' own error
 * moves, the lens following it, is independent of it.
 */
const lensFollows = (
  n: Float64Array,
  others: number,
  lensAt: number,
  { spread }: LensUnknowns,
): Float64Array => {
  const size = others + modelSize;
  const out = new Float64Array(lensSize * modelSize);
  const factor = new Float64Array(others * others);
  for (let i = 0; i < others; i++) factor.set(n.subarray(i * size, i * size + others), i * others);
  if (cholesky(factor, others).failedAt >= 0) return out;
  const free = others - lensAt;
  for (let k = 0; k < modelSize; k++) {
    const column = Float64Array.from({ length: others }, (_, i) => -n[i * size + others + k]);
    choleskySolve(factor, others, column);
    for (let i = 0; i < lensSize; i++)
      for (let a = 0; a < free; a++)
        out[i * modelSize + k] += spread[i * free + a] * column[lensAt + a];
  }
  return out;
};

/** Files need no more digits than this, px. */
const rounded = (value: number): number => Number(value.toFixed(6));

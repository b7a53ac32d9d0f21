import { cholesky, solveLower, symmetricEigen } from "../maths/dense.ts";
import { chiSquareSurvival } from "../maths/statistics.ts";
import type { Remark } from "./codes.ts";
import { focalVarianceBefore, mostByFocusing } from "./focus-doubt.ts";
import { type Lens, lensOrder, lensSize, lensToVector } from "./lens.ts";

/**
 * A profile ages: a dropped phone, another case, a system update. A job that used the profile as
 * prior has its own opinion of the lens, and the two are compared before anything is believed.
 *
 * With prior covariance C and the covariance D after the job's photos, the shift of the lens has
 * covariance C - D (the two-step form of least squares; Koch, Parameter Estimation and Hypothesis
 * Testing, 3.2.7). In the directions in which the job says something at all,
 * shift^T (C - D)^-1 shift is chi-squared when profile and job speak of the same lens.
 */
export interface LensCheck {
  readonly statistic: number;
  /** Directions in which the job's photos improve on the profile. */
  readonly dof: number;
  /** Probability of a statistic this large when the lens is the profile's. */
  readonly probability: number;
  /** Shift of the focal length, relative, for the sentence. */
  readonly focalShift: number;
  readonly agrees: boolean;
  readonly remark: Remark | null;
}

/**
 * A direction counts when the job shrinks its variance by at least this share: the job alone then knows
 * it within 1.5 of the profile's standard deviations. Where it knows less, a little that neither models
 * (distortion at another focus) would be magnified into a contradiction, and the job's answer follows the
 * profile anyway. Our own, no source.
 */
const smallestGain = 0.3;
/**
 * A contradiction holds the verdict back, and another lens shows by hundreds: the bound leaves room for
 * what neither model knows (a sheet that is bent in more than one way). With 1e-3 one of 61 simulated jobs
 * in order was called contradicted. Our own, no source.
 */
const warnBelow = 1e-4;

/**
 * Compares a profile's lens with the one that a job's photos leave after using it as prior. Both
 * covariances are 9 x 9 row-major in `lensOrder`. A profile without uncertainty, or photos that say
 * nothing about the lens, agree.
 */
export const checkLens = (
  profileLens: Lens,
  profileCovariance: ArrayLike<number>,
  jobLens: Lens,
  jobCovariance: ArrayLike<number>,
): LensCheck => {
  const used = lensOrder.flatMap((_, i) => (profileCovariance[i * (lensSize + 1)] > 0 ? [i] : []));
  const n = used.length;
  const before = lensToVector(profileLens);
  const after = lensToVector(jobLens);
  const shift = Float64Array.from(used, (i) => after[i] - before[i]);
  const factor = Float64Array.from(
    used.flatMap((i) => used.map((j) => profileCovariance[i * lensSize + j])),
  );
  const focalShift = after[0] / before[0] - 1;
  if (n === 0 || cholesky(factor, n).failedAt >= 0) return undecided(focalShift);
  solveLower(factor, n, shift);
  const { values, vectors } = symmetricEigen(whitened(jobCovariance, factor, used), n);
  let statistic = 0;
  let dof = 0;
  for (let k = 0; k < n; k++) {
    const gain = 1 - values[k];
    if (gain < smallestGain) continue;
    let along = 0;
    for (let i = 0; i < n; i++) along += vectors[i * n + k] * shift[i];
    statistic += along ** 2 / gain;
    dof++;
  }
  if (dof === 0) return undecided(focalShift);
  const probability = chiSquareSurvival(statistic, dof);
  const focusing = isByFocusing(profileLens, profileCovariance, jobLens, jobCovariance);
  const agrees = probability >= warnBelow && focusing;
  return {
    statistic,
    dof,
    probability,
    focalShift,
    agrees,
    remark: agrees ? null : disagreement(focalShift),
  };
};

/** A shift beyond what focusing explains counts from so many of its standard deviations. */
const surely = 3;

/**
 * The prior allows focusing a normal distribution, whose tails allow more than any lens does: beyond
 * the whole of it (`mostByFocusing`) only profile and job themselves are in doubt.
 */
const isByFocusing = (
  profileLens: Lens,
  profileCovariance: ArrayLike<number>,
  jobLens: Lens,
  jobCovariance: ArrayLike<number>,
): boolean => {
  const shift = Math.abs(jobLens.fx - profileLens.fx);
  const variance = focalVarianceBefore(profileLens, profileCovariance) + jobCovariance[0];
  return shift <= mostByFocusing * profileLens.fx + surely * Math.sqrt(variance);
};

/** L^-1 D L^-T over the used numbers. */
const whitened = (
  covariance: ArrayLike<number>,
  factor: Float64Array,
  used: readonly number[],
): Float64Array => {
  const n = used.length;
  const half = new Float64Array(n * n);
  for (const [b, j] of used.entries()) {
    const column = Float64Array.from(used, (i) => covariance[i * lensSize + j]);
    solveLower(factor, n, column);
    for (let a = 0; a < n; a++) half[b * n + a] = column[a];
  }
  const out = new Float64Array(n * n);
  for (let a = 0; a < n; a++) {
    const column = Float64Array.from({ length: n }, (_, b) => half[b * n + a]);
    solveLower(factor, n, column);
    for (let b = 0; b < n; b++) out[a * n + b] = column[b];
  }
  return out;
};

/** A job's focal length longer by this share than the profile's looks like a crop or a zoom. */
export const zoomedFrom = 0.01;

const undecided = (focalShift: number): LensCheck => ({
  statistic: 0,
  dof: 0,
  probability: 1,
  focalShift,
  agrees: true,
  remark: null,
});

/** That profile and photos speak of different lenses; the shift of the focal length is relative. */
export const disagreement = (focalShift: number): Remark =>
  focalShift >= zoomedFrom ? zoomed(focalShift) : otherLens(focalShift);

const zoomed = (focalShift: number): Remark => ({
  code: "profile-disagrees-zoomed",
  values: { percent: 100 * focalShift },
  severity: "warning",
  message: `The job's own photos show a focal length ${(100 * focalShift).toFixed(1)} % longer than the camera profile, as after digital zoom or a crop.`,
  remedy:
    "Use the original photos, uncropped and at the zoom of the camera step, and measure again; if these are the originals, do the camera step again.",
});

const otherLens = (focalShift: number): Remark => ({
  code: "profile-disagrees",
  severity: "warning",
  message: `The job's own photos contradict the camera profile: they show another lens (focal length ${focalShift >= 0 ? "longer" : "shorter"} by ${(100 * Math.abs(focalShift)).toFixed(2)} %).`,
  remedy:
    "Do the camera step again with this phone, at the same zoom and without a new case or lens cover, and measure again.",
});

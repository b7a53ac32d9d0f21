/**
 * How much a group of unknowns of one kind spreads, told from their own estimates: the hand's turn
 * over the photos of a job, focal length and principal point over those of the camera step.
 *
 * Each such number is an unknown with a prior of mean zero; the priors are observations with a
 * share of the redundancy like any other, r = 1 - C_ii / sd^2. Helmert's simplified estimate of a
 * variance component (Foerstner 1979: sd^2 = v^T v / r, repeated until it stands still) needs no
 * more than the estimated numbers and their variances.
 *
 * General experience (`usual`) enters with the weight of some degrees of freedom, as a scaled inverse
 * chi-squared prior (Gelman et al., Bayesian Data Analysis, 2.6); with much data it fades out. The
 * estimate is the mean of that distribution, not its peak, so that variances are right on average.
 */
import { chiSquareQuantile, fisherQuantile } from "../../maths/statistics.ts";

/** Degrees of freedom of general experience: it weighs as much as a guess. */
const usualWeight = 2;

export interface ComponentEstimate {
  readonly sd: number;
  /** Degrees of freedom that the photos contributed. */
  readonly fromPhotos: number;
}

/**
 * One step of the estimate. `values` and `variances` are the estimated numbers and their variances
 * (posterior) under a prior of standard deviation `priorSd`; `usual` the general experience.
 */
export const updateComponent = (
  values: ArrayLike<number>,
  variances: ArrayLike<number>,
  priorSd: number,
  usual: number,
): ComponentEstimate => {
  let squares = 0;
  let redundancy = 0;
  for (let i = 0; i < values.length; i++) {
    squares += values[i] ** 2;
    redundancy += Math.min(1, Math.max(0, 1 - variances[i] / priorSd ** 2));
  }
  const variance = (usualWeight * usual ** 2 + squares) / (usualWeight + redundancy);
  return { sd: Math.sqrt(variance), fromPhotos: redundancy };
};

/** Grid of the logarithm of the deviation over the usual one, and its step. */
const [lowest, highest, step] = [-6, 4, 0.08];
/** Degrees of freedom of the half-t prior: heavy tails, yet its variance is finite. */
const tails = 4;

/**
 * Standard deviation of numbers that may all be zero, such as the turns of a phone on a tripod. The
 * prior of `updateComponent` rules zero out however clear the photos are; a half-t prior on the
 * deviation, with `usual` as its scale, does not (Gelman, Prior distributions for variance parameters in
 * hierarchical models, Bayesian Analysis 1, 2006). Each number with its posterior variance v under the
 * prior s gives back what the photos alone say of it, d = value / (1 - v / s^2) with variance
 * v / (1 - v / s^2); the marginal likelihood of d ~ N(0, variance + sd^2), taken as independent, times
 * the prior is summed over a grid. Returned is the root of the mean variance.
 */
export const expectedSd = (
  values: ArrayLike<number>,
  variances: ArrayLike<number>,
  priorSd: number,
  usual: number,
): number => {
  const told = Array.from(values, (value, k) => {
    const gain = Math.min(1, 1 - variances[k] / priorSd ** 2);
    return { square: (value / gain) ** 2, variance: variances[k] / gain, gain };
  }).filter(({ gain }) => gain > 1e-6);
  const points: { sd2: number; log: number }[] = [];
  for (let x = lowest; x <= highest; x += step) {
    const sd2 = (usual * Math.exp(x)) ** 2;
    let log = x - ((tails + 1) / 2) * Math.log(1 + sd2 / (tails * usual ** 2));
    for (const { square, variance } of told)
      log -= (Math.log(variance + sd2) + square / (variance + sd2)) / 2;
    points.push({ sd2, log });
  }
  const top = Math.max(...points.map(({ log }) => log));
  const weights = points.map(({ log }) => Math.exp(log - top));
  const whole = weights.reduce((sum, w) => sum + w, 0);
  return Math.sqrt(weights.reduce((sum, w, i) => sum + w * points[i].sd2, 0) / whole);
};

/** Degrees of freedom of the prior whose mean has the weight `usualWeight`. */
const priorDegrees = usualWeight + 2;

/**
 * Factor on an estimated sd so that regions of 95 % drawn from it as if it were known hold 95 %: one
 * photo's change is three numbers, for which 3 F(3, nu) takes the place of chi-squared(3)
 * (Hotelling; Koch, Parameter Estimation and Hypothesis Testing, 2.6.7). The share that the mean of
 * the distribution already has, nu / (nu - 2), is taken off.
 */
export const widening = ({ fromPhotos }: ComponentEstimate): number => {
  const nu = priorDegrees + fromPhotos;
  const region = (3 * fisherQuantile(0.95, 3, nu)) / chiSquareQuantile(0.95, 3);
  return Math.sqrt(Math.max(1, (region * (nu - 2)) / nu));
};

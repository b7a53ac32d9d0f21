/**
 * How much this phone's focal length and principal point change from photo to photo, and how noisy
 * its features are, told from the sheet photos themselves.
 *
 * Each per-photo change is an unknown with a prior of mean zero; the priors are observations with a
 * share of the redundancy like any other, r = 1 - C_ii / sd^2. Helmert's simplified estimate of a
 * variance component (Foerstner 1979: sd^2 = v^T v / r, repeated until it changes no more) needs no more
 * than the estimated changes and their variances.
 *
 * A planar sheet tells focal change and shift apart from distance and turn only at a slant, so that r
 * may be far below the number of photos. The general experience about phones (`usual`) therefore
 * enters with the weight of `usualWeight` degrees of freedom, as a scaled inverse chi-squared prior
 * (Gelman et al., Bayesian Data Analysis, 2.6); with much data it fades out. The estimate is the mean
 * of that distribution, not its peak, so that the lens's variance is right on average.
 */
import { chiSquareQuantile, fisherQuantile } from "../../maths/statistics.ts";

/**
 * General experience, from the design: the focal length changes by 0.3 % (relative), the principal
 * point by 8 px on a picture 4032 px wide (share of the width). They weigh as much as a guess.
 */
export const usualFocalSd = 0.003;
export const usualShiftSd = 8 / 4032;
const usualWeight = 2;

export interface ComponentEstimate {
  readonly sd: number;
  /** Degrees of freedom that the photos contributed. */
  readonly fromPhotos: number;
}

/**
 * One step of the estimate. `values` and `variances` are the estimated changes and their variances
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

import { upperMedian } from "../../maths/median.ts";
import { chiSquareQuantile } from "../../maths/statistics.ts";
import type { Factor } from "../factors/factor.ts";

/**
 * Probability that a good view stays below the bound: with right noise statements one view in
 * 100,000 exceeds it, so that good data are adjusted by plain least squares. Our own, no source.
 */
const keepProbability = 1 - 1e-5;

const bounds = new Map<number, { median: number; bound: number }>();
const boundsFor = (rows: number): { median: number; bound: number } => {
  let entry = bounds.get(rows);
  if (!entry) {
    entry = {
      median: chiSquareQuantile(0.5, rows),
      bound: chiSquareQuantile(keepProbability, rows),
    };
    bounds.set(rows, entry);
  }
  return entry;
};

/** Cost of a view that cannot be projected (board behind the camera): the bound of its weighted cost. */
export const impossibleCost = (rows: number): number => boundsFor(rows).bound;

/** Median over the views of sum of squares over its expected median: 1 when noise is as stated. */
export const typicalMisfit = (views: readonly Factor[], costs: ArrayLike<number>): number => {
  const ratios = views.map((view, i) => costs[i] / boundsFor(view.rows).median);
  return upperMedian(ratios) ?? 1;
};

/**
 * Robust weights (0 to 1) of the first views.length factors from their costs (weighted sums of
 * squares); `misfit` from typicalMisfit. One weight per view (a board in a photo), never per whitened
 * component: features that were compressed or decorrelated are mixtures, and a gross error in one
 * spreads over all of them. A view whose cost s exceeds the bound T gets weight T / s. While the fit
 * is still poor the bound rises with the median view, so that the adjustment converges before views
 * lose weight (iteratively reweighted least squares: Holland & Welsch 1977).
 */
export const robustWeights = (
  views: readonly Factor[],
  costs: ArrayLike<number>,
  misfit: number,
  weights: Float64Array,
): void => {
  const factor = Math.max(1, misfit);
  views.forEach((view, i) => {
    const bound = boundsFor(view.rows).bound * factor;
    weights[i] = costs[i] <= bound ? 1 : bound / costs[i];
  });
};

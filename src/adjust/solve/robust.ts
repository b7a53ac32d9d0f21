import { upperMedian } from "../../maths/median.ts";
import { chiSquareQuantile } from "../../maths/statistics.ts";
import type { Factor } from "../factors/factor.ts";

/**
 * Robust weights, one per view (a board in a photo), never per whitened component: features that
 * were compressed or decorrelated are mixtures, and a gross error in one spreads over all of them.
 * A view whose weighted sum of squares s exceeds the bound T gets weight T / s. With right noise
 * statements a good view passes the bound but once in 100,000, so that good data are adjusted by
 * plain least squares. While the fit is still poor the bound rises with the median view, which
 * lets the adjustment converge before it judges (iteratively reweighted: Holland & Welsch 1977).
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

/** What a view costs that cannot be true at all: the limit of its weighted cost. */
export const impossibleCost = (rows: number): number => boundsFor(rows).bound;

/** Median over the views of sum of squares over its expected median: 1 when noise is as stated. */
export const typicalMisfit = (views: readonly Factor[], costs: ArrayLike<number>): number => {
  const ratios = views.map((view, i) => costs[i] / boundsFor(view.rows).median);
  return upperMedian(ratios) ?? 1;
};

/** Weights of the first views.length factors from their costs; `misfit` from typicalMisfit. */
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

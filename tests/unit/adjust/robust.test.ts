import { describe, expect, it } from "vitest";
import type { Factor } from "../../../src/adjust/factors/factor.ts";
import { impossibleCost, robustWeights, typicalMisfit } from "../../../src/adjust/solve/robust.ts";

const view = (rows: number): Factor => ({ rows }) as Factor;

/** Medians and 99.999 % points of chi-square: NIST/SEMATECH handbook 1.3.6.7.4 and R's qchisq, from memory. */
describe("robust weights of views", () => {
  it("bounds a view's cost by the chi-square point of 1 in 100,000", () => {
    // With two rows the distribution is exponential: -2 ln 1e-5.
    expect(impossibleCost(2)).toBeCloseTo(-2 * Math.log(1e-5), 6);
  });

  it("leaves good views at full weight and pulls a gross one down to its bound", () => {
    const views = [view(2), view(2), view(2)];
    const weights = new Float64Array(3);
    robustWeights(views, [1, 20, 1000], 1, weights);
    expect([...weights.slice(0, 2)]).toEqual([1, 1]);
    expect(weights[2] * 1000).toBeCloseTo(impossibleCost(2), 9);
  });

  it("raises the bound while most views still miss, and never lowers it", () => {
    const views = [view(2), view(2), view(2)];
    const weights = new Float64Array(3);
    const costs = [4000, 5000, 6000];
    const misfit = typicalMisfit(views, costs);
    expect(misfit).toBeCloseTo(5000 / (2 * Math.log(2)), 6);
    robustWeights(views, costs, misfit, weights);
    expect([...weights]).toEqual([1, 1, 1]);
    robustWeights(views, [1, 1, 100], 0.01, weights);
    expect(weights[2]).toBeCloseTo(impossibleCost(2) / 100, 9);
  });

  it("says 1 of no views", () => {
    expect(typicalMisfit([], [])).toBe(1);
  });
});

import { describe, expect, test } from "vitest";
import { solveLeastSquares } from "../../../src/numerics/least-squares.ts";
import { type NistSet, nistSets } from "./nist-sets.ts";

/** Smallest number of correct significant digits in a list. */
const digits = (found: ArrayLike<number>, certified: readonly number[]): number =>
  Math.min(...certified.map((c, i) => -Math.log10(Math.max(Math.abs(found[i] / c - 1), 1e-16))));

const solve = (set: NistSet, start: readonly number[]) =>
  solveLeastSquares(
    {
      unknowns: start.length,
      observations: set.x.length,
      residuals: (b, r) => {
        for (let i = 0; i < r.length; i++) r[i] = set.model(b, set.x[i]) - set.y[i];
      },
      jacobian: (b, j) => {
        set.x.forEach((x, i) => {
          j.set(set.gradient(b, x), i * start.length);
        });
      },
    },
    start,
  );

describe("NIST StRD nonlinear regression, certified to 11 digits", () => {
  test("at least eight sets, all levels", () => {
    expect(nistSets.length).toBeGreaterThanOrEqual(8);
    expect(new Set(nistSets.map((s) => s.level)).size).toBe(3);
  });
  for (const set of nistSets)
    for (const start of [0, 1])
      test(`${set.name} (${set.level}) from start ${start + 1}`, () => {
        expect(set.y.length).toBe(set.x.length);
        const outcome = solve(set, set.starts[start]);
        expect(outcome.ok).toBe(true);
        if (!outcome.ok) return;
        const sd = set.certified.map((_, i) =>
          Math.sqrt(outcome.varianceFactor * outcome.cofactor[i * (set.certified.length + 1)]),
        );
        expect(digits(outcome.x, set.certified)).toBeGreaterThan(6);
        expect(digits(sd, set.sd)).toBeGreaterThan(6);
        expect(digits([outcome.sumOfSquares], [set.sumOfSquares])).toBeGreaterThan(8);
      });
  test("the digit count would notice the seventh digit", () => {
    expect(digits([1.000001], [1])).toBeLessThan(6.1);
  });
});

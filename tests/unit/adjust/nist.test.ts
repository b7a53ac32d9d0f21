import { describe, expect, test } from "vitest";
import { type NistSet, nistSets } from "./nist-sets.ts";
import { type Solved, solveScalars } from "./scalar-problem.ts";

/** The adjustment's own iteration on the certified sets of NIST StRD (see nist-sets.ts). */
const solve = (set: NistSet, start: readonly number[]): Solved | null =>
  solveScalars(
    {
      start,
      rows: set.x.length,
      residuals: (b, r) => {
        set.x.forEach((x, i) => {
          r[i] = set.model(b, x) - set.y[i];
        });
      },
      slopes: (b, j) => {
        set.x.forEach((x, i) => {
          j.set(set.gradient(b, x), i * start.length);
        });
      },
    },
    Math.sqrt(set.sumOfSquares / (set.x.length - start.length)),
  );

/** Smallest number of correct significant digits in a list. */
const digits = (found: ArrayLike<number>, certified: readonly number[]): number =>
  Math.min(...certified.map((c, i) => -Math.log10(Math.max(Math.abs(found[i] / c - 1), 1e-16))));

/** Digits of values, standard deviations and sum of squares, whichever has fewest. */
const digitsOf = ({ values, sd, sumOfSquares }: Solved, set: NistSet): number =>
  Math.min(
    digits(values, set.certified),
    digits(sd, set.sd),
    digits([sumOfSquares], [set.sumOfSquares]),
  );

describe("NIST StRD, certified to 11 digits, through the adjustment's own iteration", () => {
  test("at least eight sets, all levels", () => {
    expect(nistSets.length).toBeGreaterThanOrEqual(8);
    expect(new Set(nistSets.map((set) => set.level)).size).toBe(3);
    for (const set of nistSets) expect(set.y.length, set.name).toBe(set.x.length);
  });

  for (const set of nistSets)
    test(`${set.name} (${set.level}) from the near start: six digits and more`, () => {
      const solved = solve(set, set.starts[1]);
      expect(solved).not.toBeNull();
      expect(digitsOf(solved!, set)).toBeGreaterThan(6);
    });

  // Far starts lead some sets astray (flat regions, singular normal equations). Then there must be
  // no answer; an answer must be the right one.
  test("from the far start: six digits for eight sets of all levels, the others refused", () => {
    const answers = nistSets.map((set) => ({ set, solved: solve(set, set.starts[0]) }));
    const given = answers.filter(({ solved }) => solved !== null);
    const wrong = given.filter(({ set, solved }) => digitsOf(solved!, set) <= 6);
    expect(wrong.map(({ set }) => set.name)).toEqual([]);
    expect(given.length).toBeGreaterThanOrEqual(8);
    expect(new Set(given.map(({ set }) => set.level)).size).toBe(3);
  });

  test("the digit count would notice the seventh digit", () => {
    expect(digits([1.000001], [1])).toBeLessThan(6.1);
  });
});

import { describe, expect, test } from "vitest";
import { smallFactor } from "../../../src/network/factor.ts";
import { layOut } from "../../../src/network/layout.ts";
import { makeModel, optimise } from "../../../src/network/optimise.ts";
import { priorState } from "../../../src/network/state.ts";
import { type NistSet, nistSets } from "../numerics/nist-sets.ts";

/**
 * The adjustment's own iteration on the certified sets of NIST StRD (see nist-sets.ts). It works on
 * normal equations and ends when a step gains 1e-9 of the variance: some 1e-4 of a standard
 * deviation, not eleven digits.
 */
interface Solved {
  readonly values: ArrayLike<number>;
  readonly sd: readonly number[];
}

/** Values and standard deviations, or null where the adjustment would refuse to answer. */
const solve = (set: NistSet, start: readonly number[]): Solved | null => {
  const n = start.length;
  const layout = layOut({
    cameras: [],
    photos: [],
    boards: [],
    prints: [],
    observations: [],
    lengths: [],
    floor: [],
    frames: [],
    scalars: [
      { key: "b", mean: start, sd: start.map(() => Number.POSITIVE_INFINITY), source: "other" },
    ],
    chains: [],
  });
  const sd = Math.sqrt(set.sumOfSquares / (set.x.length - n));
  const factor = smallFactor({
    label: set.name,
    source: "other",
    blocks: [0],
    width: n,
    rows: set.x.length,
    residuals(state, r, j) {
      const b = state.scalars[0];
      set.x.forEach((x, i) => {
        r[i] = (set.model(b, x) - set.y[i]) / sd;
        set.gradient(b, x).forEach((slope, k) => {
          if (j) j[i * n + k] = slope / sd;
        });
      });
    },
  });
  const { equations, ...model } = makeModel(layout, [], [factor]);
  const outcome = optimise({ ...model, equations }, priorState(layout), {
    robust: false,
    maxIterations: 2000,
  });
  if (!outcome.ok || !outcome.converged) return null;
  equations.build(outcome.state);
  const factorisation = equations.factor(0, []);
  if (!factorisation.ok) return null;
  const inverse = factorisation.keptInverse();
  return {
    values: outcome.state.scalars[0],
    sd: start.map((_, i) => Math.sqrt(inverse[i * (n + 1)])),
  };
};

const isRight = ({ values, sd }: Solved, set: NistSet): boolean =>
  set.certified.every(
    (certified, i) =>
      Math.abs(values[i] - certified) < 1e-3 * set.sd[i] && Math.abs(sd[i] / set.sd[i] - 1) < 1e-4,
  );

describe("NIST StRD through the adjustment's own iteration", () => {
  for (const set of nistSets)
    test(`${set.name} (${set.level}) from the near start`, () => {
      const solved = solve(set, set.starts[1]);
      expect(solved).not.toBeNull();
      expect(isRight(solved!, set)).toBe(true);
    });

  // Far starts lead some sets astray (flat regions, singular normal equations). Then there must be
  // no answer; an answer must be the right one.
  test("from the far start: right, or refused", () => {
    const answers = nistSets.map((set) => ({ set, solved: solve(set, set.starts[0]) }));
    const wrong = answers.filter(({ set, solved }) => solved !== null && !isRight(solved, set));
    expect(wrong.map(({ set }) => set.name)).toEqual([]);
    expect(answers.filter(({ solved }) => solved !== null).length).toBeGreaterThanOrEqual(8);
  });

  test("the comparison would notice a hundredth of a standard deviation", () => {
    const [set] = nistSets;
    const off = set.certified.map((value, i) => value + 0.01 * set.sd[i]);
    expect(isRight({ values: set.certified, sd: set.sd }, set)).toBe(true);
    expect(isRight({ values: off, sd: set.sd }, set)).toBe(false);
  });
});

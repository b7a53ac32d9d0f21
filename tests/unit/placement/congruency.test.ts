import { describe, expect, test } from "vitest";
import { symmetricEigen } from "../../../src/maths/dense.ts";
import { congruencyTest } from "../../../src/placement/decide/congruency.ts";

/**
 * Simulated two-epoch levelling of seven points, published with an R package for surveying
 * (pejovic/Surveyor, inst/extdata/snet1D_epoch_1.xlsx and _2.xlsx): from, to, height difference in
 * both epochs (m), number of stations n; weight 1/n. The figures checked against are least-squares
 * arithmetic on these data: pooled s0 0.42999 mm with 8 degrees of freedom, R3 moved.
 */
const lines: readonly (readonly [string, string, number, number, number])[] = [
  ["RM1", "RM2", 1.1996, 1.199, 4],
  ["RM2", "RM3", 2.0774, 2.0779, 10],
  ["RM3", "RM1", -3.2798, -3.2792, 8],
  ["RM1", "R1", 1.5302, 1.5307, 2],
  ["RM2", "R2", 0.3412, 0.3414, 2],
  ["RM3", "R3", -0.405, -0.419, 3],
  ["R1", "R2", 0.0126, 0.0119, 1],
  ["R2", "R4", 1.184, 1.1847, 2],
  ["R4", "R3", 0.1482, 0.1342, 1],
  ["R3", "R1", -1.3439, -1.3299, 2],
];
const points = ["RM1", "RM2", "RM3", "R1", "R2", "R3", "R4"];

/** Free levelling network: heights (mm) by the pseudo-inverse, cofactors, weighted squares. */
const level = (epoch: 2 | 3) => {
  const n = points.length;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (const line of lines) {
    const [a, b] = [points.indexOf(line[0]), points.indexOf(line[1])];
    const w = 1 / line[4];
    const mm = 1000 * line[epoch];
    normal[a * n + a] += w;
    normal[b * n + b] += w;
    normal[a * n + b] -= w;
    normal[b * n + a] -= w;
    right[a] -= w * mm;
    right[b] += w * mm;
  }
  const { values, vectors } = symmetricEigen(normal, n);
  const cofactor = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    if (values[k] < 1e-9) continue;
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        cofactor[i * n + j] += (vectors[i * n + k] * vectors[j * n + k]) / values[k];
  }
  const heights = points.map((_, i) =>
    right.reduce((sum, v, j) => sum + cofactor[i * n + j] * v, 0),
  );
  const squares = lines.reduce((sum, line) => {
    const v =
      heights[points.indexOf(line[1])] - heights[points.indexOf(line[0])] - 1000 * line[epoch];
    return sum + (v * v) / line[4];
  }, 0);
  return { heights, cofactor, squares };
};

const near = (actual: number, expected: number, tolerance: number) =>
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThan(tolerance);

const twoEpochs = (candidates?: readonly string[]) => {
  const [first, second] = [level(2), level(3)];
  const dof = 2 * (lines.length - points.length + 1);
  return {
    first,
    second,
    result: congruencyTest({
      keys: points,
      dimension: 1,
      differences: points.map((_, i) => second.heights[i] - first.heights[i]),
      cofactor: first.cofactor.map((q, i) => q + second.cofactor[i]),
      motions: [new Float64Array(points.length).fill(1)],
      varianceFactor: (first.squares + second.squares) / dof,
      dof,
      candidates,
    }),
  };
};

describe("two-epoch levelling set", () => {
  test("the epochs themselves come out as published", () => {
    const { first, second } = twoEpochs();
    near(Math.sqrt(first.squares / 4), 0.42225, 5e-6);
    near(Math.sqrt(second.squares / 4), 0.4376, 5e-6);
  });

  test("all seven points are not congruent; without R3 the rest is", () => {
    const { result } = twoEpochs();
    expect(result.rounds.length).toBe(2);
    near(result.rounds[0].sum, 180.144, 5e-3);
    expect(result.rounds[0].rank).toBe(6);
    near(result.rounds[0].test, 162.38, 1e-2);
    near(result.rounds[0].limit, 3.58, 5e-3);
    near(result.rounds[1].test, 0.516, 5e-4);
    near(result.rounds[1].limit, 3.69, 5e-3);
  });

  test("exactly R3 moved, by -13.70 mm against all stable points", () => {
    const { result } = twoEpochs();
    expect(result.congruent).toBe(false);
    expect(result.moved).toEqual(["R3"]);
    expect(result.stable).toEqual(["RM1", "RM2", "RM3", "R1", "R2", "R4"]);
    const r3 = result.displacements.find((d) => d.key === "R3");
    near(r3?.shift[0] ?? 0, -13.7, 5e-3);
    near(r3?.sd[0] ?? 0, 0.54, 5e-3);
    for (const d of result.displacements.filter((p) => p.key !== "R3")) {
      expect(Math.abs(d.shift[0]), d.key).toBeLessThan(0.55);
      expect(d.moved, d.key).toBe(false);
    }
  });

  test("against the three reference points alone: stable, and R3 moved by -13.57 mm", () => {
    const { result } = twoEpochs(["RM1", "RM2", "RM3"]);
    expect(result.rounds.length).toBe(1);
    near(result.rounds[0].sum, 0.1001, 1e-4);
    near(result.rounds[0].test, 0.271, 1e-3);
    near(result.rounds[0].limit, 4.46, 5e-3);
    expect(result.moved).toEqual(["R3"]);
    const r3 = result.displacements.find((d) => d.key === "R3");
    near(r3?.shift[0] ?? 0, -13.57, 5e-3);
    near(r3?.sd[0] ?? 0, 0.69, 5e-3);
  });

  test("equal epochs are congruent and nothing moved", () => {
    const { first } = twoEpochs();
    const same = congruencyTest({
      keys: points,
      dimension: 1,
      differences: points.map(() => 0),
      cofactor: first.cofactor.map((q) => 2 * q),
      motions: [new Float64Array(points.length).fill(1)],
      varianceFactor: 0.18,
      dof: 8,
    });
    expect(same.congruent).toBe(true);
    expect(same.moved).toEqual([]);
  });

  test("covariances that are no numbers end in no proof, not in an endless search", () => {
    const broken = congruencyTest({
      keys: points,
      dimension: 1,
      differences: points.map(() => 0),
      cofactor: new Float64Array(points.length ** 2).fill(Number.NaN),
      motions: [new Float64Array(points.length).fill(1)],
      varianceFactor: 1,
      dof: 8,
    });
    expect(broken.congruent).toBe(false);
    expect(broken.stable).toEqual([]);
  }, 5000);
});

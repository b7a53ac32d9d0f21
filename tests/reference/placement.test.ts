import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { expect, test } from "vitest";
import { conformanceProbability, globalRisk } from "../../src/placement/decide/conformance.ts";
import { congruencyTest } from "../../src/placement/decide/congruency.ts";
import { random } from "../unit/adjust/bay.ts";

/** Probability, risks and congruency sums against SciPy and NumPy, from the definitions. */
const probabilities: (readonly [number, number, number | null, number | null])[] = [
  [13.6, 1.8, 12.5, 16.3],
  [0.2, 0.7, -1, 1],
  [4, 0.3, null, 3.1],
  [-2, 1e-3, -2.002, null],
  [0, 5, -1, 1],
];
const risks: (readonly [number, number, number, number, number, number])[] = [
  [1, 0.25, -2, 2, -2, 2],
  [1, 0.25, -2, 2, -1.6, 1.6],
  [1.5, 0.5, -2, 2, -1.2, 1.2],
];

/** Random points in space, a random positive covariance, six rigid motions and one scale. */
const randomCongruency = (seed: number, points: number) => {
  const r = random(seed);
  const n = 3 * points;
  const at = Array.from({ length: points }, () => [r.normal(2), r.normal(2), r.normal(0.5)]);
  const root = Array.from({ length: n }, () => Array.from({ length: n }, () => r.normal(0.3)));
  const cofactor = root.flatMap((a, i) =>
    root.map((b, j) => a.reduce((s, v, k) => s + v * b[k], 0) + (i === j ? 0.1 : 0)),
  );
  const motions = [
    at.flatMap(() => [1, 0, 0]),
    at.flatMap(() => [0, 1, 0]),
    at.flatMap(() => [0, 0, 1]),
    at.flatMap(([, y, z]) => [0, -z, y]),
    at.flatMap(([x, , z]) => [z, 0, -x]),
    at.flatMap(([x, y]) => [-y, x, 0]),
    at.flat(),
  ];
  const differences = at.flatMap(() => [r.normal(), r.normal(), r.normal()]);
  return { differences, cofactor, motions };
};
const sets = [randomCongruency(1, 6), randomCongruency(2, 9)];

const answers = JSON.parse(
  execFileSync("/usr/bin/python3", [join(import.meta.dirname, "placement_stats.py")], {
    input: JSON.stringify({
      probability: probabilities,
      risks,
      congruency: sets.map((s) => ({
        ...s,
        stable: Array.from({ length: s.differences.length / 3 }, (_, i) => i),
        dimension: 3,
      })),
    }),
    encoding: "utf8",
  }),
) as { probability: number[]; risks: [number, number][]; congruency: [number, number][] };

test("conformance probability", () => {
  expect(answers.probability.length).toBe(probabilities.length);
  probabilities.forEach(([value, sd, lower, upper], i) => {
    const ours = conformanceProbability(value, sd, { lower, upper });
    expect(Math.abs(ours - answers.probability[i])).toBeLessThan(1e-12);
  });
});

test("global consumer's and producer's risk", () => {
  expect(answers.risks.length).toBe(risks.length);
  risks.forEach(([process, sd, lower, upper, acceptLower, acceptUpper], i) => {
    const ours = globalRisk(
      { mean: 0, sd: process },
      sd,
      { lower, upper },
      { lower: acceptLower, upper: acceptUpper },
    );
    expect(Math.abs(ours.consumer - answers.risks[i][0])).toBeLessThan(1e-7);
    expect(Math.abs(ours.producer - answers.risks[i][1])).toBeLessThan(1e-7);
  });
});

test("congruency sums of points in space", () => {
  expect(answers.congruency.length).toBe(sets.length);
  sets.forEach((s, i) => {
    const { rounds } = congruencyTest({
      keys: Array.from({ length: s.differences.length / 3 }, (_, k) => String(k)),
      dimension: 3,
      ...s,
      varianceFactor: 1,
      dof: Number.POSITIVE_INFINITY,
    });
    const [sum, rank] = answers.congruency[i];
    expect(rounds[0].rank).toBe(rank);
    expect(rank).toBe(s.differences.length - 7);
    expect(Math.abs(rounds[0].sum / sum - 1)).toBeLessThan(1e-8);
  });
});

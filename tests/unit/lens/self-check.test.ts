import { describe, expect, it } from "vitest";
import { type Lens, lensFromVector, lensToVector } from "../../../src/lens/lens.ts";
import { checkLens } from "../../../src/lens/self-check.ts";
import { invertPositive } from "../../../src/maths/dense.ts";
import { chance } from "../calibrate/simulated-phone.ts";

const lens: Lens = {
  fx: 3000,
  fy: 3001,
  cx: 2010,
  cy: 1500,
  k1: -0.05,
  k2: 0.02,
  p1: 1e-4,
  p2: -2e-4,
  k3: 0,
};
const sd = [2, 2, 3, 3, 1e-3, 2e-3, 1e-5, 1e-5, 0];
const prior = sd.flatMap((a, i) =>
  sd.map((b, j) => (i === j ? a * b : i + j === 1 ? 0.9 * a * b : 0)),
);

/** The job sees fx, cx, cy and k1 with these standard deviations. */
const seen: readonly [number, number][] = [
  [0, 1],
  [2, 3],
  [3, 6],
  [4, 2e-3],
];

const used = [0, 1, 2, 3, 4, 5, 6, 7];
const updated = (truth: ArrayLike<number>, r: ReturnType<typeof chance>) => {
  const n = used.length;
  const p = invertPositive(
    Float64Array.from(used.flatMap((i) => used.map((j) => prior[9 * i + j]))),
    n,
  )!;
  const right = new Float64Array(n);
  for (const [i, s] of seen) {
    const observed = truth[i] + r.normal(s) - lensToVector(lens)[i];
    p[i * n + i] += 1 / s ** 2;
    right[i] += observed / s ** 2;
  }
  const c = invertPositive(p, n)!;
  const covariance = new Float64Array(81);
  const x = lensToVector(lens);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      covariance[9 * i + j] = c[i * n + j];
      x[i] += c[i * n + j] * right[j];
    }
  return { lens: lensFromVector(x), covariance };
};

describe("checkLens", () => {
  it("rejects as often as its level says when the lens is the profile's", () => {
    const r = chance(11);
    const trials = 2000;
    let rejected = 0;
    let sum = 0;
    let dof = 0;
    for (let t = 0; t < trials; t++) {
      const truth = lensToVector(lens);
      // fx and fy correlated as in the prior.
      const common = r.normal();
      truth[0] += 2 * common;
      for (const i of [2, 3, 4]) truth[i] += r.normal(sd[i]);
      const job = updated(truth, r);
      const check = checkLens(lens, prior, job.lens, job.covariance);
      sum += check.statistic;
      dof = check.dof;
      if (check.probability < 0.05) rejected++;
    }
    // fx and cx; of cy and k1 the job knows half as much as the profile.
    expect(dof).toBe(2);
    expect(Math.abs(sum / trials - 2)).toBeLessThan(0.18);
    expect(Math.abs(rejected / trials - 0.05)).toBeLessThan(0.016);
  });

  it("warns of a lens that is longer by 1 %", () => {
    const truth = lensToVector(lens);
    truth[0] *= 1.01;
    const job = updated(truth, chance(3));
    const check = checkLens(lens, prior, job.lens, job.covariance);
    expect(check.agrees).toBe(false);
    expect(check.remark?.code).toBe("profile-disagrees");
  });

  it("keeps silent where the job says nothing new", () => {
    const check = checkLens(lens, prior, lens, prior);
    expect(check.dof).toBe(0);
    expect(check.agrees).toBe(true);
  });
});

import { type Lens, lensOrder, lensSize, lensToVector } from "../../lens/lens.ts";
import { invertPositive } from "../../maths/dense.ts";
import { fisherQuantile } from "../../maths/statistics.ts";

/** A Brown model: which distortion numbers are estimated. */
export interface LensModel {
  readonly name: string;
  readonly distortion: readonly (keyof Lens)[];
}

/** From the smallest to the largest; each later one explains more. */
const lensModels: readonly LensModel[] = [
  { name: "no distortion", distortion: [] },
  { name: "k1", distortion: ["k1"] },
  { name: "k1 k2", distortion: ["k1", "k2"] },
  { name: "k1 k2 p1 p2", distortion: ["k1", "k2", "p1", "p2"] },
  { name: "k1 k2 k3", distortion: ["k1", "k2", "k3"] },
  { name: "k1 k2 p1 p2 k3", distortion: ["k1", "k2", "p1", "p2", "k3"] },
];
export const fullModel = lensModels[lensModels.length - 1];

const pinhole: readonly (keyof Lens)[] = ["fx", "fy", "cx", "cy"];

/** The nine `free` flags of a model in lensOrder. */
export const freeOf = (model: LensModel): boolean[] =>
  lensOrder.map((name) => pinhole.includes(name) || model.distortion.includes(name));

export interface ModelChoice {
  readonly model: LensModel;
  /** Per smaller model: F statistic of the numbers it leaves out, and its critical value. */
  readonly tests: readonly {
    readonly model: string;
    readonly statistic: number;
    readonly critical: number;
  }[];
}

/**
 * The smallest model that the photos do not contradict. From the fit of the full model: the numbers
 * d that a smaller model sets to zero are tested together, F = d^T C_dd^-1 d / q against the
 * Fisher distribution with q and `redundancy` degrees of freedom (Wald test; Koch, Parameter
 * Estimation and Hypothesis Testing in Linear Models, 4.2). The level is 20 %, not the usual 5 %:
 * leaving out a number that is there harms more than keeping one that is not.
 */
export const chooseModel = (
  lens: Lens,
  covariance: ArrayLike<number>,
  redundancy: number,
  level = 0.2,
): ModelChoice => {
  const tests: { model: string; statistic: number; critical: number }[] = [];
  const values = lensToVector(lens);
  for (const model of lensModels) {
    if (model === fullModel) break;
    const free = freeOf(model);
    const dropped = lensOrder.flatMap((_, i) => (free[i] ? [] : [i]));
    const statistic = waldStatistic(values, covariance, dropped);
    const critical = fisherQuantile(1 - level, dropped.length, Math.max(redundancy, 1));
    tests.push({ model: model.name, statistic, critical });
    if (statistic < critical) return { model, tests };
  }
  return { model: fullModel, tests };
};

const waldStatistic = (
  values: ArrayLike<number>,
  covariance: ArrayLike<number>,
  indices: readonly number[],
): number => {
  const q = indices.length;
  const block = Float64Array.from(
    indices.flatMap((i) => indices.map((j) => covariance[i * lensSize + j])),
  );
  const inverse = invertPositive(block, q);
  if (!inverse) return Number.POSITIVE_INFINITY;
  let sum = 0;
  for (let a = 0; a < q; a++)
    for (let b = 0; b < q; b++) sum += values[indices[a]] * inverse[a * q + b] * values[indices[b]];
  return sum / q;
};

import { lensOrder, lensSize } from "../../lens/lens.ts";
import { cholesky, choleskySolve, invertPositive } from "../../maths/dense.ts";

/**
 * How a lens error shows in a length, in a bay whose own boards help to find the lens.
 *
 * For a given bay the adjustment is, near its solution, linear: the bay's photos alone determine the lens
 * with information S, and a lens error x changes the length by g x. With the profile as prior
 * (covariance C, P = C^-1) a profile error d leaves the lens wrong by (S + P)^-1 (P d + n) after the
 * bay, whose photos add noise n of covariance S: the textbook weighted mean of two sources
 * (Koch, Parameter Estimation and Hypothesis Testing, 3.2.7). Numbers that the profile does not
 * estimate stay wrong by their own error.
 */
export interface LensEffect {
  /** S, 9 x 9 row-major, lensOrder. */
  readonly information: Float64Array;
  /** g, mm per unit of each lens number. */
  readonly gain: Float64Array;
}

/** Lens numbers with a variance: those the profile estimated. */
const estimatedIndices = (covariance: ArrayLike<number>): number[] =>
  lensOrder.flatMap((_, i) => (covariance[i * lensSize + i] > 0 ? [i] : []));

const block = (
  matrix: ArrayLike<number>,
  rows: readonly number[],
  columns: readonly number[],
): Float64Array =>
  Float64Array.from(rows.flatMap((i) => columns.map((j) => matrix[i * lensSize + j])));

/**
 * (S + P)^-1 g^T, and h = g (S + P)^-1 P with h . d = effect of the profile error d, over the
 * estimated numbers; null where singular.
 */
const profileGain = (
  effect: LensEffect,
  covariance: ArrayLike<number>,
  indices: readonly number[],
): { h: Float64Array; solved: Float64Array } | null => {
  const n = indices.length;
  const prior = invertPositive(block(covariance, indices, indices), n);
  if (!prior) return null;
  const sum = block(effect.information, indices, indices).map((s, at) => s + prior[at]);
  if (cholesky(sum, n).failedAt >= 0) return null;
  const solved = Float64Array.from(indices, (i) => effect.gain[i]);
  choleskySolve(sum, n, solved);
  const h = Float64Array.from({ length: n }, (_, a) => {
    let value = 0;
    for (let b = 0; b < n; b++) value += prior[a * n + b] * solved[b];
    return value;
  });
  return { h, solved };
};

/**
 * Standard uncertainty, mm, that not knowing the lens exactly adds to the length in the bay:
 * g (S + P)^-1 g^T. The profile and the bay's own photos both have their part in it.
 */
export const effectSd = (effect: LensEffect, covariance: ArrayLike<number>): number | null => {
  const indices = estimatedIndices(covariance);
  const gain = profileGain(effect, covariance, indices);
  if (!gain) return null;
  let variance = 0;
  for (const [a, i] of indices.entries()) variance += effect.gain[i] * gain.solved[a];
  return Math.sqrt(variance);
};

/**
 * Error, mm, of the length when the profile's lens is wrong by `error` (nine numbers) and the bay's
 * own photos are wrong by `bayNoise` (a draw with covariance S; left out: exact photos).
 */
export const effectOf = (
  effect: LensEffect,
  covariance: ArrayLike<number>,
  error: ArrayLike<number>,
  bayNoise?: ArrayLike<number>,
): number | null => {
  const indices = estimatedIndices(covariance);
  const gain = profileGain(effect, covariance, indices);
  if (!gain) return null;
  let sum = 0;
  for (const [a, i] of indices.entries())
    sum += gain.h[a] * error[i] + gain.solved[a] * (bayNoise?.[i] ?? 0);
  for (let j = 0; j < lensSize; j++) {
    if (indices.includes(j)) continue;
    sum += effect.gain[j] * error[j];
    for (const [a, i] of indices.entries())
      sum -= gain.solved[a] * effect.information[i * lensSize + j] * error[j];
  }
  return sum;
};

import { solveSquare } from "../../maths/dense.ts";
import { retract } from "../../maths/pose.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import type { State } from "../problem/state.ts";

/** A photo or a board, all else held fixed. */
export type Item = { readonly kind: "photo" | "board"; readonly index: number };

export const poseOf = (state: State, item: Item) =>
  item.kind === "photo" ? state.photoPose[item.index] : state.boardPose[item.index];

export const setPose = (state: State, item: Item, pose: ReturnType<typeof poseOf>): void => {
  if (item.kind === "photo") state.photoPose[item.index] = pose;
  else state.boardPose[item.index] = pose;
};

/** Caps a view's squared error so that one wrong view cannot outvote the others. */
export const cappedCost = (factors: readonly ImageFactor[], state: State, cap: number): number => {
  let sum = 0;
  for (const factor of factors) sum += Math.min(factor.cost(state) / factor.rows, cap);
  return sum;
};

/**
 * Improves the pose of one photo or board in place over the given views by Gauss-Newton with step
 * control; each view's weight falls as 1 / (1 + error / cap)^2. Changes `state` at the item only.
 * `cap` limits the mean square of a view's whitened residuals (no unit). Returns the capped cost
 * reached, which is never above the cost at the start.
 */
export const refineItem = (
  state: State,
  item: Item,
  factors: readonly ImageFactor[],
  cap: number,
  maxIterations = 10,
): number => {
  let best = cappedCost(factors, state, cap);
  let lambda = 1e-6;
  for (let i = 0; i < maxIterations; i++) {
    const system = poseNormals(state, item, factors, cap);
    if (!system) return best;
    const damped = system.n.slice();
    for (let k = 0; k < 6; k++) damped[k * 7] *= 1 + lambda;
    const step = solveSquare(
      damped,
      system.g.map((v) => -v),
      6,
    );
    if (!step) return best;
    const before = poseOf(state, item);
    setPose(state, item, retract(before, step));
    const cost = cappedCost(factors, state, cap);
    if (cost < best) {
      const done = best - cost < 1e-6 * best;
      best = cost;
      lambda = Math.max(lambda / 10, 1e-12);
      if (done) return best;
    } else {
      setPose(state, item, before);
      lambda *= 100;
      if (lambda > 1e4) return best;
    }
  }
  return best;
};

/** Work space for one view's normal equations. */
const localN = new Float64Array(32 * 32);
const localG = new Float64Array(32);

const poseNormals = (
  state: State,
  item: Item,
  factors: readonly ImageFactor[],
  cap: number,
): { n: Float64Array; g: Float64Array } | null => {
  const n = new Float64Array(36);
  const g = new Float64Array(6);
  let used = 0;
  for (const factor of factors) {
    const { width } = factor;
    const cost = factor.normals(state, localN, localG);
    if (!Number.isFinite(cost)) continue;
    used++;
    const weight = 1 / (1 + cost / factor.rows / cap) ** 2;
    const at = item.kind === "photo" ? 0 : factor.boardAt;
    for (let a = 0; a < 6; a++) {
      g[a] += weight * localG[at + a];
      for (let b = 0; b < 6; b++) n[a * 6 + b] += weight * localN[(at + a) * width + at + b];
    }
  }
  return used > 0 ? { n, g } : null;
};

/**
 * Propagation of distributions (JCGM 101:2008): the unknowns that the reported numbers read are drawn
 * from their joint distribution, and every number is evaluated as it is, not linearised. The intervals
 * of the draws are laid beside those that the product states (clause 8: validating the linear way).
 */
import type { Quantity, StateView } from "../../../src/adjust/problem/problem.ts";
import { viewOf } from "../../../src/adjust/problem/state.ts";
import { symmetricEigen } from "../../../src/maths/dense.ts";
import { localCoordinates, type Pose, retract } from "../../../src/maths/pose.ts";
import { random } from "../../unit/adjust/bay.ts";
import type { SolvedNetwork } from "./network.ts";

/** One unknown of what the numbers read: a pose's coordinate or an element of a scalar block. */
interface Coordinate {
  readonly key: string;
  readonly kind: "pose" | "scalar";
  readonly index: number;
}

/** The poses and scalars that these numbers read. */
const coordinatesOf = (state: StateView, quantities: readonly Quantity[]): Coordinate[] => {
  const found = new Map<string, Coordinate>();
  const note = (kind: Coordinate["kind"], key: string, size: number): void => {
    for (let index = 0; index < size; index++)
      found.set(`${kind} ${key} ${index}`, { kind, key, index });
  };
  const spy: StateView = {
    ...state,
    pose: (key) => {
      note("pose", key, 6);
      return state.pose(key);
    },
    scalars: (key) => {
      const values = state.scalars(key);
      note("scalar", key, values.length);
      return values;
    },
    photoPose: refuse,
    cellMm: refuse,
    cellSides: refuse,
    bulgeMm: refuse,
    lens: refuse,
  };
  for (const quantity of quantities) quantity.evaluate(spy);
  return [...found.values()];
};

const refuse = (): never => {
  throw new Error("A reported number reads more than poses and scalars.");
};

/** The unknowns' own coordinates about the solution, as quantities. */
const asQuantity = (state: StateView, { kind, key, index }: Coordinate): Quantity => {
  const best = kind === "pose" ? state.pose(key) : null;
  return {
    key: `${kind} ${key} ${index}`,
    evaluate: (s) => (best ? localCoordinates(best, s.pose(key))[index] : s.scalars(key)[index]),
  };
};

export interface Compared {
  readonly key: string;
  /** Half width of the stated 95 % interval. */
  readonly stated: number;
  /** Half width of the middle 95 % of the draws. */
  readonly drawn: number;
  /** Middle of the draws less the stated value, over the stated half width. */
  readonly offset: number;
}

const k95 = 1.959963984540054;

export const compareDraws = (
  { adjusted, quantities: all }: SolvedNetwork,
  draws: number,
  seed: number,
): Compared[] => {
  const { layout, state: solution } = { ...adjusted.internals.model, ...adjusted.internals };
  const state = viewOf(layout, solution);
  const stated = adjusted.propagate(all);
  const m = all.length;
  const sd = all.map((_, i) => Math.sqrt(stated.covariance[i * m + i]));
  // A number without an uncertainty has no interval to compare.
  const chosen = all.flatMap((quantity, i) => (sd[i] > 1e-9 ? [{ quantity, i }] : []));
  const quantities = chosen.map(({ quantity }) => quantity);
  const coordinates = coordinatesOf(state, quantities);
  const { covariance } = adjusted.propagate(coordinates.map((c) => asQuantity(state, c)));
  const root = rootOf(covariance, coordinates.length);
  const samples = quantities.map(() => new Float64Array(draws));
  const view = movable(state, coordinates);
  const r = random(seed);
  const z = new Float64Array(root.rank);
  const delta = new Float64Array(coordinates.length);
  for (let n = 0; n < draws; n++) {
    for (let k = 0; k < root.rank; k++) z[k] = r.normal();
    for (let i = 0; i < delta.length; i++) {
      let sum = 0;
      for (let k = 0; k < root.rank; k++) sum += root.matrix[i * root.rank + k] * z[k];
      delta[i] = sum;
    }
    view.move(delta);
    const drawn = view.state();
    for (let q = 0; q < quantities.length; q++) samples[q][n] = quantities[q].evaluate(drawn);
  }
  return chosen.map(({ quantity, i }, q) => {
    const sorted = samples[q].sort();
    const low = sorted[Math.floor(0.025 * draws)];
    const high = sorted[Math.ceil(0.975 * draws) - 1];
    const half = k95 * sd[i];
    return {
      key: quantity.key,
      stated: half,
      drawn: (high - low) / 2,
      offset: ((high + low) / 2 - stated.values[i]) / half,
    };
  });
};

/** A matrix R with R R^T = covariance; directions without variance (the datum's) are left out. */
const rootOf = (covariance: Float64Array, n: number): { matrix: Float64Array; rank: number } => {
  // Turns (rad) and shifts (mm) differ in size: eigenvalues are taken of the correlations.
  const size = Float64Array.from({ length: n }, (_, i) => Math.sqrt(covariance[i * n + i]) || 1);
  const scaled = covariance.map((c, at) => c / (size[Math.floor(at / n)] * size[at % n]));
  const { values, vectors } = symmetricEigen(scaled, n);
  const kept = [...values.keys()].filter((k) => values[k] > 1e-10);
  const rank = kept.length;
  const matrix = new Float64Array(n * rank);
  for (let i = 0; i < n; i++)
    kept.forEach((k, at) => {
      matrix[i * rank + at] = size[i] * vectors[i * n + k] * Math.sqrt(values[k]);
    });
  return { matrix, rank };
};

/** A state whose poses and scalars are moved by coordinates. */
const movable = (state: StateView, coordinates: readonly Coordinate[]) => {
  const poses = new Map<string, { readonly best: Pose; readonly at: number; now: Pose }>();
  const scalars = new Map<
    string,
    { readonly best: Float64Array; readonly at: number; now: Float64Array }
  >();
  coordinates.forEach(({ kind, key, index }, at) => {
    if (index !== 0) return;
    if (kind === "pose") poses.set(key, { best: state.pose(key), at, now: state.pose(key) });
    else
      scalars.set(key, { best: state.scalars(key).slice(), at, now: state.scalars(key).slice() });
  });
  return {
    move: (delta: Float64Array): void => {
      for (const entry of poses.values()) entry.now = retract(entry.best, delta, entry.at);
      for (const entry of scalars.values())
        for (let k = 0; k < entry.now.length; k++)
          entry.now[k] = entry.best[k] + delta[entry.at + k];
    },
    /** A new object for every draw: what is worked out of a state is kept by its identity. */
    state: (): StateView => ({
      ...state,
      pose: (key: string) => poses.get(key)!.now,
      scalars: (key: string) => scalars.get(key)!.now,
    }),
  };
};

import type { SmallFactor } from "../../../src/adjust/factors/factor.ts";
import { smallFactor } from "../../../src/adjust/factors/factor.ts";
import { layOut } from "../../../src/adjust/problem/layout.ts";
import { priorState, type State } from "../../../src/adjust/problem/state.ts";
import { type Model, makeModel, optimise } from "../../../src/adjust/solve/optimise.ts";

/** A problem of plain numbers for the adjustment's own iteration: no photos, no boards. */
export interface ScalarProblem {
  readonly start: readonly number[];
  readonly rows: number;
  /** Residuals at `x`. */
  residuals(x: ArrayLike<number>, out: Float64Array): void;
  /** Their slopes, rows x unknowns; central differences where left out. */
  slopes?(x: ArrayLike<number>, out: Float64Array): void;
}

/** The model and the state that it starts from. */
export const modelOf = (problem: ScalarProblem): { model: Model; start: State } => {
  const { start, rows } = problem;
  const layout = layOut({
    ...{ cameras: [], photos: [], boards: [], prints: [], observations: [] },
    ...{ lengths: [], floor: [], frames: [], chains: [] },
    scalars: [
      { key: "x", mean: start, sd: start.map(() => Number.POSITIVE_INFINITY), source: "other" },
    ],
  });
  const factor: SmallFactor = smallFactor({
    label: "x",
    source: "other",
    blocks: [0],
    width: start.length,
    rows,
    residuals(state, r, j) {
      problem.residuals(state.scalars[0], r);
      if (j) (problem.slopes ?? differences(problem))(state.scalars[0], j);
    },
  });
  return { model: makeModel(layout, [], [factor]), start: priorState(layout) };
};

const differences =
  ({ start, rows, residuals }: ScalarProblem) =>
  (x: ArrayLike<number>, out: Float64Array): void => {
    const [up, down] = [new Float64Array(rows), new Float64Array(rows)];
    for (let c = 0; c < start.length; c++) {
      const h = Math.cbrt(2.2e-16) * Math.max(Math.abs(x[c]), 1e-3);
      residuals(
        Float64Array.from(x, (v, k) => (k === c ? v + h : v)),
        up,
      );
      residuals(
        Float64Array.from(x, (v, k) => (k === c ? v - h : v)),
        down,
      );
      for (let i = 0; i < rows; i++) out[i * start.length + c] = (up[i] - down[i]) / (2 * h);
    }
  };

/** Values, their standard deviations and the sum of squares, as weighted residuals give them. */
export interface Solved {
  readonly values: ArrayLike<number>;
  readonly sd: readonly number[];
  readonly sumOfSquares: number;
}

/**
 * Residuals are taken as 1e-4 of a standard deviation: the iteration ends when a step gains 1e-9 of
 * the variance, which is 1e-4 of a standard deviation, and published answers have more digits.
 */
const finer = 1e-4;

/**
 * Solves by the adjustment's own iteration, weights 1. Standard deviations are scaled by the
 * estimated variance factor. Null where the adjustment would refuse to answer: not converged, or
 * singular.
 */
export const solveScalars = (problem: ScalarProblem, residualSd: number): Solved | null => {
  const unit = finer * residualSd;
  const scaled =
    (fill: (x: ArrayLike<number>, out: Float64Array) => void) =>
    (x: ArrayLike<number>, out: Float64Array): void => {
      fill(x, out);
      for (let i = 0; i < out.length; i++) out[i] /= unit;
    };
  const { model, start } = modelOf({
    start: problem.start,
    rows: problem.rows,
    residuals: scaled(problem.residuals),
    slopes: scaled(problem.slopes ?? differences(problem)),
  });
  const outcome = optimise(model, start, { robust: false, maxIterations: 2000 });
  if (!outcome.ok || !outcome.converged) return null;
  model.equations.build(outcome.state);
  const factorisation = model.equations.factor(0, []);
  if (!factorisation.ok) return null;
  const inverse = factorisation.keptInverse();
  const n = problem.start.length;
  const r = new Float64Array(problem.rows);
  problem.residuals(outcome.state.scalars[0], r);
  const sumOfSquares = r.reduce((sum, v) => sum + v * v, 0);
  const factor = sumOfSquares / (problem.rows - n) / unit ** 2;
  return {
    values: outcome.state.scalars[0],
    sd: problem.start.map((_, i) => Math.sqrt(inverse[i * (n + 1)] * factor)),
    sumOfSquares,
  };
};

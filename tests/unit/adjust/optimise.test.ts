import { describe, expect, test } from "vitest";
import { optimise } from "../../../src/adjust/solve/optimise.ts";
import { modelOf as scalarModel } from "./scalar-problem.ts";

/** One unknown x, starting at 0, with the residual of `residual`. */
const modelOf = (residual: (x: number) => { r: number; slope: number }) =>
  scalarModel({
    start: [0],
    rows: 1,
    residuals: (x, out) => {
      out[0] = residual(x[0]).r;
    },
    slopes: (x, out) => {
      out[0] = residual(x[0]).slope;
    },
  });

const options = { robust: false, maxIterations: 200 };

describe("when the iteration counts as converged", () => {
  test("at a minimum", () => {
    const { model, start } = modelOf((x) => ({ r: x - 3, slope: 1 }));
    const outcome = optimise(model, start, options);
    expect(outcome.ok && outcome.converged).toBe(true);
    expect(Math.abs(outcome.state.scalars[0][0] - 3)).toBeLessThan(1e-9);
  });

  // Wherever it looks the sum of squares is larger, although the slope says that it falls: the
  // start is no minimum, and ever shorter steps gain ever less without making it one.
  test("not where no step helps and the slope is steep", () => {
    const { model, start } = modelOf((x) => ({ r: x === 0 ? 10 : 1e3, slope: 1 }));
    const outcome = optimise(model, start, options);
    expect(outcome.ok && outcome.converged).toBe(false);
  });
});

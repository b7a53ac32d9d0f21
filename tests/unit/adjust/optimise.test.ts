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

// Rosenbrock's valley (1960) with walls a thousand times steeper, as one photo of a flat floor makes it
// when its focus is free: damped steps creep along it (6,419 of them here).
describe("a narrow curved valley", () => {
  const wall = 1e4;
  const { model, start } = scalarModel({
    start: [-3, 9],
    rows: 2,
    residuals: (at, out) => {
      out[0] = wall * (at[1] - at[0] ** 2);
      out[1] = at[0] - 3;
    },
    slopes: (at, out) => out.set([-2 * wall * at[0], wall, 1, 0]),
  });

  test("is walked in few steps", () => {
    const outcome = optimise(model, start, options);
    expect(outcome.ok && outcome.converged).toBe(true);
    expect(outcome.ok && outcome.iterations).toBeLessThan(30);
    expect(Math.abs(outcome.state.scalars[0][0] - 3)).toBeLessThan(1e-4);
  });
});

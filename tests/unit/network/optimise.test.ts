import { describe, expect, test } from "vitest";
import type { SmallFactor } from "../../../src/network/factor.ts";
import { smallFactor } from "../../../src/network/factor.ts";
import { layOut } from "../../../src/network/layout.ts";
import { makeModel, optimise } from "../../../src/network/optimise.ts";
import { priorState } from "../../../src/network/state.ts";

/** One unknown x with the residuals of `residual`, in a network without photos and boards. */
const modelOf = (residual: (x: number) => { r: number; slope: number }) => {
  const layout = layOut({
    cameras: [],
    photos: [],
    boards: [],
    prints: [],
    observations: [],
    lengths: [],
    floor: [],
    frames: [],
    scalars: [{ key: "x", mean: [0], sd: [Number.POSITIVE_INFINITY], source: "other" }],
    chains: [],
  });
  const factor: SmallFactor = smallFactor({
    label: "x",
    source: "other",
    blocks: [0],
    width: 1,
    rows: 1,
    residuals(state, r, j) {
      const at = residual(state.scalars[0][0]);
      r[0] = at.r;
      if (j) j[0] = at.slope;
    },
  });
  return { model: makeModel(layout, [], [factor]), start: priorState(layout) };
};

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

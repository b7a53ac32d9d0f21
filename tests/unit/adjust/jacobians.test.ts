import { describe, expect, test } from "vitest";
import { inverseRightJacobian, rightJacobian } from "../../../src/adjust/factors/chain-factor.ts";
import type { SmallFactor } from "../../../src/adjust/factors/factor.ts";
import { imageFactor } from "../../../src/adjust/factors/image-factor.ts";
import { statementFactors } from "../../../src/adjust/factors/statement-factors.ts";
import { bendAsCylinder, bentPointDerivatives } from "../../../src/adjust/problem/board-shape.ts";
import { type Block, type Layout, layOut } from "../../../src/adjust/problem/layout.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { copyState, moveBlock, priorState, type State } from "../../../src/adjust/problem/state.ts";
import { expRotation, type Pose, type Vec3 } from "../../../src/maths/pose.ts";
import { lensPriorCovariance, lookAt, makeBay, pointOn, random, testLens } from "./bay.ts";

/** Central differences of a residual function over the given blocks, rows x width. */
const numericalJacobian = (
  layout: Layout,
  state: State,
  blocks: readonly Block[],
  rows: number,
  residuals: (state: State, r: Float64Array) => void,
): Float64Array => {
  const width = blocks.reduce((sum, b) => sum + b.size, 0);
  const out = new Float64Array(rows * width);
  let column = 0;
  for (const block of blocks)
    for (let k = 0; k < block.size; k++, column++) {
      const spread = block.kind === "camera" ? layout.lensSpread[block.index] : null;
      const pixels = spread !== null && [0, 1, 2, 3].some((i) => spread[i * block.size + k] !== 0);
      const bend =
        block.kind === "board" && layout.boardPlaces[block.index].bend >= 0 && k >= block.size - 3;
      const [turn, , sway] =
        block.kind === "photo" ? layout.photoPlaces[block.index].motion : [-1, -1, -1];
      const turned = (turn >= 0 && k >= turn && k < turn + 3) || (sway >= 0 && k >= sway);
      const h = bend
        ? 1e-7
        : turned
          ? 1e-5
          : pixels || (k >= 3 && block.kind !== "camera")
            ? 1e-4
            : 1e-6;
      const at = (sign: number) => {
        const moved = copyState(state);
        const delta = new Float64Array(block.size);
        delta[k] = sign * h;
        moveBlock(layout, moved, block, delta, 0);
        const r = new Float64Array(rows);
        residuals(moved, r);
        return r;
      };
      const plus = at(1);
      const minus = at(-1);
      for (let row = 0; row < rows; row++)
        out[row * width + column] = (plus[row] - minus[row]) / (2 * h);
    }
  return out;
};

const largestRelativeError = (a: Float64Array, b: Float64Array, width: number): number => {
  expect(a.length).toBe(b.length);
  expect(a.length).toBeGreaterThan(0);
  const scale = new Float64Array(width);
  for (let i = 0; i < a.length; i++)
    scale[i % width] = Math.max(scale[i % width], Math.abs(a[i]), Math.abs(b[i]));
  // A column that hardly matters (a small board's bend seen edge on) is all rounding.
  const floor = 1e-4 * Math.max(...scale);
  let worst = 0;
  for (let i = 0; i < a.length; i++)
    worst = Math.max(worst, Math.abs(a[i] - b[i]) / Math.max(scale[i % width], floor));
  return worst;
};

const bayWithEverything = () => {
  const bay = makeBay({
    seed: 5,
    photos: 3,
    boards: 6,
    floor: true,
    lengths: 2,
    cellSd: 0.001,
    printSd: 0.001,
    bendSd: 1e-4,
  });
  const r = random(11);
  const wrong = (): Vec3 => [r.normal(0.3), r.normal(0.3), r.normal(0.3)];
  const problem: NetworkProblem = {
    ...bay.problem,
    cameras: bay.problem.cameras.map((camera) => ({
      ...camera,
      motion: { turnSd: 4e-4, shiftSdMm: 0.3, swaySd: 1e-4 },
    })),
    photos: bay.problem.photos.map((photo, i) => ({
      ...photo,
      readout: { along: i === 1 ? ("columns" as const) : ("rows" as const), length: 3000 },
      motionScale: i === 2 ? 3 : 1,
    })),
    boards: bay.problem.boards.map((board) => ({ ...board, stretchSd: 0.001 })),
    prints: bay.problem.prints.map((print) => ({ ...print, widthSd: 0.002, heightSd: 0.001 })),
    lengths: bay.problem.lengths.map((l, i) => ({
      ...l,
      from: { ...l.from, pointMm: [30, -20, 5] as Vec3 },
      scale: i === 0 ? "tape" : null,
    })),
    frames: [{ key: "target" }, { key: "car" }],
    scalars: [
      { key: "tape", mean: [0.001], sd: [0.002], source: "length reference" },
      {
        key: "turns",
        mean: [0.1, -0.4],
        sd: [0.01, Number.POSITIVE_INFINITY],
        source: "wheel plates",
      },
      {
        key: "offset",
        mean: [0.2, -0.1, 0.3, 4, 5, 6],
        sd: [0.01, 0.01, 0, 1, 1, 1],
        source: "target offset",
      },
    ],
    chains: [
      {
        key: "long chain",
        links: [
          { kind: "pose", key: "0", inverse: true },
          { kind: "fixed", pose: { R: expRotation(wrong()), t: [10, 20, -30] } },
          { kind: "pose", key: "target" },
          { kind: "turn", key: "turns", index: 1, axis: 1, sign: -1 },
          { kind: "small", key: "offset" },
          { kind: "pose", key: "car", inverse: true },
          { kind: "small", key: "offset", inverse: true },
          { kind: "pose", key: "0" },
        ],
        sd: [0.01, 0.02, Number.POSITIVE_INFINITY, 1, 2, 3],
        source: "target offset",
      },
    ],
  };
  const layout = layOut(problem);
  const state = priorState(layout);
  problem.boards.forEach((b, i) => {
    state.boardPose[i] = bay.truth.board.get(b.key)!;
    state.cellChange[i] = 0.01;
    state.stretch[i] = -0.008;
    state.bend.set([3e-4, -1e-4, 2e-4], 3 * i);
  });
  problem.photos.forEach((p, i) => {
    state.photoPose[i] = bay.truth.photo.get(p.key)!;
    state.photoChange.set([0.01, 3, -2], 3 * i);
    state.photoMotion.set([0.01, -0.02, 0.03, 5, -8, 12, -0.01, 0.005, 0.02], 9 * i);
  });
  state.framePose.splice(
    0,
    2,
    { R: expRotation(wrong()), t: [100, 200, 300] },
    { R: expRotation(wrong()), t: [-50, 20, 3] },
  );
  state.printChange.set([0.02, -0.01]);
  return { layout, state, problem };
};

describe("Jacobians against central differences", () => {
  test("image observations, isotropic and with full noise, every unknown free", () => {
    const { layout, state, problem } = bayWithEverything();
    expect(problem.observations.length).toBeGreaterThan(3);
    const r = random(3);
    problem.observations.slice(0, 4).forEach((observation, i) => {
      const n = observation.pixels.length;
      const rows = 11;
      const sqrtInformation = Float64Array.from({ length: rows * n }, () => r.normal(3));
      const stated =
        i % 2 === 0
          ? observation
          : { ...observation, noise: { kind: "full" as const, rows, sqrtInformation } };
      const factor = imageFactor(layout, stated, (b) => layout.blocks.indexOf(b));
      const c = factor.innerColumns.length;
      expect(c).toBe(29);
      const residual = new Float64Array(factor.rows);
      const inner = new Float64Array(factor.rows * c);
      expect(factor.inner(state, residual, inner)).toBe(true);
      const spread = factor.spread(state);
      const analytic = new Float64Array(factor.rows * factor.width);
      for (let row = 0; row < factor.rows; row++)
        for (let k = 0; k < c; k++)
          for (let w = 0; w < factor.width; w++)
            analytic[row * factor.width + w] += inner[row * c + k] * spread[k * factor.width + w];
      const numeric = numericalJacobian(
        layout,
        state,
        factor.blocks.map((b) => layout.blocks[b]),
        factor.rows,
        (s, out) => {
          factor.inner(s, out, new Float64Array(factor.rows * c));
        },
      );
      expect(largestRelativeError(analytic, numeric, factor.width)).toBeLessThan(2e-6);
      // The normal equations are those of this Jacobian.
      const N = new Float64Array(factor.width ** 2);
      const g = new Float64Array(factor.width);
      const cost = factor.normals(state, N, g);
      expect(Math.abs(cost - factor.cost(state))).toBeLessThan(1e-9 * cost);
      const expectedN = new Float64Array(factor.width ** 2);
      for (let row = 0; row < factor.rows; row++)
        for (let a = 0; a < factor.width; a++)
          for (let b = 0; b < factor.width; b++)
            expectedN[a * factor.width + b] +=
              analytic[row * factor.width + a] * analytic[row * factor.width + b];
      expect(largestRelativeError(N, expectedN, factor.width)).toBeLessThan(1e-9);
    });
  });

  test("priors, lengths, floor and chains", () => {
    const { layout, state } = bayWithEverything();
    const factors: SmallFactor[] = statementFactors(layout, (b) => layout.blocks.indexOf(b));
    const kinds = new Set(factors.map((f) => f.source));
    for (const source of [
      "lens",
      "focus and stabilisation",
      "hand motion",
      "print scale",
      "board flatness",
      "length reference",
      "floor",
      "wheel plates",
      "target offset",
    ])
      expect(kinds).toContain(source);
    for (const factor of factors) {
      const analytic = new Float64Array(factor.rows * factor.width);
      factor.residuals(state, new Float64Array(factor.rows), analytic);
      const numeric = numericalJacobian(
        layout,
        state,
        factor.blocks.map((b) => layout.blocks[b]),
        factor.rows,
        (s, out) => factor.residuals(s, out),
      );
      expect(largestRelativeError(analytic, numeric, factor.width), factor.label).toBeLessThan(
        2e-6,
      );
    }
  });

  test("an error in a Jacobian would be seen", () => {
    const { layout, state } = bayWithEverything();
    const factor = statementFactors(layout, (b) => layout.blocks.indexOf(b)).find(
      (f) => f.source === "floor",
    )!;
    const analytic = new Float64Array(factor.rows * factor.width);
    factor.residuals(state, new Float64Array(factor.rows), analytic);
    analytic[5] *= 1.001;
    const blocks = factor.blocks.map((b) => layout.blocks[b]);
    const numeric = numericalJacobian(layout, state, blocks, factor.rows, (s, out) =>
      factor.residuals(s, out),
    );
    expect(largestRelativeError(analytic, numeric, factor.width)).toBeGreaterThan(1e-4);
  });

  test("board shape: size and bend", () => {
    const bend = { m: 4e-4, d: -2e-4, e: 3e-4 };
    const out = new Float64Array(15);
    bentPointDerivatives(bend, 80, -60, out);
    const h = 1e-6;
    const numeric: number[] = [];
    const difference = (a: Vec3, b: Vec3) => numeric.push(...a.map((v, i) => (v - b[i]) / (2 * h)));
    difference(
      pointOn(bend, 80 * (1 + h), -60 * (1 + h)),
      pointOn(bend, 80 * (1 - h), -60 * (1 - h)),
    );
    difference(
      pointOn(bend, 80 * (1 + h), -60 * (1 - h)),
      pointOn(bend, 80 * (1 - h), -60 * (1 + h)),
    );
    for (const key of ["m", "d", "e"] as const)
      difference(
        pointOn({ ...bend, [key]: bend[key] + h }, 80, -60),
        pointOn({ ...bend, [key]: bend[key] - h }, 80, -60),
      );
    numeric.forEach((v, i) => {
      expect(Math.abs(v - out[i])).toBeLessThan(1e-5 * Math.max(Math.abs(v), 1));
    });
  });

  test("rotation Jacobians: Exp(v + d) = Exp(v) Exp(J d), and the inverse of J", () => {
    for (const v of [
      [0.3, -0.2, 0.5],
      [1e-6, 2e-6, 0],
      [2, 1, -1.5],
    ] as Vec3[]) {
      const j = rightJacobian(v);
      const inverse = inverseRightJacobian(v);
      for (let a = 0; a < 3; a++)
        for (let b = 0; b < 3; b++) {
          let sum = 0;
          for (let k = 0; k < 3; k++) sum += j[3 * a + k] * inverse[3 * k + b];
          expect(Math.abs(sum - (a === b ? 1 : 0))).toBeLessThan(1e-12);
        }
    }
  });
});

describe("bent board", () => {
  test("keeps lengths along the bend and reports the cylinder it was made from", () => {
    const curvature = 2e-4;
    const angle = 0.7;
    const bend = {
      m: curvature,
      d: -curvature * Math.cos(2 * angle),
      e: -curvature * Math.sin(2 * angle),
    };
    const found = bendAsCylinder(bend);
    expect(Math.abs(found.curvature - curvature)).toBeLessThan(1e-15);
    expect(Math.abs(found.axis - angle)).toBeLessThan(1e-12);
    // Along the direction across the axis the point lies on a circle of radius 1 / curvature.
    const s = 90;
    const [x, y, z] = pointOn(bend, -Math.sin(angle) * s, Math.cos(angle) * s);
    const across = Math.hypot(x, y);
    const exact = [Math.sin(s * curvature) / curvature, (1 - Math.cos(s * curvature)) / curvature];
    expect(Math.abs(across - exact[0])).toBeLessThan(1e-6);
    expect(Math.abs(z - exact[1])).toBeLessThan(1e-4);
    // Along the axis nothing moves.
    const along = pointOn(bend, Math.cos(angle) * s, Math.sin(angle) * s);
    expect(
      Math.hypot(along[0] - Math.cos(angle) * s, along[1] - Math.sin(angle) * s, along[2]),
    ).toBeLessThan(1e-12);
  });
});

test("helpers of the test bay: a camera looks where it is told", () => {
  const pose: Pose = lookAt([1000, 0, 1500], [0, 0, 0], 0.2);
  expect(Math.abs(pose.t[0]) + Math.abs(pose.t[1])).toBeLessThan(1e-9);
  expect(pose.t[2]).toBeGreaterThan(1800);
  expect(lensPriorCovariance().length).toBe(81);
  expect(testLens.fx).toBeGreaterThan(0);
});

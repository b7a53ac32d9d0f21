import { describe, expect, test } from "vitest";
import { evaluateCheck, type PlacementSetup } from "../../../src/placement/checks/checks.ts";
import type { Check, PlacementSheet, Step } from "../../../src/placement/sheet/sheet.ts";
import { fakeView } from "./fake-solution.ts";
import {
  buildScene,
  type SceneWish,
  setup,
  sheet,
  step,
  track,
  wheelbase,
  wheelHeight,
} from "./scene.ts";

/** Values by hand: the target stands at (1500, 20, 1200), turned by 1 degree unless said otherwise. */
const base = { required: 0, lowerDeviation: -1, upperDeviation: 1, reference: "invented", id: "c" };
const standing: SceneWish = { target: { positionMm: [1500, 20, 1200], yawDeg: 1 } };

const value = (
  check: Record<string, unknown>,
  wish: SceneWish = standing,
  change: { sheet?: Partial<PlacementSheet>; step?: Partial<Step>; setup?: PlacementSetup } = {},
): number =>
  evaluateCheck(
    fakeView(buildScene(wish)),
    {
      setup: change.setup ?? setup,
      sheet: { ...sheet, ...change.sheet },
      step: { ...step, ...change.step },
    },
    { ...base, ...check } as unknown as Check,
  );
const near = (actual: number, expected: number, tolerance = 1e-6) =>
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThan(tolerance);

const target = { kind: "target" };
const rad = Math.PI / 180;

describe("each kind by hand", () => {
  test("distance, lateral offset, height", () => {
    near(value({ kind: "distance" }), 1500);
    near(value({ kind: "lateral offset" }), 20);
    near(value({ kind: "height" }), 1200);
    near(
      value({ kind: "distance" }, standing, { sheet: { origin: { kind: "rear-axle line" } } }),
      1500 + wheelbase,
    );
  });

  test("yaw, pitch and roll of a target ahead have the signs of ISO 8855", () => {
    const turned = {
      target: { positionMm: [1500, 0, 1200] as const, yawDeg: 2, pitchDeg: 1, rollDeg: -3 },
    };
    near(value({ kind: "yaw" }, turned), 2);
    near(value({ kind: "pitch" }, turned), 1);
    near(value({ kind: "roll" }, turned), -3);
  });

  test("face up and left end high are positive: checked on the corners, not on the formula", () => {
    // Pitch positive: the face looks up, so the upper edge lies farther ahead than the lower one.
    const up = { target: { positionMm: [1500, 0, 1200] as const, pitchDeg: 5 } };
    const corner = (name: string) => ({
      kind: "distance",
      of: { kind: "target corner", corner: name },
    });
    expect(value(corner("upper left"), up)).toBeGreaterThan(value(corner("lower left"), up) + 40);
    // Roll positive: the left end seen from the front, which is the vehicle's left, is high.
    const rolled = { target: { positionMm: [1500, 0, 1200] as const, rollDeg: 2 } };
    const height = (name: string) => ({
      kind: "height",
      of: { kind: "target corner", corner: name },
    });
    near(
      value(height("upper left"), rolled) - value(height("upper right"), rolled),
      1000 * Math.sin(2 * rad),
    );
    // Yaw positive, counter-clockwise from above: the vehicle's left end moves back.
    const yawed = { target: { positionMm: [1500, 0, 1200] as const, yawDeg: 2 } };
    near(value(corner("upper left"), yawed), 1500 - 500 * Math.sin(2 * rad));
  });

  test.each([
    ["forward", -3000, 0],
    ["left", -1000, -1800],
    ["right", -1000, 1800],
    ["up", 1500, 0],
  ] as const)("a target that faces %s measures no turn when it stands right", (facing, x, y) => {
    const wish = { target: { positionMm: [x, y, 300] as const, facing, yawDeg: 0 } };
    const change = { step: { target: { ...step.target, facing } } };
    for (const kind of ["yaw", "pitch", "roll"]) near(value({ kind }, wish, change), 0);
    const yawed = { target: { ...wish.target, yawDeg: 4 } };
    near(value({ kind: "yaw" }, yawed, change), 4);
  });

  test("a yaw near half a turn stays near its required value", () => {
    const wish = { target: { positionMm: [1500, 0, 1200] as const, yawDeg: 179.5 } };
    near(value({ kind: "yaw", required: -180 }, wish), -180.5);
  });

  test("straight distance and range", () => {
    const from = { kind: "wheel centre", wheel: "front left" };
    const dy = 20 - track / 2;
    near(
      value({ kind: "straight distance", from, to: target }),
      Math.hypot(1500, dy, 1200 - wheelHeight),
    );
    near(value({ kind: "range", from, to: target }), Math.hypot(1500, dy));
  });

  test("bearing is counter-clockwise from straight ahead", () => {
    const from = { kind: "axle midpoint", axle: "front" };
    near(value({ kind: "bearing", from, to: target }), Math.atan2(20, 1500) / rad, 1e-9);
    const behind = { target: { positionMm: [-3600, 500, 600] as const } };
    const rear = { kind: "axle midpoint", axle: "rear" };
    near(
      value({ kind: "bearing", from: rear, to: target, required: 150 }, behind),
      180 - Math.atan2(500, 1000) / rad,
      1e-9,
    );
  });

  test("equal diagonals", () => {
    const wheel = (w: string) => ({ kind: "wheel centre", wheel: w });
    const corner = (c: string) => ({ kind: "target corner", corner: c });
    const check = {
      kind: "equal diagonals",
      first: [wheel("front left"), corner("upper right")],
      second: [wheel("front right"), corner("upper left")],
    };
    near(value(check, {}), 0);
    // Shifted to the left, the diagonal from the left wheel to the right corner gets shorter.
    expect(value(check, { target: { positionMm: [1500, 30, 1200] } })).toBeLessThan(-20);
  });

  test("parallel to an axle", () => {
    near(value({ kind: "parallel", axle: "front" }), 1, 1e-9);
    near(value({ kind: "parallel", axle: "rear" }), 1, 1e-9);
  });

  test("mat corners", () => {
    const mat = { target: { positionMm: [1500, 100, 2] as const, facing: "up" as const } };
    const change = {
      step: { target: { ...step.target, kind: "floor mat" as const, facing: "up" as const } },
    };
    near(value({ kind: "mat corner along", corner: "upper left" }, mat, change), 1500 + 300);
    near(value({ kind: "mat corner across", corner: "upper left" }, mat, change), 100 + 500);
    near(value({ kind: "mat corner across", corner: "lower right" }, mat, change), 100 - 500);
  });

  test("floor flatness and free space", () => {
    const wish = { ...standing, rises: { "11": 3, "14": -2 } };
    near(value({ kind: "floor flatness" }, wish), 5);
    near(value({ kind: "floor flatness", boards: ["11", "12", "13"] }, wish), 3);
    const free = {
      kind: "free space",
      from: target,
      obstacles: [
        { kind: "floor board", board: "13" },
        { kind: "floor board", board: "14" },
      ],
    };
    near(value(free), Math.hypot(400, 680));
  });

  test("a floor that is higher under the target counts only where the sheet says so", () => {
    const wish = { ...standing, rises: { "11": 4, "12": 4, "13": 4, "14": 4 } };
    const under = value({ kind: "height", above: "floor under the target" }, wish);
    const car = value({ kind: "height", above: "floor under the car" }, wish);
    expect(car - under).toBeGreaterThan(1.5);
    expect(under).toBeLessThan(1200 - 2.5);
    expect(value({ kind: "floor slope" }, wish)).toBeGreaterThan(0.05);
    near(value({ kind: "floor slope" }, standing), 0, 1e-9);
  });
});

describe("set-back and origin lines", () => {
  test("distance counts from where the axis meets the axle line", () => {
    const point = { points: [{ name: "nose", board: "11" }] };
    const dropped = {
      setup: { ...setup, vehicle: { ...setup.vehicle, ...point } },
      sheet: {
        origin: { kind: "dropped point" as const, name: "nose", lateralFrom: "axis" as const },
      },
    };
    const scene = buildScene(standing);
    const view = fakeView({ ...scene, scalars: { ...scene.scalars, "point:nose": [0, 0] } });
    const context = { setup: dropped.setup, sheet: { ...sheet, ...dropped.sheet }, step };
    near(evaluateCheck(view, context, { ...base, kind: "distance" }), 600);
    near(evaluateCheck(view, context, { ...base, kind: "lateral offset" }), 20);
    const fromPoint = {
      ...context,
      sheet: { ...sheet, origin: { ...dropped.sheet.origin, lateralFrom: "point" as const } },
    };
    near(evaluateCheck(view, fromPoint, { ...base, kind: "lateral offset" }), 20 - 800);
  });
});

import { describe, expect, test } from "vitest";
import { requiredPlacement } from "../../../src/placement/moves/required.ts";
import type { Check, PointRef } from "../../../src/placement/sheet/sheet.ts";
import { fakeView } from "./fake-solution.ts";
import { buildScene, setup, sheet, step, wheelbase } from "./scene.ts";

const numbers = { lowerDeviation: -5, upperDeviation: 5, reference: "invented" };
const target: PointRef = { kind: "target" };

const required = (checks: readonly Check[], positionMm = [1480, 310, 1200] as const) => {
  const state = fakeView(buildScene({ target: { positionMm } }));
  return requiredPlacement(state, { setup, sheet, step: { ...step, checks: [...checks] } });
};

describe("a place given by range and bearing", () => {
  const front: PointRef = { kind: "axle midpoint", axle: "front" };
  const rear: PointRef = { kind: "axle midpoint", axle: "rear" };
  const range = (from: PointRef, mm: number): Check => ({
    ...{ ...numbers, kind: "range", id: "range", required: mm, from, to: target },
  });
  const bearing = (from: PointRef, deg: number): Check => ({
    ...{ ...numbers, kind: "bearing", id: "bearing", required: deg, from, to: target },
  });
  const at = (checks: readonly Check[]) => {
    const { x, y } = required(checks);
    return [x, y];
  };
  const near = (found: readonly number[], wanted: readonly number[]) =>
    wanted.forEach((v, i) => {
      expect(Math.abs(found[i] - v), `${found} against ${wanted}`).toBeLessThan(1e-6);
    });

  test("from one point", () => {
    near(at([range(front, 1500), bearing(front, 10)]), [
      1500 * Math.cos(Math.PI / 18),
      1500 * Math.sin(Math.PI / 18),
    ]);
  });

  // Chosen by hand: (1500, 300) from the middle of the front axle, seen from that of the rear.
  test("from two points, each counted from its own", () => {
    const angle = (Math.atan2(300, 1500 + wheelbase) * 180) / Math.PI;
    near(at([range(front, Math.hypot(1500, 300)), bearing(rear, angle)]), [1500, 300]);
  });

  test("that meet nowhere: the target stays where it is", () => {
    near(at([range(front, 100), bearing(rear, 30)]), [1480, 310]);
  });
});

import { describe, expect, test } from "vitest";
import { evaluateCheck } from "../../../src/placement/checks/checks.ts";
import { vehicleLines } from "../../../src/vehicle/lines.ts";
import { vehicleNumbers, vehicleQuantities } from "../../../src/vehicle/quantities.ts";
import { fakeView } from "../placement/fake-solution.ts";
import {
  buildScene,
  setup,
  sheet,
  step,
  track,
  vehicleSetup,
  wheelbase,
} from "../placement/scene.ts";

const numbersOf = (wish: Parameters<typeof buildScene>[0]) => {
  const lines = vehicleLines(fakeView(buildScene(wish)), vehicleSetup);
  return Object.fromEntries(vehicleNumbers(vehicleSetup).map((n) => [n.key, n.of(lines)]));
};
const near = (actual: number, expected: number, tolerance = 1e-6) =>
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThan(tolerance);

describe("signs of ISO 8855 by hand-made cars", () => {
  test("a straight car", () => {
    const n = numbersOf({});
    near(n.wheelbase, wheelbase);
    near(n["track front"], track);
    near(n["track rear"], track);
    for (const key of Object.keys(n).filter((k) => /toe|camber|thrust|set-back/.test(k))) {
      near(n[key], 0);
    }
    expect(Object.keys(n).length).toBe(17);
  });

  // ISO 8855:2011, 7.1.6: toe-in positive. A left wheel whose front edge points to the right
  // (clockwise from above, heading negative) toes in; so does a right wheel with heading positive.
  test("toe-in is positive on both sides", () => {
    const n = numbersOf({ headingDeg: { "front left": -0.3, "front right": 0.2 } });
    near(n["toe front left"], 0.3);
    near(n["toe front right"], 0.2);
    near(n["total toe front"], 0.5);
  });

  // Camber: between Z_V and the wheel plane, positive where the top leans outward (common practice
  // and ISO 8855, sign from memory).
  test("top outward is positive camber on both sides, toe untouched", () => {
    const n = numbersOf({ camberDeg: { "rear left": 1.5, "rear right": -0.5 } });
    near(n["camber rear left"], 1.5);
    near(n["camber rear right"], -0.5);
    near(n["toe rear left"], 0);
  });

  // Toe and camber are about the vehicle's axes, not successive turns: both together keep each.
  test("toe and camber do not disturb each other", () => {
    const n = numbersOf({
      headingDeg: { "rear left": 2 },
      camberDeg: { "rear left": 3 },
    });
    near(n["toe rear left"], -2, 1e-9);
    near(n["camber rear left"], 3, 1e-9);
  });

  // Thrust angle = half the difference of the rear toes, (right - left) / 2, positive to the left
  // with Z up; makers print both signs, so the words say the side.
  test("rear wheels that both point left give a thrust angle to the left", () => {
    const n = numbersOf({ headingDeg: { "rear left": 0.4, "rear right": 0.4 } });
    near(n["thrust angle"], 0.4);
    near((n["toe rear right"] - n["toe rear left"]) / 2, 0.4);
    near(n["thrust line at front axle"], wheelbase * Math.tan((0.4 * Math.PI) / 180), 1e-6);
    const words = vehicleNumbers(vehicleSetup).find((v) => v.key === "thrust angle");
    expect(words?.inWords(0.4)).toBe("0.40 degrees to the left");
    expect(words?.inWords(-0.4)).toBe("0.40 degrees to the right");
    expect(words?.inWords(0.001)).toBe("0.00 degrees");
  });

  test("pure toe-in at the rear leaves the thrust line on the centreline", () => {
    const n = numbersOf({ headingDeg: { "rear left": -0.4, "rear right": 0.4 } });
    near(n["thrust angle"], 0);
    near(n["total toe rear"], 0.8);
  });

  test("on the thrust line the lateral offset and yaw change as drawn by hand", () => {
    const scene = fakeView(buildScene({ headingDeg: { "rear left": 0.5, "rear right": 0.5 } }));
    const context = { setup, sheet: { ...sheet, axis: "thrust line" as const }, step };
    const value = (kind: string) => {
      const check = step.checks.find((c) => c.kind === kind);
      if (!check) throw new Error(kind);
      return evaluateCheck(scene, context, check);
    };
    const angle = (0.5 * Math.PI) / 180;
    // The target is on the centreline; the thrust line runs to its left, so it stands to the right.
    near(value("lateral offset"), -(wheelbase + 1500) * Math.sin(angle), 1e-6);
    near(value("yaw"), -0.5, 1e-9);
    near(
      value("distance"),
      1500 * Math.cos(angle) - wheelbase * Math.tan(angle) * Math.sin(angle),
      1e-6,
    );
  });
});

test("quantities carry the keys that the evaluation reads", () => {
  const keys = vehicleQuantities(vehicleSetup).map((q) => q.key);
  expect(new Set(keys).size).toBe(keys.length);
  expect(keys).toContain("vehicle:thrust angle");
  expect(keys).toContain("floor:11:rise");
  expect(keys.length).toBe(17 + 6);
});

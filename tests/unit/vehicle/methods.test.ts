import { describe, expect, test } from "vitest";
import { compose, type Vec3 } from "../../../src/maths/pose.ts";
import { floorRemarks, floorStepRemark } from "../../../src/vehicle/floor-checks.ts";
import { vehicleLines } from "../../../src/vehicle/lines.ts";
import { methodRemarks } from "../../../src/vehicle/methods.ts";
import { foldedTurnDeg } from "../../../src/vehicle/position-checks.ts";
import { vehicleNumbers } from "../../../src/vehicle/quantities.ts";
import type { VehicleSetup } from "../../../src/vehicle/setup.ts";
import { fakeSolution, fakeView } from "../placement/fake-solution.ts";
import { bayFromVehicle, buildScene, track, vehicleSetup, wheelbase } from "../placement/scene.ts";

/** A scene with plumb points marked by floor boards at stated places, vehicle frame. */
const withPoints = (points: Record<string, Vec3>) => {
  const scene = buildScene();
  const names = Object.keys(points);
  for (const [i, name] of names.entries()) {
    scene.poses[`2${i}`] = compose(bayFromVehicle, {
      R: [1, 0, 0, 0, 1, 0, 0, 0, 1],
      t: points[name],
    });
    scene.scalars[`point:${name}`] = [0, 0];
  }
  return {
    unknowns: {
      ...scene,
      scalarSd: Object.fromEntries(names.map((n) => [`point:${n}`, [1.5, 1.5]])),
    },
    points: names.map((name, i) => ({ name, board: `2${i}` })),
  };
};

describe("plumb points against plates", () => {
  const hub = (x: number, y: number): ReturnType<typeof methodRemarks> => {
    const { unknowns, points } = withPoints({ "left hub": [x, y, 3] });
    const setup: VehicleSetup = {
      ...vehicleSetup,
      points,
      wheels: {
        ...vehicleSetup.wheels,
        "front left": { ...vehicleSetup.wheels["front left"], plumbPoint: "left hub" },
      },
    };
    return methodRemarks(fakeSolution(unknowns), setup);
  };

  test("agree within what chance allows", () => {
    expect(hub(1, track / 2 - 2).map((r) => r.code)).toEqual(["methods-agree", "methods-agree"]);
  });

  test("disagree along the car by 9 mm", () => {
    const remarks = hub(9, track / 2);
    expect(remarks.map((r) => r.code)).toEqual(["methods-disagree", "methods-agree"]);
    expect(remarks[0].message).toContain("9.0 mm apart (standard uncertainty 1.5 mm)");
    expect(remarks[0].message).toContain("front left hub");
  });

  test("a body centre point beside the centreline", () => {
    const { unknowns, points } = withPoints({ "body centre rear": [-3000, 12, 3] });
    const remarks = methodRemarks(fakeSolution(unknowns), { ...vehicleSetup, points });
    expect(remarks.map((r) => r.code)).toEqual(["methods-disagree"]);
  });
});

describe("lines from dropped points", () => {
  test("hub points replace the front plates; toe and camber of those wheels are not given", () => {
    const { unknowns, points } = withPoints({
      "hub left": [0, track / 2, 3],
      "hub right": [0, -track / 2, 3],
    });
    const setup: VehicleSetup = {
      ...vehicleSetup,
      points,
      wheels: {
        ...vehicleSetup.wheels,
        "front left": { plumbPoint: "hub left" },
        "front right": { plumbPoint: "hub right" },
      },
    };
    const lines = vehicleLines(fakeView(unknowns), setup);
    const numbers = vehicleNumbers(setup);
    expect(numbers.some((n) => n.key === "toe front left")).toBe(false);
    expect(numbers.some((n) => n.key === "thrust angle")).toBe(true);
    const track2 = numbers.find((n) => n.key === "track front")?.of(lines) ?? 0;
    expect(Math.abs(track2 - track)).toBeLessThan(1e-6);
    expect(Math.abs(lines.inVehicle.frontMid[0])).toBeLessThan(1e-6);
  });

  test("a centreline through two dropped points is the X axis", () => {
    const { unknowns, points } = withPoints({ nose: [800, 10, 3], tail: [-3200, 10, 3] });
    const setup: VehicleSetup = {
      ...vehicleSetup,
      points,
      centreline: { front: "nose", rear: "tail" },
    };
    const { inVehicle } = vehicleLines(fakeView(unknowns), setup);
    expect(Math.abs(inVehicle.frontMid[1] + 10)).toBeLessThan(1e-6);
    expect(Math.abs(inVehicle.frontMid[0])).toBeLessThan(1e-6);
    expect(Math.abs(inVehicle.rearMid[0] + wheelbase)).toBeLessThan(1e-6);
  });
});

describe("floor", () => {
  test("one board on a bump is named", () => {
    const scene = buildScene({ rises: { "13": 6 } });
    const remarks = floorRemarks(fakeSolution(scene), vehicleSetup, 1);
    expect(remarks.map((r) => [r.code, r.about])).toEqual([["floor-board-off-plane", "13"]]);
    expect(remarks[0].message).toContain("6.0 mm above");
    expect(floorRemarks(fakeSolution(buildScene()), vehicleSetup, 1)).toEqual([]);
  });

  test("a step between car and target counts only when it is real", () => {
    expect(floorStepRemark(-5, 0.8, "floor under the car").map((r) => r.code)).toEqual([
      "floor-differs",
    ]);
    expect(floorStepRemark(-5, 3, "floor under the car")).toEqual([]);
    expect(floorStepRemark(1, 0.1, "floor under the car")).toEqual([]);
  });
});

test("turns of a wheel count folded", () => {
  expect(Math.abs(foldedTurnDeg(Math.PI) - 180)).toBeLessThan(1e-9);
  expect(Math.abs(foldedTurnDeg(-1.75 * Math.PI) - 45)).toBeLessThan(1e-9);
});

test("floor below the wheel centres stands in for floor boards", () => {
  const height = { "front left": 310, "front right": 310, "rear left": 310, "rear right": 310 };
  const scene = buildScene();
  const view = fakeView({ ...scene, scalars: { ...scene.scalars, "floor:wheels": [0, 0, 0, 0] } });
  const setup: VehicleSetup = {
    ...vehicleSetup,
    floor: { kind: "wheels", centreHeightMm: height },
  };
  const { bayFromVehicle: found, floor } = vehicleLines(view, setup);
  found.t.forEach((v, i) => {
    expect(Math.abs(v - bayFromVehicle.t[i])).toBeLessThan(1e-6);
  });
  expect(Math.abs(floor.up[2] - 1)).toBeLessThan(1e-12);
});

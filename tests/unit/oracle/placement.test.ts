import { describe, expect, it } from "vitest";
import { degrees } from "../../../src/maths/pose.ts";
import { evaluateCheck } from "../../../src/placement/checks/checks.ts";
import type { Check, PlacementSheet } from "../../../src/placement/sheet/sheet.ts";
import { targetKey } from "../../../src/placement/target/target.ts";
import { thrustAngleDeg, toeOf, vehicleLines } from "../../../src/vehicle/lines.ts";
import type { WheelPlace } from "../../../src/vehicle/setup.ts";
import {
  centreline,
  placementOf,
  type TrueCar,
  type TrueTarget,
  thrustAngle,
  thrustLine,
  toeIn,
} from "../../oracle/placement.ts";
import {
  after,
  axisOf,
  Chance,
  plus,
  type Quat,
  rad,
  rotate,
  times,
  turn,
  type V3,
} from "../../tools/phone/maths.ts";
import { fakeView } from "../placement/fake-solution.ts";
import { setup, sheet, step, targetSetup, wheelBoard } from "../placement/scene.ts";

/**
 * Random cars and targets, laid out with the simulator's own rotations and judged by the second
 * placement; the program sees nothing but the poses of the boards.
 */
const standOff = 60;
const places = {
  "front left": "frontLeft",
  "front right": "frontRight",
  "rear left": "rearLeft",
  "rear right": "rearRight",
} as const satisfies Record<WheelPlace, keyof TrueCar>;

const matrix = (q: Quat): number[] => {
  const [x, y, z] = [axisOf(q, 0), axisOf(q, 1), axisOf(q, 2)];
  return [0, 1, 2].flatMap((k) => [x[k], y[k], z[k]]);
};

const scene = (seed: number) => {
  const c = new Chance(seed);
  const bay: Quat = turn([0, 0, c.even(-3, 3)]);
  const origin: V3 = [c.even(-2000, 2000), c.even(-2000, 2000), 0];
  const inBay = (p: V3): V3 => plus(rotate(bay, p), origin);
  const poses: Record<string, unknown> = {};
  const scalars: Record<string, number[]> = { "floor:target": [0] };
  const car = {} as Record<keyof TrueCar, TrueCar[keyof TrueCar]>;
  for (const [place, name] of Object.entries(places) as [WheelPlace, keyof TrueCar][]) {
    const left = place.endsWith("left");
    // Plate: x to the right as seen from outside, y up, z outward; heading, camber, spin at random.
    const upright = left
      ? after(turn([0, 0, Math.PI]), turn([Math.PI / 2, 0, 0]))
      : turn([Math.PI / 2, 0, 0]);
    const q = [
      bay,
      turn([0, 0, rad(c.normal(1))]),
      turn([rad(c.normal(1.5)), 0, 0]),
      upright,
      turn([0, 0, c.even(-3, 3)]),
    ].reduce(after);
    const centre = inBay([
      (place.startsWith("front") ? 0 : -2600) + c.normal(10),
      (left ? 750 : -750) + c.normal(10),
      310 + c.normal(3),
    ]);
    const outward = axisOf(q, 2);
    car[name] = { centre, outward };
    poses[wheelBoard[place]] = { R: matrix(q), t: plus(centre, times(outward, standOff)) };
    scalars[`plate:${place}`] = [0, 0, 0, 0, 0, standOff];
  }
  for (const board of ["11", "12", "13", "14", "15", "16"])
    poses[board] = {
      R: matrix(bay),
      t: inBay([c.even(-3000, 3000), c.even(-2000, 2000), 3]),
    };
  // The face looks back at the car: right of the viewer is the car's right, -Y.
  const facing = after(turn([0, 0, -Math.PI / 2]), turn([Math.PI / 2, 0, 0]));
  const q = [
    bay,
    turn([0, 0, rad(c.normal(4))]),
    turn([0, rad(c.normal(4)), 0]),
    turn([rad(c.normal(4)), 0, 0]),
    facing,
  ].reduce(after);
  const target: TrueTarget = {
    centre: inBay([c.even(800, 6000), c.normal(400), c.even(300, 1600)]),
    right: axisOf(q, 0),
    up: axisOf(q, 1),
    face: axisOf(q, 2),
  };
  poses[targetKey(targetSetup.name)] = { R: matrix(q), t: target.centre };
  const view = fakeView({ poses: poses as never, scalars });
  return { car: car as TrueCar, target, view };
};

const seeds = Array.from({ length: 40 }, (_, i) => i + 1);

describe("the second placement", () => {
  it("lays the target out as meant: face to the car, right hand on the car's right", () => {
    const { car, target } = scene(1);
    const { ahead } = placementOf(car, target, centreline(car));
    expect(ahead).toBeGreaterThan(700);
    expect(target.up[2]).toBeGreaterThan(0.9);
  });

  it.each([
    ["geometric centreline", centreline],
    ["thrust line", thrustLine],
  ] as const)("agrees with the program's checks against the %s", (axis, axisOfCar) => {
    for (const seed of seeds) {
      const { car, target, view } = scene(seed);
      const truth = placementOf(car, target, axisOfCar(car));
      const measured = (kind: string): number =>
        evaluateCheck(view, { setup, sheet: { ...sheet, axis } as PlacementSheet, step }, {
          kind,
          id: kind,
          required: 0,
          lowerDeviation: -1,
          upperDeviation: 1,
        } as unknown as Check);
      expect(measured("height")).toBeCloseTo(truth.height, 7);
      expect(measured("yaw")).toBeCloseTo(truth.yaw, 7);
      expect(measured("pitch")).toBeCloseTo(truth.pitch, 7);
      expect(measured("roll")).toBeCloseTo(truth.roll, 7);
      expect(measured("distance")).toBeCloseTo(truth.ahead, 6);
      expect(measured("lateral offset")).toBeCloseTo(truth.left, 6);
    }
  });

  it("agrees with the program's thrust angle and toe", () => {
    for (const seed of seeds) {
      const { car, view } = scene(seed);
      const lines = vehicleLines(view, setup.vehicle);
      expect(thrustAngleDeg(lines)).toBeCloseTo(thrustAngle(car), 8);
      for (const [place, name] of Object.entries(places) as [WheelPlace, keyof TrueCar][]) {
        const { outward } = lines.inVehicle.wheels[place];
        expect(degrees(toeOf(place, outward!))).toBeCloseTo(toeIn(car, name), 8);
      }
    }
  });
});

import { describe, expect, test } from "vitest";
import type { Link } from "../../../src/adjust/problem/problem.ts";
import {
  compose,
  dot,
  expRotation,
  identityPose,
  invert,
  localCoordinates,
  logRotation,
  matVec,
  norm,
  type Pose,
  scale,
  sub,
  transform,
  unit,
  type Vec3,
} from "../../../src/maths/pose.ts";
import { wheelFromPlate, wheelOf } from "../../../src/vehicle/lines.ts";
import { motionKey, spinKey, steerKey, type VehicleSetup } from "../../../src/vehicle/setup.ts";
import { vehiclePieces } from "../../../src/vehicle/statements.ts";
import { fakeView } from "../placement/fake-solution.ts";
import { bayFromVehicle, vehicleSetup, wheelPose } from "../placement/scene.ts";

/** A crooked plate on a wheel, turned about the spindle by hand. */
const plate = [0.004, -0.003, 0, 1.2, -0.8, 60];
const spindle = compose(bayFromVehicle, wheelPose("rear left", 0.3, -1));
const turnedBy = (angle: number): Pose =>
  compose(compose(spindle, { R: expRotation([0, 0, angle]), t: [0, 0, 0] }), wheelFromPlate(plate));

/**
 * Screw axis of a motion x -> R x + t: direction is the rotation's axis; the point nearest the
 * origin follows from (I - R) p = t - (t.a) a (Murray, Li, Sastry, A Mathematical Introduction to
 * Robotic Manipulation, 2.3: Chasles' theorem). For a pure turn the pitch t.a is zero.
 */
const screwOf = ({ R, t }: Pose): { axis: Vec3; point: Vec3; pitch: number; angle: number } => {
  const w = logRotation(R);
  const angle = norm(w);
  const axis = unit(w);
  const pitch = dot(t, axis);
  const across = sub(t, scale(axis, pitch));
  const turned: Vec3 = [
    axis[1] * across[2] - axis[2] * across[1],
    axis[2] * across[0] - axis[0] * across[2],
    axis[0] * across[1] - axis[1] * across[0],
  ];
  const half = scale(turned, 1 / Math.tan(angle / 2));
  const point: Vec3 = [
    (across[0] + half[0]) / 2,
    (across[1] + half[1]) / 2,
    (across[2] + half[2]) / 2,
  ];
  return { axis, point, pitch, angle };
};

describe("screw axis of a turned plate", () => {
  test("the textbook case: a quarter turn about the vertical through (1, 0, 0)", () => {
    const R = expRotation([0, 0, Math.PI / 2]);
    const screw = screwOf({ R, t: sub([1, 0, 0], matVec(R, [1, 0, 0])) });
    expect(Math.abs(screw.angle - Math.PI / 2)).toBeLessThan(1e-12);
    expect(Math.abs(screw.pitch)).toBeLessThan(1e-12);
    expect(norm(sub(screw.point, [1, 0, 0]))).toBeLessThan(1e-12);
  });

  test.each([40, 120, 180])("turned by %i degrees, it is the spindle that wheelOf gives", (deg) => {
    const motion = compose(turnedBy((deg * Math.PI) / 180), invert(turnedBy(0)));
    const screw = screwOf(motion);
    const view = fakeView({
      poses: { "3": turnedBy(0) },
      scalars: { "plate:rear left": plate },
    });
    const wheel = wheelOf(view, vehicleSetup, "rear left");
    if (!wheel?.outward) throw new Error("no spindle");
    expect(Math.abs(Math.abs(dot(screw.axis, wheel.outward)) - 1)).toBeLessThan(1e-12);
    expect(Math.abs(screw.pitch)).toBeLessThan(1e-9);
    const gap = sub(screw.point, wheel.centre);
    expect(norm(sub(gap, scale(wheel.outward, dot(gap, wheel.outward))))).toBeLessThan(1e-7);
  });
});

describe("the chain of a further position", () => {
  const setup: VehicleSetup = { ...vehicleSetup, positions: [{ key: "B", kind: "rolled" }] };
  const spin = 2.9;
  const steer = 0.02;
  const level: Pose = { R: expRotation([0, 0, 0.4]), t: [200, -300, 0] };
  const small = [0.001, -0.002, 0.01, 900, 30, 1.5];
  const smallPose: Pose = {
    R: expRotation([small[0], small[1], small[2]]),
    t: [small[3], small[4], small[5]],
  };
  const motion = compose(compose(level, smallPose), invert(level));

  const product = (
    links: readonly Link[],
    poses: Record<string, Pose>,
    scalars: Record<string, number[]>,
  ): Pose =>
    links.reduce((whole, link) => {
      const pose =
        link.kind === "fixed"
          ? link.pose
          : link.kind === "pose"
            ? poses[link.key]
            : link.kind === "small"
              ? wheelFromPlate(scalars[link.key])
              : {
                  R: expRotation(
                    [0, 1, 2].map((k) =>
                      k === link.axis ? scalars[link.key][link.index] * (link.sign ?? 1) : 0,
                    ) as unknown as Vec3,
                  ),
                  t: [0, 0, 0] as Vec3,
                };
      return compose(whole, "inverse" in link && link.inverse ? invert(pose) : pose);
    }, identityPose);

  test.each(["rear left", "front right"] as const)("closes for a rolled %s wheel", (place) => {
    const board = setup.wheels[place]?.plate?.board ?? "";
    const wheel = compose(bayFromVehicle, wheelPose(place, 0.2, 0.5));
    const first = compose(wheel, wheelFromPlate(plate));
    const front = place.startsWith("front");
    const lean = Math.atan2(first.R[6], first.R[7]);
    const aboutZ = (a: number): Pose => ({ R: expRotation([0, 0, a]), t: [0, 0, 0] });
    const steering = front
      ? compose(
          compose(aboutZ(-lean), { R: expRotation([0, steer, 0]), t: [0, 0, 0] }),
          aboutZ(lean),
        )
      : identityPose;
    const second = compose(
      compose(compose(compose(motion, wheel), steering), aboutZ(spin)),
      wheelFromPlate(plate),
    );
    const poses = { [board]: first, [`${board}@B`]: second, level };
    const scalars = {
      [`plate:${place}`]: plate,
      [motionKey("B")]: small,
      [spinKey("B", place)]: [spin],
      [steerKey("B", place)]: [steer],
    };
    const pieces = vehiclePieces(setup, (key) => poses[key]);
    const chain = pieces.chains.find((c) => c.key === `wheel:${place}@B`);
    if (!chain) throw new Error("no chain");
    expect(chain.links.filter((l) => l.kind === "turn").length).toBe(front ? 2 : 1);
    const left = localCoordinates(identityPose, product(chain.links, poses, scalars));
    expect(Math.max(...left.map(Math.abs))).toBeLessThan(1e-8);
    // Moving the whole bay changes nothing: the chain is a statement about shape.
    const G: Pose = { R: expRotation([0.3, -0.2, 2]), t: [500, 700, -90] };
    const moved = Object.fromEntries(Object.entries(poses).map(([k, p]) => [k, compose(G, p)]));
    const again = localCoordinates(identityPose, product(chain.links, moved, scalars));
    expect(Math.max(...again.map(Math.abs))).toBeLessThan(1e-8);
  });

  test("start values come from the start poses: spin, movement, level frame", () => {
    const poses: Record<string, Pose> = { "11": { R: expRotation([0, 0, 0.3]), t: [900, 800, 3] } };
    for (const [place, wheel] of Object.entries(setup.wheels)) {
      const side = place.endsWith("left") ? 1 : -1;
      const at = compose(bayFromVehicle, wheelPose(place as "rear left", 0, 0));
      const board = wheel.plate?.board ?? "";
      poses[board] = compose(at, wheelFromPlate(plate));
      poses[`${board}@B`] = compose(
        compose(compose(motion, at), { R: expRotation([0, 0, 2.5 * side]), t: [0, 0, 0] }),
        wheelFromPlate(plate),
      );
    }
    const pieces = vehiclePieces(setup, (key) => poses[key]);
    const mean = (key: string) => pieces.scalars.find((s) => s.key === key)?.mean ?? [];
    expect(Math.abs(mean(spinKey("B", "rear left"))[0] - 2.5)).toBeLessThan(0.05);
    expect(Math.abs(mean(spinKey("B", "rear right"))[0] + 2.5)).toBeLessThan(0.05);
    // The level frame starts below the middle of the car; what the floor says starts at "no change".
    const start = pieces.frames.find((f) => f.key === "level")?.start;
    if (!start) throw new Error("no level frame");
    const moved = sub(transform(motion, start.t), start.t);
    const [wx, wy, wz, tx, ty, tz] = mean(motionKey("B"));
    expect([wx, wy, tz]).toEqual([0, 0, 0]);
    expect(Math.abs(wz - 0.01)).toBeLessThan(1e-3);
    expect(Math.hypot(tx - moved[0], ty - moved[1])).toBeLessThan(5);
  });
});

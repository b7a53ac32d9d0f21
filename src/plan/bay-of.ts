import type { StateView } from "../adjust/problem/problem.ts";
import { compose, invert, type Pose, type Vec3 } from "../maths/pose.ts";
import { axisOf, type StepContext, targetFor, targetOfPoint } from "../placement/checks/checks.ts";
import { targetKey } from "../placement/target/target.ts";
import { type WheelPlace, wheelPlaces } from "../vehicle/setup.ts";
import { usualCar } from "./rough-bay.ts";
import type { Landmark, Obstacle, PlacedBoard, PlannedBay, Room } from "./view/bay.ts";

/** Where the boards, the car and the stand are, in the vehicle frame; from a rough or measured state. */
export const bayOf = (
  state: StateView,
  context: StepContext,
  boards: readonly { readonly key: string; readonly cellMm: number }[],
  room?: Room,
): { bay: PlannedBay; bayFromVehicle: Pose } => {
  const { lines } = axisOf(state, context);
  const vehicleFromBay = invert(lines.bayFromVehicle);
  const placed = boards.map(
    ({ key, cellMm }): PlacedBoard => ({
      key,
      cellMm,
      pose: compose(vehicleFromBay, state.pose(key)),
    }),
  );
  const wheels = lines.inVehicle.wheels;
  const target = targetOfPoint(context.setup, context.step, undefined);
  const { name } = targetFor(context.setup, context.step.target.name);
  const stand = compose(vehicleFromBay, state.pose(targetKey(name)));
  const lies = context.step.target.facing === "up";
  const bay: PlannedBay = {
    boards: placed,
    obstacles: [
      carBox(wheelPlaces.map((place) => wheels[place].centre)),
      ...(lies ? [] : [standBox(stand, target?.widthMm ?? 600, target?.heightMm ?? 600)]),
    ],
    landmarks: [
      ...wheelPlaces.map((place) => landmark(place, wheels[place].centre)),
      { name: "stand", at: [stand.t[0], stand.t[1]] },
    ],
    ...(room ? { room } : {}),
  };
  return { bay, bayFromVehicle: lines.bayFromVehicle };
};

const landmark = (place: WheelPlace, centre: Vec3): Landmark => ({
  name: `${place} wheel`,
  at: [centre[0], centre[1]],
});

/**
 * The body as a box down to the floor: as wide as the wheels' centres and a little more, so that the
 * wheel boards stand out of it.
 */
const carBox = (wheels: readonly Vec3[]): Obstacle => {
  const xs = wheels.map((centre) => centre[0]);
  const ys = wheels.map((centre) => centre[1]);
  const [front, rear] = [
    Math.max(...xs) + usualCar.overhangMm,
    Math.min(...xs) - usualCar.overhangMm,
  ];
  const [left, right] = [Math.max(...ys) + plateRoomMm, Math.min(...ys) - plateRoomMm];
  return {
    name: "car",
    pose: {
      R: [1, 0, 0, 0, 1, 0, 0, 0, 1],
      t: [(front + rear) / 2, (left + right) / 2, usualCar.heightMm / 2],
    },
    half: [(front - rear) / 2, (left - right) / 2, usualCar.heightMm / 2],
  };
};

/** From a wheel's centre, where its plate is counted from, to the outside of the body, mm. */
const plateRoomMm = 25;

/** The target's panel, a little behind its face, mm. */
const panel = { behindMm: 70, halfThickMm: 45 } as const;

const standBox = (stand: Pose, width: number, height: number): Obstacle => ({
  name: "stand",
  pose: compose(stand, { R: [1, 0, 0, 0, 1, 0, 0, 0, 1], t: [0, 0, -panel.behindMm] }),
  half: [width / 2, height / 2, panel.halfThickMm],
});

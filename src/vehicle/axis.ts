import type { Quantity, StateView } from "../adjust/problem/problem.ts";
import { perState } from "../adjust/propagate/per-state.ts";
import {
  compose,
  dot,
  expRotation,
  invert,
  localCoordinates,
  type Pose,
  sub,
  transform,
  type Vec3,
} from "../maths/pose.ts";
import { footOn } from "./floor.ts";
import { droppedPoint, type VehicleLines, vehicleLines } from "./lines.ts";
import type { VehicleSetup } from "./setup.ts";

/**
 * The axis frame that placements are stated in: origin on the floor where the origin line meets
 * the axis, X along the axis (centreline or thrust line), Y left, Z up.
 */
export type OriginChoice =
  | { readonly kind: "front-axle line" }
  | { readonly kind: "rear-axle line" }
  | {
      readonly kind: "dropped point";
      readonly name: string;
      readonly lateralFrom: "axis" | "point";
    };

export type AxisChoice = "geometric centreline" | "thrust line";

export interface AxisFrame {
  readonly lines: VehicleLines;
  readonly bayFromAxis: Pose;
}

/** Where a line through `from` along `direction` meets the line through p and q, in plan. */
const meetInPlan = (from: Vec3, direction: Vec3, p: Vec3, q: Vec3): Vec3 => {
  const [ex, ey] = [q[0] - p[0], q[1] - p[1]];
  const [wx, wy] = [p[0] - from[0], p[1] - from[1]];
  const det = direction[1] * ex - direction[0] * ey;
  const s = (wy * ex - wx * ey) / det;
  return [from[0] + s * direction[0], from[1] + s * direction[1], 0];
};

/** Pose of the axis frame in the vehicle frame: a turn about Z and a shift on the floor. */
const vehicleFromAxis = (
  lines: VehicleLines,
  origin: OriginChoice,
  axis: AxisChoice,
  point: Vec3 | null,
): Pose => {
  const { inVehicle } = lines;
  if (axis === "thrust line" && !inVehicle.thrust) {
    throw new Error("The thrust line needs plates on both rear wheels.");
  }
  const direction: Vec3 = axis === "thrust line" && inVehicle.thrust ? inVehicle.thrust : [1, 0, 0];
  const through: Vec3 = axis === "thrust line" ? inVehicle.rearMid : [0, 0, 0];
  const R = expRotation([0, 0, Math.atan2(direction[1], direction[0])]);
  if (origin.kind === "dropped point") {
    if (!point) throw new Error("The dropped point of the origin is missing.");
    const t: Vec3 =
      origin.lateralFrom === "point" ? [point[0], point[1], 0] : alongTo(through, direction, point);
    return { R, t };
  }
  const axle = origin.kind === "front-axle line" ? "front" : "rear";
  const left = inVehicle.wheels[`${axle} left`].centre;
  const right = inVehicle.wheels[`${axle} right`].centre;
  return { R, t: meetInPlan(through, direction, left, right) };
};

/** The axis's point abreast of `point`, on the floor. */
const alongTo = (through: Vec3, direction: Vec3, point: Vec3): Vec3 => {
  const s = dot(sub(point, through), direction);
  return [through[0] + s * direction[0], through[1] + s * direction[1], 0];
};

/**
 * The axis frame of a placement in the given state. Throws where the set-up lacks what the axis is
 * made from (rear plates, the dropped point): `setupRemarks` reports that before.
 */
export const axisFrame = (
  state: StateView,
  setup: VehicleSetup,
  origin: OriginChoice,
  axis: AxisChoice,
): AxisFrame => {
  const lines = vehicleLines(state, setup);
  const point =
    origin.kind === "dropped point"
      ? transform(
          invert(lines.bayFromVehicle),
          footOn(lines.floor, droppedPoint(state, setup, origin.name)),
        )
      : null;
  return {
    lines,
    bayFromAxis: compose(lines.bayFromVehicle, vehicleFromAxis(lines, origin, axis, point)),
  };
};

/** vehicleFromBoard (or from any frame of the adjustment). */
export const poseInVehicle = (state: StateView, setup: VehicleSetup, key: string): Pose =>
  compose(invert(vehicleLines(state, setup).bayFromVehicle), state.pose(key));

/** vehicleFromCamera of a photo. */
export const photoInVehicle = (state: StateView, setup: VehicleSetup, photo: string): Pose =>
  compose(invert(vehicleLines(state, setup).bayFromVehicle), invert(state.photoPose(photo)));

/**
 * Six quantities per pose whose covariance is that of the pose in the vehicle frame: turns about
 * the moving frame's own axes (rad), shifts (mm), about the pose at `at` (the adjusted state).
 * Keys "pose:<key>:0" .. ":5".
 */
export const poseQuantities = (
  at: StateView,
  key: string,
  poseOf: (state: StateView) => Pose,
): Quantity[] => {
  const reference = poseOf(at);
  const coordinates = perState((state) => localCoordinates(reference, poseOf(state)));
  return [0, 1, 2, 3, 4, 5].map((k) => ({
    key: `pose:${key}:${k}`,
    evaluate: (state) => coordinates(state)[k],
  }));
};

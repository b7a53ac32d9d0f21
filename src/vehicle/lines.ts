import type { StateView } from "../adjust/problem/problem.ts";
import { perState } from "../adjust/propagate/per-state.ts";
import {
  add,
  column,
  compose,
  cross,
  degrees,
  dot,
  expRotation,
  invert,
  type Mat3,
  matVec,
  type Pose,
  scale,
  sub,
  transform,
  unit,
  type Vec3,
} from "../maths/pose.ts";
import type { Degrees, Radians } from "../maths/units.ts";
import { bayFloor, type FloorPlane, floorBelowWheels, footOn } from "./floor.ts";
import { isLeft, plateKey, pointKey, type VehicleSetup, type WheelPlace } from "./setup.ts";

/**
 * The vehicle's own lines from the state of the adjustment. Every function is a smooth function of
 * the unknowns, so that it can be reported with its uncertainty. Bay frame, mm, rad.
 *
 * Angles about the vehicle's axes, never successive turns, as ISO 8855 defines toe and camber:
 * - heading of a wheel: from X_V to the wheel plane's trace on the floor, counter-clockwise
 *   positive. Toe of a wheel: toe-in positive (ISO 8855:2011, 7.1.6), so the toe of a left wheel is
 *   minus its heading, that of a right wheel its heading;
 * - camber: from Z_V to the wheel plane, positive where the top leans outward;
 * - thrust angle: mean heading of the two rear wheels, positive to the left. The trade uses both
 *   signs, so every output says left or right in words.
 */

/** Wheel centre and spindle, or a dropped point that stands for the centre (spindle null). */
export interface Wheel {
  readonly centre: Vec3;
  /** Unit vector along the spindle, outward from the car. */
  readonly outward: Vec3 | null;
}

/** wheelFromBoard of a plate, from its scalar block [tilt x, tilt y, 0, x, y, stand-off]. */
export const wheelFromPlate = (block: ArrayLike<number>): Pose => ({
  R: expRotation([block[0], block[1], block[2]]),
  t: [block[3], block[4], block[5]],
});

/**
 * A dropped point in the bay frame, mm, with its plumbing error (block point:<name>). Throws where
 * the set-up has no point of this name.
 */
export const droppedPoint = (state: StateView, setup: VehicleSetup, name: string): Vec3 => {
  const point = setup.points?.find((p) => p.name === name);
  if (!point) throw new Error(`No point named ${name} in the vehicle set-up.`);
  const offset = state.scalars(pointKey(name));
  const base = point.inBoardMm ?? [0, 0, 0];
  return transform(state.pose(point.board), [base[0] + offset[0], base[1] + offset[1], base[2]]);
};

/** A wheel from its plate where it has one, else from its dropped hub point; else null. */
export const wheelOf = (state: StateView, setup: VehicleSetup, place: WheelPlace): Wheel | null => {
  const wheel = setup.wheels[place];
  if (wheel?.plate) {
    const bayFromWheel = compose(
      state.pose(wheel.plate.board),
      invert(wheelFromPlate(state.scalars(plateKey(place)))),
    );
    return { centre: bayFromWheel.t, outward: column(bayFromWheel.R, 2) };
  }
  if (wheel?.plumbPoint) {
    return { centre: droppedPoint(state, setup, wheel.plumbPoint), outward: null };
  }
  return null;
};

export interface VehicleLines {
  readonly wheels: Readonly<Record<WheelPlace, Wheel>>;
  readonly floor: FloorPlane;
  /** Midpoints of the wheel centres, bay frame. */
  readonly frontMid: Vec3;
  readonly rearMid: Vec3;
  readonly bayFromVehicle: Pose;
  /** The same seen in the vehicle frame. */
  readonly inVehicle: {
    readonly wheels: Readonly<Record<WheelPlace, Wheel>>;
    readonly frontMid: Vec3;
    readonly rearMid: Vec3;
    /** Horizontal unit vector, or null without both rear spindles. */
    readonly thrust: Vec3 | null;
  };
}

const midpoint = (a: Vec3, b: Vec3): Vec3 => scale(add(a, b), 0.5);

/** Rotation with columns x (made perpendicular to up), up x x, up. */
const frameAlong = (forward: Vec3, up: Vec3): Mat3 => {
  const x = unit(sub(forward, scale(up, dot(forward, up))));
  const y = cross(up, x);
  return [x[0], y[0], up[0], x[1], y[1], up[1], x[2], y[2], up[2]];
};

const requireWheels = (
  state: StateView,
  setup: VehicleSetup,
): Readonly<Record<WheelPlace, Wheel>> => {
  const at = (place: WheelPlace): Wheel => {
    const wheel = wheelOf(state, setup, place);
    if (!wheel) throw new Error(`The ${place} wheel has neither a plate nor a dropped point.`);
    return wheel;
  };
  return {
    "front left": at("front left"),
    "front right": at("front right"),
    "rear left": at("rear left"),
    "rear right": at("rear right"),
  };
};

const floorPlane = (
  state: StateView,
  setup: VehicleSetup,
  wheels: Readonly<Record<WheelPlace, Wheel>>,
): FloorPlane =>
  setup.floor.kind === "boards"
    ? bayFloor
    : floorBelowWheels(
        state,
        {
          frontLeft: wheels["front left"].centre,
          frontRight: wheels["front right"].centre,
          rearLeft: wheels["rear left"].centre,
          rearRight: wheels["rear right"].centre,
        },
        setup.floor,
      );

/** Heading of a wheel, rad: direction of its plane's trace on the floor in the vehicle frame. */
export const headingOf = (place: WheelPlace, outward: Vec3): Radians => {
  const trace: Vec3 = isLeft(place) ? cross(outward, [0, 0, 1]) : cross([0, 0, 1], outward);
  return Math.atan2(trace[1], trace[0]);
};

/** Toe of a wheel, rad, toe-in positive. */
export const toeOf = (place: WheelPlace, outward: Vec3): Radians =>
  isLeft(place) ? -headingOf(place, outward) : headingOf(place, outward);

/** Camber of a wheel, rad, top outward positive. */
export const camberOf = (outward: Vec3): Radians => Math.asin(-outward[2]);

const linesOf = new WeakMap<VehicleSetup, (state: StateView) => VehicleLines>();

/**
 * All lines of the vehicle. Needs four wheels (plates or dropped hub points); throws otherwise,
 * because `vehicleRemarks` reports a missing wheel before anything is computed.
 */
export const vehicleLines = (state: StateView, setup: VehicleSetup): VehicleLines => {
  let known = linesOf.get(setup);
  if (!known) {
    known = perState((at) => computeLines(at, setup));
    linesOf.set(setup, known);
  }
  return known(state);
};

const computeLines = (state: StateView, setup: VehicleSetup): VehicleLines => {
  const wheels = requireWheels(state, setup);
  const floor = floorPlane(state, setup, wheels);
  const frontMid = midpoint(wheels["front left"].centre, wheels["front right"].centre);
  const rearMid = midpoint(wheels["rear left"].centre, wheels["rear right"].centre);
  const from = setup.centreline ? droppedPoint(state, setup, setup.centreline.rear) : rearMid;
  const to = setup.centreline ? droppedPoint(state, setup, setup.centreline.front) : frontMid;
  const R = frameAlong(sub(to, from), floor.up);
  // The centreline is the X axis: with dropped points it may miss the front-axle midpoint, and the
  // origin is then the centreline's point abreast of that midpoint.
  const x = column(R, 0);
  const abreast = add(from, scale(x, dot(sub(frontMid, from), x)));
  const bayFromVehicle: Pose = { R, t: footOn(floor, setup.centreline ? abreast : frontMid) };
  const vehicleFromBay = invert(bayFromVehicle);
  const seen = (wheel: Wheel): Wheel => ({
    centre: transform(vehicleFromBay, wheel.centre),
    outward: wheel.outward && matVec(vehicleFromBay.R, wheel.outward),
  });
  const inVehicle = {
    "front left": seen(wheels["front left"]),
    "front right": seen(wheels["front right"]),
    "rear left": seen(wheels["rear left"]),
    "rear right": seen(wheels["rear right"]),
  };
  return {
    wheels,
    floor,
    frontMid,
    rearMid,
    bayFromVehicle,
    inVehicle: {
      wheels: inVehicle,
      frontMid: transform(vehicleFromBay, frontMid),
      rearMid: transform(vehicleFromBay, rearMid),
      thrust: thrustDirection(inVehicle["rear left"].outward, inVehicle["rear right"].outward),
    },
  };
};

/** Horizontal unit vector along the bisector of the rear wheels' headings, vehicle frame. */
const thrustDirection = (left: Vec3 | null, right: Vec3 | null): Vec3 | null => {
  if (!left || !right) return null;
  const angle = (headingOf("rear left", left) + headingOf("rear right", right)) / 2;
  return [Math.cos(angle), Math.sin(angle), 0];
};

/** Thrust angle in degrees, positive to the left; null without both rear spindles. */
export const thrustAngleDeg = (lines: VehicleLines): Degrees | null => {
  const thrust = lines.inVehicle.thrust;
  return thrust && degrees(Math.atan2(thrust[1], thrust[0]));
};

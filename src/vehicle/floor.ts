import type { Quantity, StateView } from "../adjust/problem/problem.ts";
import { add, cross, dot, scale, sub, unit, type Vec3 } from "../maths/pose.ts";
import { type FloorBoard, type FloorSetup, floorAtTargetKey, wheelHeightKey } from "./setup.ts";

/**
 * The floor as a plane in the bay frame, and how the real floor departs from it.
 *
 * With floor boards the adjustment itself carries the plane: the bay's z = 0. Each board's floor
 * statement says how far its spot may lie off that plane, so the plane's uncertainty includes the
 * floor's unevenness. Without floor boards the plane is hung below the wheel centres.
 */
export interface FloorPlane {
  /** A point of the plane, bay frame, mm. */
  readonly point: Vec3;
  /** Unit normal, up. */
  readonly up: Vec3;
}

/** The plane that floor boards hold: z = 0 of the bay frame. */
export const bayFloor: FloorPlane = { point: [0, 0, 0], up: [0, 0, 1] };

export interface WheelCentres {
  readonly frontLeft: Vec3;
  readonly frontRight: Vec3;
  readonly rearLeft: Vec3;
  readonly rearRight: Vec3;
}

/**
 * Plane below the four wheel centres, each lowered by its stated height. The normal is the cross
 * product of the mean forward and the mean leftward direction; four points over-determine the
 * plane, and this choice is the least-squares plane of a rectangle.
 */
export const floorBelowWheels = (
  state: StateView,
  centres: WheelCentres,
  floor: Extract<FloorSetup, { kind: "wheels" }>,
): FloorPlane => {
  const error = state.scalars(wheelHeightKey);
  const height = floor.centreHeightMm;
  const forward = sub(
    scale(add(centres.frontLeft, centres.frontRight), 0.5),
    scale(add(centres.rearLeft, centres.rearRight), 0.5),
  );
  const left = sub(
    scale(add(centres.frontLeft, centres.rearLeft), 0.5),
    scale(add(centres.frontRight, centres.rearRight), 0.5),
  );
  const first = unit(cross(forward, left));
  const lower = (p: Vec3, h: number, e: number): Vec3 => sub(p, scale(first, h + e));
  const fl = lower(centres.frontLeft, height["front left"], error[0]);
  const fr = lower(centres.frontRight, height["front right"], error[1]);
  const rl = lower(centres.rearLeft, height["rear left"], error[2]);
  const rr = lower(centres.rearRight, height["rear right"], error[3]);
  return {
    point: scale(add(add(fl, fr), add(rl, rr)), 0.25),
    up: unit(cross(sub(add(fl, fr), add(rl, rr)), sub(add(fl, rl), add(fr, rr)))),
  };
};

/** Height of a bay point above the plane, mm. */
export const heightAbove = (plane: FloorPlane, p: Vec3): number =>
  dot(sub(p, plane.point), plane.up);

/** Foot of a point on the plane. */
export const footOn = (plane: FloorPlane, p: Vec3): Vec3 =>
  sub(p, scale(plane.up, heightAbove(plane, p)));

/** How far the floor below a floor board lies above the plane, mm. */
export const floorBoardRise = (
  state: StateView,
  { point, up }: FloorPlane,
  { board, heightMm }: FloorBoard,
): number => {
  const { R, t } = state.pose(board);
  // In numbers, not vectors: this runs for every board below every wheel, once for each unknown.
  return (
    (t[0] - heightMm * R[2] - point[0]) * up[0] +
    (t[1] - heightMm * R[5] - point[1]) * up[1] +
    (t[2] - heightMm * R[8] - point[2]) * up[2]
  );
};

/** Floor boards farther than this from a spot say little about the floor there, mm. */
const reachMm = 1200;
/** Weight of "the floor is the plane here" against one board at the spot itself. */
const planeWeight = 0.25;

/** Square of the distance of two points along a plane with unit normal `up`, mm^2. */
const squareAlong = (up: Vec3, a: Vec3, b: Vec3): number => {
  const x = a[0] - b[0];
  const y = a[1] - b[1];
  const z = a[2] - b[2];
  const above = x * up[0] + y * up[1] + z * up[2];
  return x * x + y * y + z * z - above * above;
};

/**
 * Rise of the real floor at a bay point over the plane, as the floor boards show it: a mean of
 * their rises (mm) weighted by distance, which tends to zero where no board is near.
 */
const shownFloorRise = (
  state: StateView,
  plane: FloorPlane,
  floor: FloorSetup,
  at: Vec3,
): number => {
  if (floor.kind === "wheels") return 0;
  let weights = planeWeight;
  let sum = 0;
  for (const entry of floor.boards) {
    const weight = Math.exp(
      -squareAlong(plane.up, state.pose(entry.board).t, at) / (2 * reachMm * reachMm),
    );
    weights += weight;
    sum += weight * floorBoardRise(state, plane, entry);
  }
  return sum / weights;
};

/** The same under a target, with the unknown unevenness between the boards (block floor:target). */
export const floorRiseAtTarget = (
  state: StateView,
  plane: FloorPlane,
  floor: FloorSetup,
  at: Vec3,
): number => shownFloorRise(state, plane, floor, at) + state.scalars(floorAtTargetKey)[0];

/** Mean rise under the four wheels, mm. */
export const floorRiseAtCar = (
  state: StateView,
  plane: FloorPlane,
  floor: FloorSetup,
  wheels: readonly Vec3[],
): number =>
  wheels.reduce((sum, at) => sum + shownFloorRise(state, plane, floor, at), 0) / wheels.length;

/** One quantity per floor board: its rise over the plane, mm. Keys "floor:<board>:rise". */
export const floorQuantities = (floor: FloorSetup): Quantity[] =>
  floor.kind === "wheels"
    ? []
    : floor.boards.map((entry) => ({
        key: `floor:${entry.board}:rise`,
        evaluate: (state) => floorBoardRise(state, bayFloor, entry),
      }));

import type { Propagated, Quantity, StateView } from "../../adjust/problem/problem.ts";
import {
  column,
  compose,
  cross,
  degrees,
  dot,
  invert,
  localCoordinates,
  norm,
  type Pose,
  sub,
  transform,
  unit,
  type Vec3,
} from "../../maths/pose.ts";
import type { TargetBoard } from "./target.ts";

/** Standard uncertainty with which a pointer's tip touches its point, mm. Our own, no source. */
const usualTouchSdMm = 0.5;
/** Shortest distance between the reference point and the point to the right of it, mm. */
const leastSpanMm = 1;

/**
 * Teaching a target with pointer boards: a pointer board's tip is held to the reference point and
 * to two more points of the face for one photo; the adjustment gives all boards in one frame, and
 * from them where each stand board is in the target frame, with its uncertainty.
 */
export interface Pointer {
  readonly board: string;
  /** The tip in the pointer board's frame; default its centre. */
  readonly tipMm?: Vec3;
}

export interface TeachPoints {
  readonly reference: Pointer;
  /** A point of the face to the right of the reference point, seen from the front. */
  readonly right: Pointer;
  /** A point of the face above the line through those two. */
  readonly above: Pointer;
}

const tipOf = (state: StateView, pointer: Pointer): Vec3 =>
  transform(state.pose(pointer.board), pointer.tipMm ?? [0, 0, 0]);

/** bayFromTarget from three pointed points: x to the right point, z out of the face. */
const taughtFrame = (state: StateView, points: TeachPoints): Pose =>
  frameOfPoints(
    tipOf(state, points.reference),
    tipOf(state, points.right),
    tipOf(state, points.above),
  );

/**
 * How well the three tips span the face: how far the right tip is from the reference, and the upper
 * one from the line through both, mm; and whether the frame's face looks the way in which the
 * reference pointer's print does (1 = the same way), which it does not where right and above are
 * mixed up.
 */
export const pointerSpan = (
  state: StateView,
  points: TeachPoints,
): { readonly acrossMm: number; readonly upMm: number; readonly facing: number } => {
  const [origin, right, above] = [points.reference, points.right, points.above].map((p) =>
    tipOf(state, p),
  );
  const along = sub(right, origin);
  const normal = cross(along, sub(above, origin));
  const face = column(state.pose(points.reference.board).R, 2);
  const acrossMm = norm(along);
  return {
    acrossMm,
    upMm: acrossMm > 0 ? norm(normal) / acrossMm : 0,
    facing: dot(normal, face) / (norm(normal) || 1),
  };
};

/**
 * Right-handed frame: origin, x towards `right`, y in the plane towards `above`. Points
 * in mm, in one frame. Throws RangeError where they are nearly in one line; check `pointerSpan` first.
 */
export const frameOfPoints = (origin: Vec3, right: Vec3, above: Vec3): Pose => {
  const along = sub(right, origin);
  const normal = cross(along, sub(above, origin));
  if (norm(along) < leastSpanMm || norm(normal) < norm(along))
    throw new RangeError("The three taught points lie in one line.");
  const x = unit(along);
  const z = unit(normal);
  const y = cross(z, x);
  return { R: [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]], t: origin };
};

/**
 * Taught offset of each stand board with the largest standard deviation over its directions.
 * `touchSdMm`: how exactly a tip touches its point, added to the reference point's shift and, over
 * the span of the points, to the turn. Of the two spans of `pointerSpan` the shorter one counts: a
 * point that is far off to the side but hardly above the line determines the face no better.
 */
export const teachTarget = (
  solution: {
    readonly state: StateView;
    propagate(quantities: readonly Quantity[]): Propagated;
  },
  stand: readonly string[],
  points: TeachPoints,
  touchSdMm = usualTouchSdMm,
): TargetBoard[] => {
  const { state } = solution;
  const offset = (view: StateView, board: string) =>
    compose(invert(taughtFrame(view, points)), view.pose(board));
  const { acrossMm, upMm } = pointerSpan(state, points);
  const spanMm = Math.min(acrossMm, upMm);
  return stand.map((board) => {
    const at = offset(state, board);
    const quantities = [0, 1, 2, 3, 4, 5].map((k) => ({
      key: `teach:${board}:${k}`,
      evaluate: (view: StateView) => localCoordinates(at, offset(view, board))[k],
    }));
    const { covariance } = solution.propagate(quantities);
    const sd = (k: number) => Math.sqrt(Math.max(0, covariance[k * 7]));
    const turns = anglesOf(at);
    return {
      board,
      centreInTargetMm: at.t,
      turnDeg: turns,
      shiftSdMm: Math.hypot(Math.max(sd(3), sd(4), sd(5)), touchSdMm),
      turnSdDeg: degrees(
        Math.hypot(Math.max(sd(0), sd(1), sd(2)), (Math.SQRT2 * touchSdMm) / spanMm),
      ),
    };
  });
};

/** Turns about x, y, z with R = Rx Ry Rz (the order of targetFromBoard), degrees. */
const anglesOf = ({ R }: Pose): { aboutX: number; aboutY: number; aboutZ: number } => ({
  aboutX: degrees(Math.atan2(-R[5], R[8])),
  aboutY: degrees(Math.asin(Math.max(-1, Math.min(1, R[2])))),
  aboutZ: degrees(Math.atan2(-R[1], R[0])),
});

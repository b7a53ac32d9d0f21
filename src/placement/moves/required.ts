import type { StateView } from "../../adjust/problem/problem.ts";
import { compose, invert, type Pose, radians, transform } from "../../maths/pose.ts";
import type { Millimetres, Radians } from "../../maths/units.ts";
import {
  axisOf,
  evaluateCheck,
  pointInBay,
  type StepContext,
  targetFor,
  targetOfPoint,
} from "../checks/checks.ts";
import type { Check, CheckKind, PointRef } from "../sheet/sheet.ts";
import { cornerInTarget, rotationOf, targetKey, turnsOf } from "../target/target.ts";

/**
 * Where the target is and where the sheet wants it, both in the axis frame (mm, rad). What the
 * sheet does not state is taken as it is, so that no move is asked for it.
 */
export interface Placement {
  readonly x: Millimetres;
  readonly y: Millimetres;
  readonly z: Millimetres;
  readonly yaw: Radians;
  readonly pitch: Radians;
  readonly roll: Radians;
}

/** The step's target as adjusted, in the axis frame. */
export const measuredPlacement = (state: StateView, context: StepContext): Placement => {
  const { step, setup } = context;
  const target = targetFor(setup, step.target.name);
  const pose = compose(
    invert(axisOf(state, context).bayFromAxis),
    state.pose(targetKey(target.name)),
  );
  const turns = turnsOf(step.target.facing, pose.R);
  return { x: pose.t[0], y: pose.t[1], z: pose.t[2], ...turns };
};

/** Pose axisFromTarget of a placement. */
export const poseOfPlacement = (context: StepContext, p: Placement): Pose => ({
  R: rotationOf(context.step.target.facing, p.yaw, p.pitch, p.roll),
  t: [p.x, p.y, p.z],
});

type Of<K extends CheckKind> = Extract<Check, { kind: K }>;

/** The placement that the step's checks ask for; what they leave open is as measured. */
export const requiredPlacement = (state: StateView, context: StepContext): Placement => {
  const measured = measuredPlacement(state, context);
  const { checks } = context.step;
  const find = <K extends CheckKind>(kind: K): Of<K> | undefined =>
    checks.find((c): c is Of<K> => c.kind === kind && !("of" in c && c.of && !isTarget(c.of)));
  const distance = find("distance");
  const lateral = find("lateral offset");
  const height = find("height");
  const parallel = find("parallel");
  const yaw = find("yaw");
  const pitch = find("pitch");
  const roll = find("roll");
  const polar = polarPlace(measured, state, context);
  const corners = cornerPlace(measured, context);
  const planYaw = yaw
    ? radians(yaw.required)
    : parallel
      ? measured.yaw + radians(parallel.required - evaluateCheck(state, context, parallel))
      : (corners?.yaw ?? measured.yaw);
  return {
    x: distance?.required ?? polar?.[0] ?? corners?.x ?? measured.x,
    y: lateral?.required ?? polar?.[1] ?? corners?.y ?? measured.y,
    z: height ? measured.z + height.required - evaluateCheck(state, context, height) : measured.z,
    yaw: nearTo(planYaw, measured.yaw),
    pitch: pitch ? radians(pitch.required) : measured.pitch,
    roll: roll ? radians(roll.required) : measured.roll,
  };
};

const isTarget = (ref: { kind: string; target?: string }): boolean =>
  ref.kind === "target" && ref.target === undefined;

/** The same direction within half a turn of `reference`. */
const nearTo = (angle: number, reference: number): number =>
  reference + Math.atan2(Math.sin(angle - reference), Math.cos(angle - reference));

/**
 * Place given by range and bearing to the target: where the ray of the bearing meets the circle of
 * the range, the nearer of two such places. Both may start at different points. Null without both,
 * or where they do not meet.
 */
const polarPlace = (
  measured: Placement,
  state: StateView,
  context: StepContext,
): readonly [number, number] | null => {
  const toTarget = (c: Check): c is Of<"range"> | Of<"bearing"> =>
    (c.kind === "range" || c.kind === "bearing") && isTarget(c.to);
  const stated = context.step.checks.filter(toTarget);
  const bearing = stated.find((c) => c.kind === "bearing");
  const range = stated.find((c) => c.kind === "range");
  if (!bearing || !range) return null;
  const axisFromBay = invert(axisOf(state, context).bayFromAxis);
  const inAxis = (ref: PointRef) => transform(axisFromBay, pointInBay(state, context, ref));
  const [start, centre] = [inAxis(bearing.from), inAxis(range.from)];
  const angle = radians(bearing.required);
  const ray = [Math.cos(angle), Math.sin(angle)];
  const apart = [start[0] - centre[0], start[1] - centre[1]];
  // |apart + s ray| = range, a quadratic equation for the way s along the ray.
  const half = apart[0] * ray[0] + apart[1] * ray[1];
  const square = half ** 2 - apart[0] ** 2 - apart[1] ** 2 + range.required ** 2;
  if (!(square >= 0)) return null;
  const now = (measured.x - start[0]) * ray[0] + (measured.y - start[1]) * ray[1];
  const ways = [-half - Math.sqrt(square), -half + Math.sqrt(square)].filter((s) => s > 0);
  if (ways.length === 0) return null;
  const way = ways.reduce((a, b) => (Math.abs(b - now) < Math.abs(a - now) ? b : a));
  return [start[0] + way * ray[0], start[1] + way * ray[1]];
};

/**
 * Plan place of a mat from two or more required corners: the turn and shift that best take the
 * mat's own corners to them (least squares in the plane; the turn is the direction of the summed
 * complex products of centred points).
 */
const cornerPlace = (
  measured: Placement,
  context: StepContext,
): { x: number; y: number; yaw: number } | null => {
  const { step, setup } = context;
  const along = step.checks.filter(
    (c): c is Of<"mat corner along"> => c.kind === "mat corner along",
  );
  const pairs = along.flatMap((a) => {
    const across = step.checks.find(
      (c): c is Of<"mat corner across"> => c.kind === "mat corner across" && c.corner === a.corner,
    );
    return across ? [{ corner: a.corner, x: a.required, y: across.required }] : [];
  });
  if (pairs.length < 2) return null;
  const target = targetOfPoint(setup, step, undefined);
  if (!target) return null;
  const R = rotationOf(step.target.facing, 0, measured.pitch, measured.roll);
  const own = pairs.map((p) => transform({ R, t: [0, 0, 0] }, cornerInTarget(target, p.corner)));
  const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / values.length;
  const ox = mean(own.map((p) => p[0]));
  const oy = mean(own.map((p) => p[1]));
  const wx = mean(pairs.map((p) => p.x));
  const wy = mean(pairs.map((p) => p.y));
  let along2 = 0;
  let across2 = 0;
  pairs.forEach((p, i) => {
    const [ax, ay, bx, by] = [own[i][0] - ox, own[i][1] - oy, p.x - wx, p.y - wy];
    along2 += ax * bx + ay * by;
    across2 += ax * by - ay * bx;
  });
  const yaw = Math.atan2(across2, along2);
  return {
    x: wx - (Math.cos(yaw) * ox - Math.sin(yaw) * oy),
    y: wy - (Math.sin(yaw) * ox + Math.cos(yaw) * oy),
    yaw,
  };
};

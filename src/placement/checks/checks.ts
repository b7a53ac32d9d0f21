import type { Propagated, Quantity, StateView } from "../../adjust/problem/problem.ts";
import { wrapDegrees } from "../../maths/angles.ts";
import {
  column,
  compose,
  cross,
  degrees,
  invert,
  matMul,
  norm,
  sub,
  transform,
  transpose,
  type Vec3,
} from "../../maths/pose.ts";
import { type AxisFrame, axisFrame } from "../../vehicle/axis.ts";
import {
  floorBoardRise,
  floorRiseAtCar,
  floorRiseAtTarget,
  heightAbove,
} from "../../vehicle/floor.ts";
import { droppedPoint, type VehicleLines } from "../../vehicle/lines.ts";
import { type FloorBoard, type VehicleSetup, wheelPlaces } from "../../vehicle/setup.ts";
import { type Measured, readValue } from "../decide/measured.ts";
import { sampleFunction } from "../decide/sampled.ts";
import type { Check, PlacementSheet, PointRef, Step } from "../sheet/sheet.ts";
import { cornerInTarget, type TargetSetup, targetKey, turnsOf } from "../target/target.ts";

/**
 * Every kind of check as a function of the adjusted state, mm and degrees. Angles come out within
 * half a turn of the required value, so that 179 and -181 degrees agree.
 */
export interface PlacementSetup {
  readonly vehicle: VehicleSetup;
  readonly targets: readonly TargetSetup[];
}

/** What the checks of one step look at. */
export interface StepContext {
  readonly setup: PlacementSetup;
  readonly sheet: Pick<PlacementSheet, "origin" | "axis" | "heightReference" | "secondPosition">;
  readonly step: Step;
}

/** The job's target for a step: by name, or the only one there is; undefined without one. */
const findTarget = ({ targets }: PlacementSetup, name: string): TargetSetup | undefined =>
  targets.find((t) => t.name === name) ?? (targets.length === 1 ? targets[0] : undefined);

/** As findTarget; throws without one, since `setupRemarks` names a missing target before. */
export const targetFor = (setup: PlacementSetup, name: string): TargetSetup => {
  const found = findTarget(setup, name);
  if (!found) throw new Error(`The job has no target named "${name}".`);
  return found;
};

/**
 * The target that a point of a check belongs to, with its size: of the step's own target the step
 * may state it, of another one only the job. Undefined where the job has no such target.
 */
export const targetOfPoint = (
  setup: PlacementSetup,
  { target: own }: Step,
  name: string | undefined,
): TargetSetup | undefined => {
  if (name !== undefined && name !== own.name)
    return setup.targets.find((target) => target.name === name);
  const found = findTarget(setup, own.name);
  return (
    found && {
      ...found,
      widthMm: found.widthMm ?? own.widthMm,
      heightMm: found.heightMm ?? own.heightMm,
    }
  );
};

/** A point of a check in the bay frame. */
export const pointInBay = (state: StateView, context: StepContext, ref: PointRef): Vec3 => {
  const { setup, step } = context;
  switch (ref.kind) {
    case "target":
    case "target corner":
    case "target point": {
      const target = targetOfPoint(setup, step, ref.target);
      if (!target) throw new Error(`The job has no target named "${ref.target}".`);
      const inTarget: Vec3 =
        ref.kind === "target"
          ? [0, 0, 0]
          : ref.kind === "target corner"
            ? cornerInTarget(target, ref.corner)
            : ref.inTargetMm;
      return transform(state.pose(targetKey(target.name)), inTarget);
    }
    case "wheel centre":
      return axisOf(state, context).lines.wheels[ref.wheel].centre;
    case "axle midpoint": {
      const { lines } = axisOf(state, context);
      return ref.axle === "front" ? lines.frontMid : lines.rearMid;
    }
    case "dropped point":
      return droppedPoint(state, setup.vehicle, ref.name);
    case "floor board":
      return state.pose(ref.board).t;
  }
};

/** The axis frame that the sheet of this step places in. */
export const axisOf = (state: StateView, context: StepContext): AxisFrame =>
  axisFrame(state, context.setup.vehicle, context.sheet.origin, context.sheet.axis);

/** A point in the axis frame. */
const pointInAxis = (state: StateView, context: StepContext, ref: PointRef): Vec3 =>
  transform(invert(axisOf(state, context).bayFromAxis), pointInBay(state, context, ref));

const theTarget: PointRef = { kind: "target" };

/** Turns of the step's target against the axis, degrees. */
const turnsDeg = (state: StateView, context: StepContext) => {
  const target = targetFor(context.setup, context.step.target.name);
  const axisFromTarget = compose(
    invert(axisOf(state, context).bayFromAxis),
    state.pose(targetKey(target.name)),
  );
  const turns = turnsOf(context.step.target.facing, axisFromTarget.R);
  return {
    yaw: degrees(turns.yaw),
    pitch: degrees(turns.pitch),
    roll: degrees(turns.roll),
  };
};

const heightOf = (
  state: StateView,
  context: StepContext,
  check: Extract<Check, { kind: "height" }>,
): number => {
  const { lines } = axisOf(state, context);
  const at = pointInBay(state, context, check.of ?? theTarget);
  const above = check.above ?? context.sheet.heightReference;
  const height = heightAbove(lines.floor, at);
  const floor = context.setup.vehicle.floor;
  return above === "floor under the car"
    ? height - floorRiseAtCar(state, lines.floor, floor, wheelCentres(lines))
    : height - floorRiseAtTarget(state, lines.floor, floor, at);
};

const horizontal = (state: StateView, context: StepContext, from: PointRef, to: PointRef): Vec3 => {
  const d = sub(pointInAxis(state, context, to), pointInAxis(state, context, from));
  return [d[0], d[1], 0];
};

const straight = (state: StateView, context: StepContext, from: PointRef, to: PointRef): number =>
  norm(sub(pointInBay(state, context, to), pointInBay(state, context, from)));

/** Angle of the target's upper edge (its x axis) against an axle line, in plan, degrees. */
const parallelDeg = (state: StateView, context: StepContext, axle: "front" | "rear"): number => {
  const { lines } = axisOf(state, context);
  const target = state.pose(targetKey(targetFor(context.setup, context.step.target.name).name));
  const toPlan = transpose(lines.bayFromVehicle.R);
  const edge = column(matMul(toPlan, target.R), 0);
  const left = lines.inVehicle.wheels[`${axle} left`].centre;
  const right = lines.inVehicle.wheels[`${axle} right`].centre;
  const line = sub(right, left);
  const turn = cross([line[0], line[1], 0], [edge[0], edge[1], 0])[2];
  const along = line[0] * edge[0] + line[1] * edge[1];
  return degrees(Math.atan(turn / along));
};

const flatnessBoards = (
  context: StepContext,
  only: readonly string[] | undefined,
): FloorBoard[] => {
  const { floor } = context.setup.vehicle;
  if (floor.kind !== "boards") throw new Error("Floor flatness needs floor boards.");
  return floor.boards.filter((entry) => !only || only.includes(entry.board));
};

const wheelCentres = (lines: VehicleLines): Vec3[] =>
  wheelPlaces.map((place) => lines.wheels[place].centre);

/** How much higher the floor under the target is than under the car, mm. */
export const floorStep = (state: StateView, context: StepContext): number => {
  const { lines } = axisOf(state, context);
  const floor = context.setup.vehicle.floor;
  const at = pointInBay(state, context, theTarget);
  return (
    floorRiseAtTarget(state, lines.floor, floor, at) -
    floorRiseAtCar(state, lines.floor, floor, wheelCentres(lines))
  );
};

/** Slope of the floor from the front-axle midpoint to the target, degrees, rising positive. */
const slopeDeg = (state: StateView, context: StepContext): number => {
  const away = horizontal(state, context, { kind: "axle midpoint", axle: "front" }, theTarget);
  return degrees(Math.atan2(floorStep(state, context), norm(away)));
};

/** The check's measured value in the given state. */
export const evaluateCheck = (state: StateView, context: StepContext, check: Check): number => {
  switch (check.kind) {
    case "distance":
      return pointInAxis(state, context, check.of ?? theTarget)[0];
    case "lateral offset":
      return pointInAxis(state, context, check.of ?? theTarget)[1];
    case "mat corner along":
      return pointInAxis(state, context, { kind: "target corner", corner: check.corner })[0];
    case "mat corner across":
      return pointInAxis(state, context, { kind: "target corner", corner: check.corner })[1];
    case "height":
      return heightOf(state, context, check);
    case "yaw":
    case "pitch":
    case "roll":
      return wrapDegrees(turnsDeg(state, context)[check.kind], check.required);
    case "straight distance":
      return straight(state, context, check.from, check.to);
    case "range":
      return norm(horizontal(state, context, check.from, check.to));
    case "bearing": {
      const d = horizontal(state, context, check.from, check.to);
      return wrapDegrees(degrees(Math.atan2(d[1], d[0])), check.required);
    }
    case "equal diagonals":
      return straight(state, context, ...check.first) - straight(state, context, ...check.second);
    case "parallel":
      return parallelDeg(state, context, check.axle);
    case "floor flatness": {
      const { floor } = axisOf(state, context).lines;
      const rises = flatnessBoards(context, check.boards).map((entry) =>
        floorBoardRise(state, floor, entry),
      );
      return Math.max(...rises) - Math.min(...rises);
    }
    case "floor slope":
      return slopeDeg(state, context);
    case "free space":
      return Math.min(
        ...check.obstacles.map((to) => norm(horizontal(state, context, check.from, to))),
      );
  }
};

/** Key of a check's quantity: "check:<step>:<check>". */
export const checkKey = (step: Pick<Step, "id">, check: Pick<Check, "id">): string =>
  `check:${step.id}:${check.id}`;

/**
 * The numbers behind a check that is an extreme of several: rises of the floor boards, plan distances
 * to the obstacles, mm. Null for checks that are smooth functions of the state.
 */
const partsOf = (
  context: StepContext,
  check: Check,
): { count: number; evaluate: (state: StateView, index: number) => number } | null => {
  if (check.kind === "floor flatness") {
    const boards = flatnessBoards(context, check.boards);
    return {
      count: boards.length,
      evaluate: (state, i) => floorBoardRise(state, axisOf(state, context).lines.floor, boards[i]),
    };
  }
  if (check.kind === "free space" && check.obstacles.length > 1) {
    return {
      count: check.obstacles.length,
      evaluate: (state, i) => norm(horizontal(state, context, check.from, check.obstacles[i])),
    };
  }
  return null;
};

/** Keys as checkKey gives them, and "<key>:<i>" for the parts of an extreme. */
export const checkQuantities = (context: StepContext): Quantity[] =>
  context.step.checks.flatMap((check) => {
    const key = checkKey(context.step, check);
    const parts = partsOf(context, check);
    return [
      { key, evaluate: (state: StateView) => evaluateCheck(state, context, check) },
      ...Array.from({ length: parts?.count ?? 0 }, (_, i) => ({
        key: `${key}:${i}`,
        evaluate: (state: StateView) => parts?.evaluate(state, i) ?? 0,
      })),
    ];
  });

/** A check's value with its standard uncertainty and budget, from the propagated quantities. */
export const readCheck = (propagated: Propagated, step: Step, check: Check): Measured => {
  const key = checkKey(step, check);
  const linear = readValue(propagated, key);
  const parts = propagated.keys.flatMap((k, i) => (k.startsWith(`${key}:`) ? [i] : []));
  if (parts.length === 0) return linear;
  const n = propagated.keys.length;
  const values = parts.map((i) => propagated.values[i]);
  const covariance = Float64Array.from(
    parts.flatMap((i) => parts.map((j) => propagated.covariance[i * n + j])),
  );
  const extreme = (draw: Float64Array) =>
    check.kind === "floor flatness" ? Math.max(...draw) - Math.min(...draw) : Math.min(...draw);
  return { ...linear, ...sampleFunction(values, covariance, extreme) };
};

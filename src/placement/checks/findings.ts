import type { Propagated, Quantity, StateView } from "../../adjust/problem/problem.ts";
import { add, column, norm, radians, sub, unit, type Vec3 } from "../../maths/pose.ts";
import { floorRemarks, floorStepRemark } from "../../vehicle/floor-checks.ts";
import { thrustAngleDeg, vehicleLines } from "../../vehicle/lines.ts";
import { methodRemarks } from "../../vehicle/methods.ts";
import { positionRemarks } from "../../vehicle/position-checks.ts";
import { recogniseWheels } from "../../vehicle/recognise.ts";
import { defaults, wheelPlaces } from "../../vehicle/setup.ts";
import { coverageFactorFor } from "../decide/conformance.ts";
import type { CheckResult } from "../decide/verdict.ts";
import type { Remark } from "../sheet/codes.ts";
import { targetKey } from "../target/target.ts";
import { axisOf, floorStep, type StepContext, targetFor } from "./checks.ts";

type Present = (board: string) => boolean;

/** Roll, pitch or yaw farther from the required one than this, degrees: a board is mounted wrongly. Our own, no source. */
const turnedOverDeg = 60;
/** Level of the expanded uncertainty of the thrust angle. */
const thrustLevel = 0.95;

interface Propagating {
  readonly state: StateView;
  propagate(quantities: readonly Quantity[]): Propagated;
}

/**
 * Findings that need the adjusted network. An error among them means that the numbers must not be
 * shown: the boards are not where the job says.
 */
export const findingsAfter = (
  solution: Propagating,
  context: StepContext,
  checks: readonly CheckResult[],
  present: Present,
): Remark[] => [
  ...recogniseBoards(solution.state, context),
  ...turnedOverTarget(context, checks),
  ...positionRemarks(solution, context.setup.vehicle, present),
  ...methodRemarks(solution, context.setup.vehicle),
  ...floorFindings(solution, context),
  ...secondPositionRemarks(solution, context, checks),
];

const recogniseBoards = (state: StateView, context: StepContext): Remark[] => {
  const { wheels, floor } = context.setup.vehicle;
  const boards = wheelPlaces.map((place) => wheels[place]?.plate?.board);
  if (boards.some((board) => board === undefined)) return [];
  const [fl, fr, rl, rr] = boards as string[];
  const claimed = { "front left": fl, "front right": fr, "rear left": rl, "rear right": rr };
  const up: Vec3 =
    floor.kind === "boards" ? [0, 0, 1] : unit(boards.reduce<Vec3>(addUp(state), [0, 0, 0]));
  return [
    ...recogniseWheels(claimed, (key) => state.pose(key), up, aheadOf(state, context)).remarks,
  ];
};

const addUp =
  (state: StateView) =>
  (sum: Vec3, board: string | undefined): Vec3 =>
    board === undefined ? sum : add(sum, column(state.pose(board).R, 1));

/** The target's place, where the sheet says that it stands ahead of the front axle. */
const aheadOf = (state: StateView, context: StepContext): Vec3 | null => {
  const { step, sheet, setup } = context;
  const distance = step.checks.find((c) => c.kind === "distance" && !c.of);
  const ahead =
    distance !== undefined &&
    distance.required > 0 &&
    step.target.facing === "rearward" &&
    sheet.origin.kind === "front-axle line";
  return ahead ? state.pose(targetKey(targetFor(setup, step.target.name).name)).t : null;
};

/** A roll, pitch or yaw far from the required one: a stand board was taught or fixed the wrong way. */
const turnedOverTarget = (context: StepContext, checks: readonly CheckResult[]): Remark[] =>
  checks
    .filter(
      (c) =>
        (c.quantity === "roll" || c.quantity === "pitch" || c.quantity === "yaw") &&
        Math.abs(c.measured - c.required) > turnedOverDeg,
    )
    .slice(0, 1)
    .map((c) => ({
      code: "target-turned-over",
      values: { name: context.step.target.name, deg: Math.abs(c.measured - c.required) },
      severity: "warning",
      message:
        `The target "${context.step.target.name}" measures ${Math.abs(c.measured - c.required).toFixed(0)} ` +
        `degrees from its required ${c.quantity}: is a stand board upside down, or the facing wrong?`,
      remedy: "Check which way up the stand boards are, and the facing in the placement sheet.",
      about: c.id,
    }));

const floorFindings = (solution: Propagating, context: StepContext): Remark[] => {
  const { floor } = context.setup.vehicle;
  if (floor.kind !== "boards") return [];
  const step: Quantity = { key: "floor step", evaluate: (state) => floorStep(state, context) };
  const { values, covariance } = solution.propagate([step]);
  return [
    ...floorStepRemark(
      values[0],
      Math.sqrt(Math.max(0, covariance[0])),
      context.sheet.heightReference,
    ),
    ...floorRemarks(solution, context.setup.vehicle, floor.unevenSdMm ?? defaults.unevenSdMm),
  ];
};

/** Thrust angle's expanded uncertainty, degrees, and what it means at the target, mm. */
const thrustDoubt = (solution: Propagating, context: StepContext): { deg: number; mm: number } => {
  const { vehicle } = context.setup;
  const angle: Quantity = {
    key: "thrust angle",
    evaluate: (state) => thrustAngleDeg(vehicleLines(state, vehicle)) ?? 0,
  };
  const { covariance } = solution.propagate([angle]);
  const deg = coverageFactorFor(thrustLevel) * Math.sqrt(Math.max(0, covariance[0]));
  const { lines } = axisOf(solution.state, context);
  const target = targetFor(context.setup, context.step.target.name);
  const at = solution.state.pose(targetKey(target.name)).t;
  const reach = norm(sub(at, lines.rearMid));
  return { deg, mm: reach * Math.tan(radians(deg)) };
};

/**
 * One position leaves the plates' tilt in the thrust line: say how unsure that makes it, and warn
 * where the sheet asks for a second position or a check stays open.
 */
const secondPositionRemarks = (
  solution: Propagating,
  context: StepContext,
  checks: readonly CheckResult[],
): Remark[] => {
  const { vehicle } = context.setup;
  const rear = vehicle.wheels["rear left"]?.plate && vehicle.wheels["rear right"]?.plate;
  const asked = context.sheet.secondPosition === true;
  const onThrust = context.sheet.axis === "thrust line";
  if ((vehicle.positions ?? []).length > 0 || (!asked && !(onThrust && rear))) return [];
  const { deg, mm } = rear ? thrustDoubt(solution, context) : { deg: 0, mm: 0 };
  const doubt = !rear
    ? "None of the car's positions counts."
    : `With one position of the car the thrust line is sure to ${deg.toFixed(2)} degrees, ` +
      `${mm.toFixed(0)} mm at the target, because the tilt of the plates on the rims is in it.`;
  const open = checks.some((c) => c.verdict === "not proven");
  return [
    {
      code: asked ? "second-position-asked" : "second-position-helps",
      values: { deg, mm, known: rear ? "yes" : "no" },
      severity: asked || open ? "warning" : "info",
      message: asked ? `The placement sheet asks for a second position. ${doubt}` : doubt,
      remedy:
        "Roll the car by about half a turn of the wheels, photograph the wheel plates and floor " +
        "boards again, and add these photos as a second position.",
    },
  ];
};

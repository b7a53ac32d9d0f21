import type { Propagated, Quantity, StateView } from "../adjust/problem/problem.ts";
import { compose, invert, type Pose, transform } from "../maths/pose.ts";
import { joinPieces, type ProblemPieces } from "../vehicle/pieces.ts";
import { vehicleNumbers, vehicleQuantities } from "../vehicle/quantities.ts";
import { type StartPoses, type WheelPlace, wheelPlaces } from "../vehicle/setup.ts";
import { vehiclePieces } from "../vehicle/statements.ts";
import {
  axisOf,
  checkQuantities,
  type PlacementSetup,
  readCheck,
  type StepContext,
  targetFor,
} from "./checks/checks.ts";
import { setupRemarks } from "./checks/contradictions.ts";
import { findingsAfter } from "./checks/findings.ts";
import { keepPresent, lostPositions } from "./checks/keep-present.ts";
import { coverageFactorFor } from "./decide/conformance.ts";
import { readValue } from "./decide/measured.ts";
import { type CheckResult, type DecideOptions, decide } from "./decide/verdict.ts";
import { type FootMove, type Move, planMoves, type Side } from "./moves/moves.ts";
import { measuredPlacement, poseOfPlacement, requiredPlacement } from "./moves/required.ts";
import type { Remark } from "./sheet/codes.ts";
import type { PlacementSheet, Step } from "./sheet/sheet.ts";
import { targetKey, targetPieces } from "./target/target.ts";
import { isNothing } from "./words/words.ts";

/**
 * The join between the job and everything about car, targets and sheet. In this order:
 *
 *   1. `readPlacementSheet(json)` (sheet-questions.ts): the sheet, with questions and errors.
 *   2. `placementRemarks(setup, sheet)`: does the job have what the sheet asks for? Errors here mean
 *      that nothing can be computed.
 *   3. `placementPieces(setup, { present, start })`: frames, scalars and chains to add to the
 *      NetworkProblem. `present(key)` says whether a board was seen at all; `start(key)` gives its
 *      approximate bayFromBoard pose where known.
 *   4. adjust.
 *   5. `evaluatePlacement(solution, setup, sheet, step, options)` per step: checks, moves, the car's
 *      lines, the drawing, remarks. `solution` needs `propagate(quantities)` and `state`. A remark
 *      of severity "error" (wheel boards swapped) means that the numbers must not be shown.
 *
 * Board keys are those of the network ("1", "31"; "1@B" in position B). Lengths mm, angles degrees.
 */
export interface Solution {
  readonly state: StateView;
  propagate(quantities: readonly Quantity[]): Propagated;
}

export interface VehicleLine {
  readonly name: string;
  readonly label: string;
  readonly value: number;
  readonly unit: "mm" | "deg";
  readonly expandedUncertainty: number;
  readonly inWords: string;
}

interface DrawnPose {
  readonly positionMm: number[];
  readonly rotation: number[];
}

/** Everything that plan and side views need, vehicle frame, mm. */
export interface Drawing {
  readonly wheels: { id: number; label: string; centreMm: number[]; axisMm: number[] }[];
  readonly frontAxleMm: number[];
  readonly rearAxleMm: number[];
  /** Horizontal unit vector; null where no two rear plates give it. */
  readonly thrustDirection: number[] | null;
  readonly requiredTarget: DrawnPose | null;
  readonly measuredTarget: DrawnPose | null;
  readonly targetPlanCovariance: number[] | null;
  readonly targetSizeMm: number[] | null;
}

export interface Evaluation {
  readonly checks: CheckResult[];
  readonly moves: Move[];
  readonly feet: FootMove[];
  readonly vehicle: VehicleLine[];
  readonly drawing: Drawing;
  readonly remarks: Remark[];
}

/** What of the set-up contradicts the sheet or itself; errors mean that nothing can be computed. */
export const placementRemarks = (setup: PlacementSetup, sheet: PlacementSheet): Remark[] =>
  setupRemarks(setup, sheet);

export interface PiecesOptions {
  readonly present?: (board: string) => boolean;
  readonly start?: StartPoses;
}

/** What car and targets add to the adjustment; boards that no photo shows are left out. */
export const placementPieces = (
  setup: PlacementSetup,
  options: PiecesOptions = {},
): ProblemPieces => {
  const start = options.start ?? (() => undefined);
  const present = options.present ?? (() => true);
  const kept = keepPresent(setup, present);
  return joinPieces(
    vehiclePieces(kept.vehicle, start, present),
    ...kept.targets.map((target) => targetPieces(target, start)),
  );
};

const planKeys = (step: Step): [string, string] => [`plan:${step.id}:x`, `plan:${step.id}:y`];

/** Plan position of the target in the vehicle frame, for the drawing's error ellipse. */
const planQuantities = (context: StepContext): Quantity[] => {
  const target = targetFor(context.setup, context.step.target.name);
  return planKeys(context.step).map((key, k) => ({
    key,
    evaluate: (state) => {
      const { lines } = axisOf(state, context);
      return transform(invert(lines.bayFromVehicle), state.pose(targetKey(target.name)).t)[k];
    },
  }));
};

export interface EvaluateOptions extends DecideOptions {
  readonly present?: (board: string) => boolean;
}

/** Everything that one step of the sheet asks for, from the adjusted network. */
export const evaluatePlacement = (
  solution: Solution,
  fullSetup: PlacementSetup,
  sheet: PlacementSheet,
  step: Step,
  options: EvaluateOptions = {},
): Evaluation => {
  const present = options.present ?? (() => true);
  const setup = keepPresent(fullSetup, present);
  const context: StepContext = { setup, sheet, step };
  const propagated = solution.propagate([
    ...checkQuantities(context),
    ...vehicleQuantities(setup.vehicle),
    ...planQuantities(context),
  ]);
  const checks = step.checks.map((check) =>
    decide(check, readCheck(propagated, step, check), sheet, step, options),
  );
  const { state } = solution;
  const measured = measuredPlacement(state, context);
  const required = requiredPlacement(state, context);
  const target = targetFor(setup, step.target.name);
  const plan = planMoves(measured, required, step, target, checks, sideOf(state, context));
  const vehicle = vehicleLineResults(setup, propagated, options.level ?? 0.95);
  return {
    checks,
    moves: plan.moves,
    feet: plan.feet,
    vehicle,
    drawing: drawingOf(state, context, propagated),
    remarks: [
      ...lostPositions(fullSetup, present),
      ...findingsAfter(solution, context, checks, present),
    ],
  };
};

const sideOf = (state: StateView, context: StepContext): Side => {
  const { lines } = axisOf(state, context);
  const target = targetFor(context.setup, context.step.target.name);
  const x = transform(invert(lines.bayFromVehicle), state.pose(targetKey(target.name)).t)[0];
  return x > lines.inVehicle.frontMid[0]
    ? "ahead"
    : x < lines.inVehicle.rearMid[0]
      ? "behind"
      : "beside";
};

const vehicleLineResults = (
  setup: PlacementSetup,
  propagated: Propagated,
  level: number,
): VehicleLine[] => {
  const k = coverageFactorFor(level);
  return vehicleNumbers(setup.vehicle).map((number) => {
    const { value, sd } = readValue(propagated, `vehicle:${number.key}`);
    return {
      name: number.key,
      label: number.label,
      value: isNothing(value, number.unit) ? 0 : value,
      unit: number.unit,
      expandedUncertainty: k * sd,
      inWords: number.inWords(value),
    };
  });
};

const drawn = (pose: Pose): DrawnPose => ({ positionMm: [...pose.t], rotation: [...pose.R] });

/** Boards of the wheels in the kit, for wheels that have a dropped point and no plate. */
const kitWheelIds: Readonly<Record<WheelPlace, number>> = {
  "front left": 1,
  "front right": 2,
  "rear left": 3,
  "rear right": 4,
};

const wheelBoardOf = ({ vehicle }: PlacementSetup, place: WheelPlace): number => {
  const board = vehicle.wheels[place]?.plate?.board;
  return board === undefined ? kitWheelIds[place] : Number.parseInt(board, 10);
};

const drawingOf = (state: StateView, context: StepContext, propagated: Propagated): Drawing => {
  const { lines, bayFromAxis } = axisOf(state, context);
  const { setup, step } = context;
  const vehicleFromBay = invert(lines.bayFromVehicle);
  const vehicleFromAxis = compose(vehicleFromBay, bayFromAxis);
  const target = targetFor(setup, step.target.name);
  const width = target.widthMm ?? step.target.widthMm;
  const height = target.heightMm ?? step.target.heightMm;
  const required = poseOfPlacement(context, requiredPlacement(state, context));
  const sides = { left: [0, 1, 0], right: [0, -1, 0] } as const;
  return {
    wheels: wheelPlaces.map((place) => {
      const wheel = lines.inVehicle.wheels[place];
      return {
        id: wheelBoardOf(setup, place),
        label: place,
        centreMm: [...wheel.centre],
        axisMm: [...(wheel.outward ?? sides[place.endsWith("left") ? "left" : "right"])],
      };
    }),
    frontAxleMm: [...lines.inVehicle.frontMid],
    rearAxleMm: [...lines.inVehicle.rearMid],
    thrustDirection: lines.inVehicle.thrust && [...lines.inVehicle.thrust],
    requiredTarget: drawn(compose(vehicleFromAxis, required)),
    measuredTarget: drawn(compose(vehicleFromBay, state.pose(targetKey(target.name)))),
    targetPlanCovariance: planCovariance(propagated, step),
    targetSizeMm: width !== undefined && height !== undefined ? [width, height] : null,
  };
};

const planCovariance = (propagated: Propagated, step: Step): number[] => {
  const n = propagated.keys.length;
  const [x, y] = planKeys(step).map((key) => propagated.keys.indexOf(key));
  const c = propagated.covariance;
  return [c[x * n + x], c[x * n + y], c[y * n + x], c[y * n + y]];
};

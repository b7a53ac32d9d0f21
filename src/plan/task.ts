import { layOut } from "../adjust/problem/layout.ts";
import { motionSize, readoutOf } from "../adjust/problem/motion.ts";
import type { NetworkProblem } from "../adjust/problem/problem.ts";
import { type State, viewOf } from "../adjust/problem/state.ts";
import type { PhotoOutcome } from "../detect/findings/findings.ts";
import type { JobFile } from "../job/file/job-file.ts";
import { phoneOf } from "../job/file/job-phones.ts";
import { buildBay, profileCameraKey } from "../job/problem/build-problem.ts";
import { knownLenses } from "../job/problem/own-photos.ts";
import { placementSetup } from "../job/problem/placement-setup.ts";
import type { Remark } from "../job/result/remark-codes.ts";
import { type CameraKnowledge, camerasOf } from "../job/run/run.ts";
import { settledAndDiagnosed } from "../job/solve/settled.ts";
import { adjustBay, ruleOf, stepOf } from "../job/solve/solve.ts";
import { cameraOfPhoto } from "../lens/which-camera.ts";
import type { Pose } from "../maths/pose.ts";
import { placementPieces, placementRemarks } from "../placement/assemble.ts";
import { type PlacementSetup, type StepContext, targetFor } from "../placement/checks/checks.ts";
import { keepPresent } from "../placement/checks/keep-present.ts";
import { unseenRemarks } from "../placement/checks/unseen.ts";
import type { DecisionRule } from "../placement/decide/conformance.ts";
import type { PlacementSheet, Step } from "../placement/sheet/sheet.ts";
import { readPlacementSheet } from "../placement/sheet/sheet-questions.ts";
import { withPieces } from "../vehicle/pieces.ts";
import { bayOf } from "./bay-of.ts";
import { makeNetwork, type Network, type NetworkPhoto } from "./choice/network.ts";
import { placedByPhotos } from "./placed-by-photos.ts";
import { carAndFloorBoards, type RoughDimensions, roughState, usualCar } from "./rough-bay.ts";
import { usualCamera } from "./usual-camera.ts";
import type { PlannedBay, Room } from "./view/bay.ts";
import { viewPoints } from "./view/predicted-view.ts";
import type { Frame } from "./view/sight.ts";

export interface PlanInput {
  readonly job: JobFile;
  /** What is known of the lens; null before the camera step. */
  readonly camera: CameraKnowledge | null;
  readonly otherCameras?: readonly CameraKnowledge[];
  /** Photos taken so far, in any order; those after the run are left out. */
  readonly outcomes: readonly PhotoOutcome[];
  readonly rough?: RoughDimensions;
  readonly room?: Room;
}

/** All that a plan is made from. Poses of photos and boards in the network's own bay frame. */
export interface PlanTask {
  /** "measured" where the photos so far give a solution, else "rough". */
  readonly basis: "rough" | "measured";
  readonly network: Network;
  readonly context: StepContext;
  readonly rule: DecisionRule;
  readonly bay: PlannedBay;
  readonly bayFromVehicle: Pose;
  readonly frame: Frame;
  readonly cameraKey: string;
  readonly taken: readonly NetworkPhoto[];
  /** Boards that no photo shows yet. */
  readonly unseen: readonly string[];
}

export type TaskOutcome =
  | { readonly ok: true; readonly task: PlanTask }
  /** What the job lacks before photos can be planned, with what to do first. */
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** From job and photos so far to a network with places, or what has to be done first. */
export const planTask = (input: PlanInput): TaskOutcome => {
  const read = readPlacementSheet(input.job.placement);
  if (!read.ok) return { ok: false, remarks: read.remarks };
  const step = stepOf(read.sheet, input.job.step);
  if (!step) return { ok: false, remarks: [noStep] };
  const outcomes = beforeRun(input.job, input.outcomes);
  const camera = knownLenses({ ...input, outcomes }) ?? usualCamera;
  const known = { ...input, outcomes, camera };
  return measuredTask(known, read.sheet, step) ?? roughTask(known, read.sheet, step);
};

const noStep: Remark = {
  code: "no-such-step",
  values: { wanted: "", steps: [] },
  severity: "error",
  message: "The placement sheet does not have the step that the job names.",
  remedy: "Choose one of its steps.",
};

const beforeRun = ({ after }: JobFile, outcomes: readonly PhotoOutcome[]): PhotoOutcome[] =>
  outcomes.filter((o) => !after?.photos.includes(o.ok ? o.findings.name : o.name));

interface Known extends PlanInput {
  readonly camera: CameraKnowledge;
}

/** Fewer photos are no measurement; see solve.ts. */
const fewestPhotos = 3;

/** From the adjustment of the photos so far; null where they do not give one. */
const measuredTask = (input: Known, sheet: PlacementSheet, step: Step): TaskOutcome | null => {
  const { job, outcomes, camera } = input;
  if (outcomes.length < fewestPhotos) return null;
  const built = buildBay(job, camera, outcomes);
  if (!built.ok) return null;
  const { bay } = built;
  const setup = placementSetup(job, bay);
  if (placementRemarks(setup, sheet).some(isError)) return null;
  const present = (board: string): boolean => bay.boards.has(board);
  if (unseenRemarks(setup, sheet, step, present).length > 0) return null;
  const first = adjustBay(bay, setup);
  if (!first.outcome.ok) return null;
  const settled = settledAndDiagnosed(first.problem, first.outcome);
  if (!settled.ok) return null;
  const { problem, adjusted } = settled;
  const { state } = adjusted.internals;
  const taken = problem.photos.map(
    (statement, i): NetworkPhoto => ({
      statement,
      cameraFromBay: state.photoPose[i],
      observations: problem.observations.filter(({ photo }) => photo === statement.key),
      change: {
        focal: state.photoChange.slice(3 * i, 3 * i + 3),
        motion: state.photoMotion.slice(motionSize * i, motionSize * (i + 1)),
      },
    }),
  );
  const context = { setup: keepPresent(setup, present), sheet, step };
  return finishTask(input, "measured", problem, state, context, taken, []);
};

const isError = ({ severity }: Remark): boolean => severity === "error";

/** What the first phone took: rough places are made with its lens alone. */
const ofFirstPhone = ({ job, camera, outcomes }: Known): Pick<Known, "camera" | "outcomes"> => {
  const all = camerasOf(camera);
  if (all.length === 1) return { camera, outcomes };
  const own = outcomes.filter((one) => {
    if (!one.ok) return false;
    const found = cameraOfPhoto(all, one.findings, phoneOf(job, one.findings.name));
    return found.ok && found.camera === camera;
  });
  return { camera: { ...camera, others: [] }, outcomes: own };
};

/** From rough dimensions; boards that photos show are put where these see them. */
const roughTask = (input: Known, sheet: PlacementSheet, step: Step): TaskOutcome => {
  const { camera, outcomes } = ofFirstPhone(input);
  const job: JobFile = { ...input.job, positions: [], standMoves: [], after: undefined };
  const size = {
    wheelbaseMm: input.rough?.wheelbaseMm ?? usualCar.wheelbaseMm,
    trackMm: input.rough?.trackMm ?? usualCar.trackMm,
  };
  const targetBoards = job.targets.flatMap(({ boards }) => boards.map(({ board }) => board));
  const at = (ids: readonly string[]): Laid => {
    const built = buildBay(job, camera, [allBoards(camera, ids.map(Number))]);
    if (!built.ok) return { ok: false, remarks: built.remarks };
    const full = placementSetup(job, built.bay);
    const lacks = placementRemarks(full, sheet).filter(isError);
    if (lacks.length > 0) return { ok: false, remarks: lacks };
    const present = (board: string): boolean => built.bay.boards.has(board);
    const unseen = unseenRemarks(full, sheet, step, present);
    if (unseen.length > 0) return { ok: false, remarks: unseen };
    const setup = keepPresent(full, present);
    const problem = withPieces(built.bay.problem, placementPieces(full, { present }));
    return { ok: true, problem, setup };
  };
  let boards = carAndFloorBoards(job, sheet, [2500, 0], size);
  const ids = [...boards.keys(), ...targetBoards.map(String)];
  const laid = at(ids);
  if (!laid.ok) return laid;
  let context: StepContext = { setup: laid.setup, sheet, step };
  let problem = laid.problem;
  let state = roughState(problem, boards, context);
  const target = targetPlace(problem, state, context);
  boards = carAndFloorBoards(job, sheet, target, size);
  state = roughState(problem, boards, context);
  const seen = placedByPhotos(problem, state, camera.profile.lens, outcomes);
  if (seen.floor.size > 0) {
    for (const [key] of [...boards])
      if (isFloorPoint(key) && !seen.floor.has(key) && isNear(boards.get(key)!, seen.floor))
        boards.delete(key);
    for (const [key, pose] of seen.floor) boards.set(key, pose);
    const again = at([...boards.keys(), ...targetBoards.map(String)]);
    if (again.ok) {
      context = { setup: again.setup, sheet, step };
      problem = again.problem;
      state = roughState(problem, boards, context);
    }
  }
  const placed = placedByPhotos(problem, state, camera.profile.lens, outcomes);
  const shown = new Set(placed.photos.flatMap((p) => p.observations.map((o) => o.board)));
  const unseen = problem.boards.map(({ key }) => key).filter((key) => !shown.has(key));
  return finishTask(input, "rough", problem, state, context, placed.photos, unseen);
};

type Laid =
  | { readonly ok: true; readonly problem: NetworkProblem; readonly setup: PlacementSetup }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

const isFloorPoint = (key: string): boolean => Number(key) >= 11 && Number(key) <= 29;

/** A board that was put down near a planned place takes that place. */
const takesPlaceMm = 900;
const isNear = ({ t }: Pose, others: ReadonlyMap<string, Pose>): boolean =>
  [...others.values()].some(
    (other) => Math.hypot(other.t[0] - t[0], other.t[1] - t[1]) < takesPlaceMm,
  );

const targetPlace = (
  problem: NetworkProblem,
  state: State,
  context: StepContext,
): [number, number] => {
  const view = viewOf(layOut(problem), state);
  const { bay } = bayOf(view, context, []);
  const stand = bay.landmarks.find(({ name }) => name === "stand")!;
  targetFor(context.setup, context.step.target.name);
  return [stand.at[0], stand.at[1]];
};

const plannedCellPx = 10;

/** One photo that shows every board: makes the job state them all. */
const allBoards = ({ profile }: CameraKnowledge, ids: readonly number[]): PhotoOutcome => {
  const { width, height } = profile.identity;
  return {
    ok: true,
    findings: {
      name: "planned",
      width,
      height,
      exif: null,
      boards: ids.map((id) => ({
        id,
        boardPoints: viewPoints,
        // Flat on, in the middle: a picture of a print, as the job's views must be.
        pixels: viewPoints.map((v, i) =>
          i % 2 === 0 ? width / 2 + plannedCellPx * v : height / 2 - plannedCellPx * v,
        ),
        noise: { kind: "isotropic", sigmaPx: 1 },
        outline: new Float64Array(8),
        quality: {
          grade: "good",
          reasons: [],
          cellPx: plannedCellPx,
          obliquityDeg: 0,
          blurPx: 1,
          contrast: 100,
          coveredShare: 0,
          residualPx: 0,
        },
      })),
      remarks: [],
      timesMs: { decode: 0, find: 0, refine: 0 },
    },
  };
};

const finishTask = (
  { camera, job, room }: Known,
  basis: PlanTask["basis"],
  problem: NetworkProblem,
  state: State,
  context: StepContext,
  taken: readonly NetworkPhoto[],
  unseen: readonly string[],
): TaskOutcome => {
  const network = makeNetwork(problem, state);
  const view = viewOf(network.layout, network.state);
  const firstPosition = problem.boards.filter(({ key }) => !key.includes("@"));
  const { bay, bayFromVehicle } = bayOf(view, context, firstPosition, room);
  const { width, height } = camera.profile.identity;
  const known = problem.cameras.find(({ key }) => key === profileCameraKey) ?? problem.cameras[0];
  return {
    ok: true,
    task: {
      basis,
      network,
      context,
      rule: ruleOf(job),
      bay,
      bayFromVehicle,
      frame: { lens: known.lens, width, height },
      cameraKey: known.key,
      taken,
      unseen,
    },
  };
};

/** How a planned photo is read out; as photos of this camera are. */
export const plannedReadout = ({ frame }: PlanTask) => readoutOf(frame);

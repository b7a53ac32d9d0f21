import { type Adjusted, type AdjustOutcome, adjust } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import type { Diagnosis } from "../../adjust/test/diagnosis.ts";
import { mixedPrintsRemark, splitMixedPrints } from "../../adjust/test/mixed-prints.ts";
import { type BodiesSplit, splitMovedBodies } from "../../adjust/test/moved-bodies.ts";
import { partedBody } from "../../adjust/test/parted-bodies.ts";
import { boardsInTwoPlaces } from "../../adjust/test/two-places.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { Pose } from "../../maths/pose.ts";
import {
  evaluatePlacement,
  placementPieces,
  placementRemarks,
  type Solution,
} from "../../placement/assemble.ts";
import { type PlacementSetup, targetFor } from "../../placement/checks/checks.ts";
import { keepPresent } from "../../placement/checks/keep-present.ts";
import { unseenRemarks } from "../../placement/checks/unseen.ts";
import type { DecisionRule } from "../../placement/decide/conformance.ts";
import { expandTiltSteps, type PlacementSheet, type Step } from "../../placement/sheet/sheet.ts";
import { readPlacementSheet } from "../../placement/sheet/sheet-questions.ts";
import { withPieces } from "../../vehicle/pieces.ts";
import { movedAfterRun, testStability } from "../epochs/stability.ts";
import type { JobFile } from "../file/job-file.ts";
import { acceptanceRemarks } from "../problem/acceptance-remarks.ts";
import { missingPhotos, photosOfNoPosition } from "../problem/bay-remarks.ts";
import { type BayProblem, buildBay, groupOf } from "../problem/build-problem.ts";
import { croppedPhotos, withoutCropped } from "../problem/cropped-photos.ts";
import { withoutDuplicates } from "../problem/duplicate-photos.ts";
import { cameraAfter, knownLenses } from "../problem/own-photos.ts";
import { placementSetup } from "../problem/placement-setup.ts";
import { withJobRoles } from "../result/board-roles.ts";
import { decideOutcome } from "../result/outcome.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";
import { type CameraKnowledge, camerasOf, type SolveAnswer, type SolveInput } from "../run/run.ts";
import { bodiesOf, movedBodies } from "./bodies.ts";
import { contradictedLens } from "./contradicted-lens.ts";
import { handRemarks } from "./hand.ts";
import { lensThatMisfits } from "./misfit-lens.ts";
import { unclearMajorities } from "./outvoted.ts";
import { crossChecks, readingsThatDisagree, readingsWithoutCheck } from "./readings.ts";
import { refocused } from "./refocused.ts";
import { assembleResult } from "./result-document.ts";
import { firstPositionOnly, positionBrought } from "./second-position.ts";
import { settledAndDiagnosed } from "./settled.ts";
import { unitSlips } from "./unit-slips.ts";
import { unsteady } from "./unsteady.ts";
import { weighedRemarks } from "./what-it-costs.ts";

/**
 * From findings to the result document: one adjustment of all photos and statements, then the
 * car's lines, the checks and the moves. Pure; failures are remarks.
 */
export const solveJob = (input: SolveInput): SolveAnswer => {
  const { job, outcomes } = input;
  const missing = [...missingPhotos(job, outcomes), ...photosOfNoPosition(job, outcomes)];
  const answer = missing.length > 0 ? refuse(missing) : solvePhotos(input);
  return answer.ok ? answer : { ok: false, remarks: withJobRoles(job, answer.remarks) };
};

const solvePhotos = (input: SolveInput): SolveAnswer => {
  const prepared = prepare(input);
  if (!prepared.ok) return prepared;
  const first = adjustBay(prepared.task.bay, prepared.task.setup);
  if (!first.outcome.ok) return solveParted(prepared.task, first.problem, first.outcome.remarks);
  const parted = bodyInTwoPlaces(prepared.task, first.problem, first.outcome);
  if (parted) return solveApart(prepared.task, parted);
  const cropped = croppedPhotos(first.problem, first.outcome);
  if (cropped) return withoutCrops(input, cropped, prepared.task.bay);
  const { task, problem, outcome } = inFocus(prepared.task, first.problem, first.outcome);
  const { bay } = task;
  if (!outcome.ok) return refuse([...outcome.remarks, ...bay.remarks]);
  const apart = splitMovedBodies(problem, outcome, bodiesOf(task.input.job, bay.boards));
  return solveApart(task, apart);
};

/** Spreads, diagnosis and checks, with what moved or has another size kept apart. */
const solveApart = (task: Task, apart: BodiesSplit): SolveAnswer => {
  const sized = splitMixedPrints(apart.problem, apart.adjusted);
  const { problem, adjusted: first } = sized ?? apart;
  const measured = settledAndDiagnosed(problem, first);
  if (!measured.ok) return refuse([...measured.remarks, ...task.bay.remarks]);
  const { adjusted, diagnosis, diagnosed, remarks, problem: settled } = measured;
  const apartRemarks = [
    ...movedBodies(apart.moved),
    ...(sized ? [mixedPrintsRemark(sized.prints)] : []),
  ];
  return conclude(task, { settled, adjusted, diagnosis, diagnosed, apartRemarks, remarks });
};

/**
 * No adjustment of all photos together: car or stand may have been moved far between them, or the
 * lens is another one.
 */
const solveParted = (
  task: Task,
  problem: NetworkProblem,
  remarks: readonly Remark[],
): SolveAnswer => {
  const { bay, before, camera, input, setup } = task;
  const apart = partedBody(problem, bodiesOf(input.job, bay.boards), fewest);
  if (apart) return solveApart(task, apart);
  const ofBay = { job: input.job, outcomes: before };
  const otherLens = contradictedLens(ofBay, camera, setup, adjustBay);
  return refuse([...(otherLens ? [otherLens] : []), ...remarks, ...bay.remarks]);
};

/**
 * Several boards of car or stand lie in two places: an adjustment that settled all the same let some
 * photos outvote the others, and what moved is rather the whole body.
 */
const bodyInTwoPlaces = (
  { bay, input }: Task,
  problem: NetworkProblem,
  adjusted: Adjusted,
): BodiesSplit | null => {
  const twice = new Set(boardsInTwoPlaces(adjusted).map(({ board }) => board));
  const bodies = bodiesOf(input.job, bay.boards).filter(
    ({ boards }) => boards.filter((board) => twice.has(board)).length > 1,
  );
  return bodies.length > 0 ? partedBody(problem, bodies, fewest) : null;
};

/** The first adjustment told how far the lens is focused; what it leaves is put in its place. */
const inFocus = (
  task: Task,
  problem: NetworkProblem,
  adjusted: Adjusted,
): { task: Task; problem: NetworkProblem; outcome: AdjustOutcome } => {
  const again = refocused(task.input, task.camera, task.before, {
    problem,
    bay: task.bay,
    adjusted,
  });
  if (!again) return { task, problem, outcome: adjusted };
  const { camera, bay, outcome } = again;
  return { task: { ...task, camera, bay }, problem: again.problem, outcome };
};

/** The job with everything that can be said before anything is adjusted. */
interface Task {
  readonly input: SolveInput;
  readonly camera: CameraKnowledge;
  readonly bay: BayProblem;
  /** Photos before the calibration run, and after it. */
  readonly before: readonly PhotoOutcome[];
  readonly after: readonly PhotoOutcome[];
  readonly sheet: PlacementSheet;
  readonly step: Step;
  readonly setup: PlacementSetup;
  /** Remarks on the sheet and on what the job states. */
  readonly remarks: readonly Remark[];
}

type Prepared = { readonly ok: true; readonly task: Task } | (SolveAnswer & { readonly ok: false });

const prepare = (input: SolveInput): Prepared => {
  const { job } = input;
  const camera = knownLenses(input);
  if (!camera) return refuse([noCamera, ...input.outcomes.flatMap(remarksOf)]);
  const read = readPlacementSheet(job.placement);
  if (!read.ok) return refuse(read.remarks);
  const { sheet } = read;
  const single = withoutDuplicates(input.outcomes, (photo) => groupOf(job, photo));
  const { before, after } = splitEpochs(job, single.kept);
  const built = buildBay(job, camera, before);
  if (!built.ok) return refuse([...built.remarks, ...single.remarks]);
  const bay = { ...built.bay, remarks: [...single.remarks, ...built.bay.remarks] };
  const step = stepOf(sheet, job.step);
  if (!step) return refuse([noSuchStep(sheet, job.step ?? "")]);
  const setup = placementSetup(job, bay);
  const contradictions = placementRemarks(setup, sheet);
  if (hasErrors(contradictions)) return refuse([...contradictions, ...bay.remarks]);
  const remarks = [
    ...inventedSheet(job, sheet),
    ...read.remarks,
    ...contradictions,
    ...readingsWithoutCheck(job, sheet),
    ...acceptanceRemarks(job, bay.photos.values(), input.measuredAt),
  ];
  return { ok: true, task: { input, camera, bay, before, after, sheet, step, setup, remarks } };
};

/** The adjustment that counts, after diagnosis and with its noise as the photos show it. */
interface Measurement {
  /** The problem with its spreads as settled. */
  readonly settled: NetworkProblem;
  readonly adjusted: Adjusted;
  readonly diagnosis: Diagnosis;
  /** What was diagnosed, before its noise was widened. */
  readonly diagnosed: Adjusted;
  /** On car or stand where it moved between the photos, on boards of another print. */
  readonly apartRemarks: readonly Remark[];
  readonly remarks: readonly Remark[];
}

/** Checks, moves, stability and the document, from the adjustment that counts. */
const conclude = (task: Task, measurement: Measurement): SolveAnswer => {
  const { input, bay, sheet, step, setup } = task;
  const { job } = input;
  const { adjusted, apartRemarks } = measurement;
  const present = (board: string): boolean => bay.boards.has(board);
  const unseen = unseenRemarks(setup, sheet, step, present);
  // Boards seen only before a move count where they no longer are: what that spoils has its cause first.
  if (unseen.length > 0) return refuse([...apartRemarks, ...unseen, ...bay.remarks]);
  const solution: Solution = {
    state: adjusted.state,
    propagate: (quantities) => adjusted.propagate(quantities),
  };
  const rule = ruleOf(job);
  const evaluation = evaluatePlacement(solution, setup, sheet, step, { present, rule });
  if (hasErrors(evaluation.remarks))
    return refuse([...apartRemarks, ...evaluation.remarks, ...bay.remarks]);
  const known = cameraAfter(task.camera, bay, adjusted, evaluation);
  const later = stabilityOf(task);
  const readings = crossChecks(job, evaluation.checks);
  const earlier = bay.positions.length > 1 ? firstPositionOnly(input) : null;
  const result = assembleResult({
    input,
    camera: known.camera,
    bay,
    setup,
    adjusted,
    evaluation,
    stability: later.stability,
    crossChecks: readings,
    remarks: [
      ...apartRemarks,
      ...unsteady(job, measurement.diagnosis, measurement.diagnosed),
      ...unclearMajorities(measurement.diagnosis, measurement.diagnosed),
      ...weighedRemarks({
        diagnosis: measurement.diagnosis,
        adjusted: measurement.diagnosed,
        context: { setup: keepPresent(setup, present), sheet, step },
        checks: evaluation.checks,
      }),
      ...unitSlips(evaluation.checks),
      ...readingsThatDisagree(readings ?? []),
      ...positionBrought(earlier && solvePhotos(earlier), evaluation.checks),
      ...(known.remarks.length > 0
        ? known.remarks
        : lensThatMisfits(measurement.diagnosis, measurement.diagnosed, bay)),
      ...measurement.remarks,
      ...handRemarks(adjusted, measurement.settled, evaluation),
      ...evaluation.remarks,
      ...task.remarks,
      ...camerasOf(task.camera).flatMap(({ remarks }) => remarks),
      ...bay.remarks,
      ...later.remarks,
    ],
  });
  return { ok: true, result };
};

/** What the photos after the run say, where the job names any; all may be unusable. */
const stabilityOf = ({
  input,
  camera,
  bay,
  after,
  step,
  setup,
}: Task): { stability: Result["stability"]; remarks: readonly Remark[] } => {
  if (!input.job.after) return { stability: undefined, remarks: [] };
  const later = buildBay(input.job, camera, after);
  const stand = targetFor(setup, step.target.name).boards.map(({ board }) => board);
  const stability = testStability(bay, later, stand);
  // That none can be used is what the stability's own sentence says. Lengths are not compared, so
  // that it says nothing about a length that only the first photos show.
  const remarks = (
    later.ok ? later.bay.remarks : later.remarks.filter((remark) => !isError(remark))
  ).filter(({ code }) => code !== "length-without-board");
  return { stability, remarks: [...movedAfterRun(stability), ...remarks] };
};

/** The job again without the photos that turned out to be crops; refused where none are left. */
const withoutCrops = (input: SolveInput, cropped: Remark, bay: BayProblem): SolveAnswer => {
  const outcomes = withoutCropped(input.outcomes, cropped);
  const kept = outcomes.some((outcome) => outcome.ok && bay.photos.has(outcome.findings.name));
  if (!kept) return refuse([{ ...cropped, severity: "error" }, ...bay.remarks]);
  const answer = solvePhotos({ ...input, outcomes });
  if (!answer.ok) return { ok: false, remarks: [cropped, ...answer.remarks] };
  const remarks = [cropped, ...answer.result.remarks];
  const decided = decideOutcome(answer.result.checks, remarks);
  const { outcome } = decided;
  const [checks, heldBack] = [[...decided.checks], [...decided.heldBack]];
  return { ok: true, result: { ...answer.result, outcome, checks, heldBack, remarks } };
};

/** Photos before and after the calibration run; without a statement all are before. */
const splitEpochs = (
  job: JobFile,
  outcomes: readonly PhotoOutcome[],
): { before: PhotoOutcome[]; after: PhotoOutcome[] } => {
  const isAfter = (outcome: PhotoOutcome): boolean =>
    job.after?.photos.includes(outcome.ok ? outcome.findings.name : outcome.name) ?? false;
  return {
    before: outcomes.filter((outcome) => !isAfter(outcome)),
    after: outcomes.filter(isAfter),
  };
};

const remarksOf = (outcome: PhotoOutcome): readonly Remark[] =>
  outcome.ok ? outcome.findings.remarks : [outcome.remark];

export const ruleOf = ({ levels }: JobFile): DecisionRule =>
  levels.guardBandFactor === undefined
    ? { kind: "probability", meetsAt: levels.meets, missesAt: levels.misses }
    : { kind: "guard band", factor: levels.guardBandFactor };

const refuse = (remarks: readonly Remark[]): SolveAnswer & { readonly ok: false } => ({
  ok: false,
  remarks: remarks.filter((remark) => remark.severity !== "info"),
});

const isError = ({ severity }: Remark): boolean => severity === "error";
const hasErrors = (remarks: readonly Remark[]): boolean => remarks.some(isError);

/** The wanted step; of a step with several tilts, the first tilt unless one is named. */
export const stepOf = (sheet: PlacementSheet, id: string | undefined): Step | undefined => {
  const steps = sheet.steps.flatMap(expandTiltSteps);
  if (id === undefined) return steps[0];
  return (
    steps.find((step) => step.id === id) ?? steps.find((step) => step.id.startsWith(`${id}-tilt-`))
  );
};

/** One photo, or two, would hide every error. */
const fewest = { minimumPhotos: 3 };

/**
 * The adjustment of photos, boards, car and target together. Further car positions need start
 * values for the turns of the wheels: these come from the photos alone, adjusted first.
 */
export const adjustBay = (
  bay: BayProblem,
  setup: PlacementSetup,
): { problem: NetworkProblem; outcome: AdjustOutcome } => {
  const present = (board: string): boolean => bay.boards.has(board);
  let start: ((key: string) => Pose | undefined) | undefined;
  if (bay.positions.length > 1) {
    const first = adjust(bay.problem, fewest);
    if (!first.ok) return { problem: bay.problem, outcome: first };
    start = (key) => (present(key) ? first.state.pose(key) : undefined);
  }
  const pieces = placementPieces(setup, { present, start });
  const problem = withPieces(bay.problem, pieces);
  return { problem, outcome: adjust(problem, fewest) };
};

/** An example's numbers on a real car. */
const inventedSheet = (job: JobFile, sheet: PlacementSheet): Remark[] =>
  !sheet.invented || job.invented
    ? []
    : [
        {
          code: "sheet-invented",
          values: { title: sheet.title },
          severity: "error",
          message: `The placement sheet "${sheet.title}" is an invented example: its numbers belong to no car.`,
          remedy: "Enter the numbers of the maker's procedure in a sheet of your own.",
          about: "invented",
        },
      ];

const noCamera: Remark = {
  code: "no-camera",
  severity: "error",
  message:
    "Nothing is known about the phone's lens: there are no sheet photos, no profile, and no photo " +
    "with a board.",
  remedy: "Photograph the camera sheet (12 photos), or use a saved camera profile.",
};

const noSuchStep = (sheet: PlacementSheet, wanted: string): Remark => ({
  code: "no-such-step",
  values: { wanted, steps: sheet.steps.flatMap(expandTiltSteps).map((known) => known.id) },
  severity: "error",
  message: `The placement sheet has no step "${wanted}".`,
  remedy: `Its steps are: ${sheet.steps
    .flatMap(expandTiltSteps)
    .map((step) => step.id)
    .join(", ")}.`,
  about: "step",
});

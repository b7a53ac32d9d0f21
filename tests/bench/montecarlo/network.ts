/** The networks whose stated intervals are checked: the demo job and random bays of random phones. */
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem, Quantity } from "../../../src/adjust/problem/problem.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { JobFile } from "../../../src/job/file/job-file.ts";
import { buildBay } from "../../../src/job/problem/build-problem.ts";
import { placementSetup } from "../../../src/job/problem/placement-setup.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraKnowledge } from "../../../src/job/run/run.ts";
import { settledAndDiagnosed } from "../../../src/job/solve/settled.ts";
import { evaluatePlacement, placementPieces } from "../../../src/placement/assemble.ts";
import { expandTiltSteps } from "../../../src/placement/sheet/sheet.ts";
import { readPlacementSheet } from "../../../src/placement/sheet/sheet-questions.ts";
import { withPieces } from "../../../src/vehicle/pieces.ts";
import { drawSession } from "../../tools/phone/session.ts";
import { sampleJob, simulateSample } from "../../tools/simulated-job.ts";
import { jobOf } from "../phone/job.ts";
import { tracedViews } from "../phone/traced.ts";

export interface SolvedNetwork {
  readonly name: string;
  readonly problem: NetworkProblem;
  readonly adjusted: Adjusted;
  /** Every number that the placement propagates: checks, the car's lines, the plan. */
  readonly quantities: readonly Quantity[];
}

const solved = (
  name: string,
  job: JobFile,
  camera: CameraKnowledge,
  outcomes: readonly PhotoOutcome[],
): SolvedNetwork => {
  const built = buildBay(job, camera, outcomes);
  if (!built.ok) throw new Error(`${name}: ${built.remarks[0]?.message}`);
  const { bay } = built;
  const present = (board: string): boolean => bay.boards.has(board);
  const setup = placementSetup(job, bay);
  const problem = withPieces(bay.problem, placementPieces(setup, { present }));
  const first = adjust(problem);
  if (!first.ok) throw new Error(`${name}: ${first.remarks[0]?.message}`);
  const measured = settledAndDiagnosed(problem, first);
  if (!measured.ok) throw new Error(`${name}: ${measured.remarks[0]?.message}`);
  const read = readPlacementSheet(job.placement);
  if (!read.ok) throw new Error(`${name}: no sheet`);
  const { adjusted } = measured;
  let quantities: readonly Quantity[] = [];
  const capture = (asked: readonly Quantity[]) => {
    if (quantities.length === 0) quantities = asked;
    return adjusted.propagate(asked);
  };
  const [step] = read.sheet.steps.flatMap(expandTiltSteps);
  evaluatePlacement({ state: adjusted.state, propagate: capture }, setup, read.sheet, step, {
    present,
  });
  return { name, problem: measured.problem, adjusted, quantities };
};

const cameraOf = (sheet: readonly PhotoOutcome[]): CameraKnowledge => {
  const camera = learnCamera(sheet, "2026-01-02");
  if (!camera.ok) throw new Error(camera.remarks[0]?.message);
  return camera.camera;
};

/** The demo's bay with its features disturbed anew; no pixels. */
export const demoNetwork = (): SolvedNetwork => {
  const { sheet, photos } = simulateSample({ seed: 1 });
  return solved("demo", sampleJob(), cameraOf(sheet), photos);
};

export const bayNetwork = (seed: number): SolvedNetwork => {
  const session = drawSession(seed, { bumpMm: 0 });
  const views = tracedViews(session);
  const camera = cameraOf(views.sheet());
  const before = views
    .photos(camera.profile.lens)
    .filter((photo) => photo.ok && !photo.findings.name.startsWith("after"));
  return solved(`bay ${seed}`, jobOf(session.bay, []), camera, before);
};

import type { Adjusted } from "../../adjust/adjust.ts";
import type { Propagated } from "../../adjust/problem/problem.ts";
import { roleOf, roleWords } from "../../boards/kit.ts";
import type { PhotoFindings } from "../../detect/findings/findings.ts";
import { lensUncertainty } from "../../lens/profile.ts";
import { degrees, type Pose } from "../../maths/pose.ts";
import type { Evaluation } from "../../placement/assemble.ts";
import type { PlacementSetup } from "../../placement/checks/checks.ts";
import { photoInVehicle, poseInVehicle, poseQuantities } from "../../vehicle/axis.ts";
import type { JobRole } from "../file/job-boards.ts";
import type { BayProblem } from "../problem/build-problem.ts";
import { withJobRoles } from "../result/board-roles.ts";
import { decideOutcome } from "../result/outcome.ts";
import { ranked } from "../result/rank.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";
import { programVersion } from "../result/version.ts";
import type { CameraKnowledge, SolveInput } from "../run/run.ts";
import { handTurns } from "./hand.ts";

export interface ResultParts {
  readonly input: SolveInput;
  readonly camera: CameraKnowledge;
  readonly bay: BayProblem;
  readonly setup: PlacementSetup;
  readonly adjusted: Adjusted;
  readonly evaluation: Evaluation;
  readonly stability: Result["stability"];
  readonly crossChecks: Result["crossChecks"];
  readonly remarks: readonly Remark[];
}

/** Puts everything that was found into the one document that people and programs read. */
export const assembleResult = (parts: ResultParts): Result => {
  const { input, bay, adjusted, evaluation } = parts;
  const remarks = ranked(withJobRoles(input.job, unique(parts.remarks)));
  const { outcome, checks, heldBack } = decideOutcome(evaluation.checks, remarks);
  return {
    format: "plumbshot-result",
    version: 1,
    title: input.job.title,
    invented: input.job.invented,
    measuredAt: input.measuredAt,
    program: `Plumbshot ${programVersion}`,
    outcome,
    heldBack: [...heldBack],
    checks: [...checks],
    moves: evaluation.moves,
    vehicle: evaluation.vehicle,
    boards: boardResults(parts),
    photos: photoResults(parts),
    camera: cameraResult(parts.camera),
    drawing: evaluation.drawing,
    stability: parts.stability,
    crossChecks: parts.crossChecks,
    network: {
      photos: bay.photos.size,
      boards: bay.boards.size,
      observations: adjusted.observations,
      unknowns: adjusted.unknowns,
      redundancy: adjusted.redundancy,
      varianceFactor: adjusted.sigma0Squared,
      residualPx: adjusted.residualPx,
      iterations: adjusted.iterations,
    },
    remarks,
    timesMs: {},
  };
};

const unique = (remarks: readonly Remark[]): Remark[] => [
  ...new Map(remarks.map((remark) => [`${remark.code}|${remark.message}`, remark])).values(),
];

type PoseResult = Result["boards"][number]["pose"];

/** Six tangent numbers: three turns in radians, then three shifts in mm. */
const tangent = 6;
const unitFactor = (k: number): number => (k < 3 ? degrees(1) : 1);

/** Poses in the vehicle frame with their covariances, one propagation for all keys. */
const posesInVehicle = (
  adjusted: Adjusted,
  keys: readonly string[],
  poseOf: (state: Adjusted["state"], key: string) => Pose,
): Map<string, PoseResult> => {
  const quantities = keys.flatMap((key) =>
    poseQuantities(adjusted.state, key, (state) => poseOf(state, key)),
  );
  const propagated = adjusted.propagate(quantities);
  return new Map(
    keys.map((key, i) => [key, poseResult(poseOf(adjusted.state, key), propagated, i * tangent)]),
  );
};

const poseResult = (pose: Pose, { covariance, keys }: Propagated, at: number): PoseResult => ({
  rotation: [...pose.R],
  positionMm: [...pose.t],
  covariance: Array.from({ length: tangent * tangent }, (_, n) => {
    const [i, j] = [Math.floor(n / tangent), n % tangent];
    return covariance[(at + i) * keys.length + at + j] * unitFactor(i) * unitFactor(j);
  }),
});

const roleSentence = (id: number, role: JobRole): string => {
  const kit = roleOf(id);
  return kit && kit.kind === role ? roleWords(kit) : role;
};

const boardResults = ({ bay, setup, adjusted }: ResultParts): Result["boards"] => {
  const poses = posesInVehicle(adjusted, [...bay.boards.keys()], (state, key) =>
    poseInVehicle(state, setup.vehicle, key),
  );
  return [...bay.boards]
    .map(([key, board]) => ({
      id: board.id,
      key,
      role: roleSentence(board.id, board.role),
      pose: poses.get(key)!,
      seenIn: bay.problem.observations.filter((o) => o.board === key).map((o) => o.photo),
      residualPx: adjusted.boardResidualPx.get(key) ?? 0,
      cellMm: adjusted.state.cellMm(key),
    }))
    .sort((a, b) => a.id - b.id || a.key.localeCompare(b.key));
};

const photoResults = ({ input, bay, setup, adjusted }: ResultParts): Result["photos"] => {
  const poses = posesInVehicle(adjusted, [...bay.photos.keys()], (state, key) =>
    photoInVehicle(state, setup.vehicle, key),
  );
  const turns = handTurns(adjusted);
  return input.outcomes.map((outcome) => {
    if (!outcome.ok)
      return {
        name: outcome.name,
        used: false,
        width: 0,
        height: 0,
        boards: [],
        remarks: [outcome.remark],
      };
    const { findings } = outcome;
    const used = bay.photos.has(findings.name);
    const change = used ? adjusted.photoChange(findings.name) : null;
    return {
      ...seenInPhoto(findings),
      used,
      pose: poses.get(findings.name),
      focalChange: change?.focal,
      principalShiftPx: change ? [change.shiftX, change.shiftY] : undefined,
      handTurnDeg: turns.get(findings.name),
      residualPx: adjusted.photoResidualPx.get(findings.name),
    };
  });
};

const seenInPhoto = (findings: PhotoFindings) => ({
  name: findings.name,
  width: findings.width,
  height: findings.height,
  boards: findings.boards.map((view) => ({
    id: view.id,
    grade: view.quality.grade,
    reasons: [...view.quality.reasons],
    cellPx: view.quality.cellPx,
    obliquityDeg: view.quality.obliquityDeg,
    blurPx: view.quality.blurPx,
    residualPx: view.quality.residualPx,
    outline: [...view.outline],
  })),
  remarks: [...findings.remarks],
});

const cameraResult = ({ profile, source }: CameraKnowledge): Result["camera"] => ({
  source,
  make: profile.identity.make ?? "unnamed",
  model: profile.identity.model ?? "phone",
  width: profile.identity.width,
  height: profile.identity.height,
  lens: { ...profile.lens },
  standardUncertainty: lensUncertainty(profile.covariance),
  residualPx: profile.residualPx,
  photos: profile.photos,
});

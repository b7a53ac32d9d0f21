import type { Adjusted } from "../../adjust/adjust.ts";
import type { Propagated } from "../../adjust/problem/problem.ts";
import { roleOf, roleWords } from "../../boards/kit.ts";
import type { PhotoFindings } from "../../detect/findings/findings.ts";
import { lensUncertainty } from "../../lens/profile.ts";
import { cameraWords } from "../../lens/which-camera.ts";
import { degrees, type Pose } from "../../maths/pose.ts";
import type { Evaluation } from "../../placement/assemble.ts";
import type { PlacementSetup } from "../../placement/checks/checks.ts";
import { photoInVehicle, poseInVehicle, poseQuantities } from "../../vehicle/axis.ts";
import type { JobRole } from "../file/job-boards.ts";
import type { BayProblem } from "../problem/build-problem.ts";
import { sameCamera } from "../problem/own-photos.ts";
import { withJobRoles } from "../result/board-roles.ts";
import { decideOutcome } from "../result/outcome.ts";
import { ranked } from "../result/rank.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";
import { programVersion } from "../result/version.ts";
import { type CameraKnowledge, camerasOf, type SolveInput } from "../run/run.ts";
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
  const phones = phonesOf(parts);
  const stated = evaluation.checks.map((check) => withLenses(check, phones));
  const { outcome, checks, heldBack } = decideOutcome(stated, remarks);
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
    photos: photoResults(parts, phones),
    ...cameraResults(parts, phones),
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

const photoResults = (
  { input, bay, setup, adjusted }: ResultParts,
  phones: Phones,
): Result["photos"] => {
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
      phone: phones?.ofPhoto.get(findings.name),
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

/** Which phone is meant by each camera and each photo; null where there is only one. */
type Phones = {
  readonly words: (camera: CameraKnowledge) => string;
  readonly ofCamera: ReadonlyMap<string, string>;
  readonly ofPhoto: ReadonlyMap<string, string>;
} | null;

const phonesOf = ({ camera, bay }: ResultParts): Phones => {
  const all = camerasOf(camera);
  if (all.length < 2) return null;
  const words = (one: CameraKnowledge): string =>
    cameraWords(all.find((known) => sameCamera(known, one)) ?? one, all);
  const ofCamera = new Map([...bay.cameras].map(([key, one]) => [key, words(one)] as const));
  const ofPhoto = bay.problem.photos.map(
    (photo) => [photo.key, ofCamera.get(photo.camera)!] as const,
  );
  return { words, ofCamera, ofPhoto: new Map(ofPhoto) };
};

/** The check with what every phone's lens contributes, largest first. */
const withLenses = (
  { lensShares, ...check }: Evaluation["checks"][number],
  phones: Phones,
): Omit<Evaluation["checks"][number], "lensShares"> & Pick<Result["checks"][number], "lenses"> => {
  if (!phones) return check;
  const shares = new Map([...phones.ofCamera.values()].map((phone) => [phone, 0]));
  for (const [key, share] of Object.entries(lensShares)) {
    const phone = phones.ofCamera.get(key);
    if (phone !== undefined) shares.set(phone, (shares.get(phone) ?? 0) + share);
  }
  const lenses = [...shares].map(([phone, share]) => ({ phone, share }));
  return { ...check, lenses: lenses.sort((a, b) => b.share - a.share) };
};

const cameraResults = (
  { camera }: ResultParts,
  phones: Phones,
): Pick<Result, "camera" | "otherCameras"> => {
  const results = camerasOf(camera).map((one): Result["camera"] => {
    if (!phones) return cameraResult(one);
    const phone = phones.words(one);
    const bayPhotos = [...phones.ofPhoto.values()].filter((of) => of === phone).length;
    return { ...cameraResult(one), phone, bayPhotos };
  });
  const [first, ...others] = results;
  return phones ? { camera: first, otherCameras: others } : { camera: first };
};

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

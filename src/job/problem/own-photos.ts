import type { Adjusted } from "../../adjust/adjust.ts";
import type { CameraStatement } from "../../adjust/problem/problem.ts";
import { fullModel } from "../../calibrate/estimate/model.ts";
import { anyLensSd } from "../../calibrate/estimate/sheet-problem.ts";
import { usualFocalSd, usualShiftSd } from "../../calibrate/estimate/variance-components.ts";
import { coverageColumns, coverageRows } from "../../calibrate/guidance/coverage.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { identityOf, type PhotoIdentity } from "../../lens/identity.ts";
import { lensFromExif, startLens } from "../../lens/initial-lens.ts";
import { type Lens, lensOrder, lensSize } from "../../lens/lens.ts";
import { exifNames } from "../../lens/photo-refusals.ts";
import {
  type CameraIdentity,
  type CameraProfile,
  profileFormat,
  profileVersion,
} from "../../lens/profile.ts";
import { checkLens } from "../../lens/self-check.ts";
import { cameraWords } from "../../lens/which-camera.ts";
import type { Evaluation } from "../../placement/assemble.ts";
import type { JobFile } from "../file/job-file.ts";
import { phoneOf } from "../file/job-phones.ts";
import type { Remark } from "../result/remark-codes.ts";
import { type CameraKnowledge, camerasOf, type SolveInput } from "../run/run.ts";
import type { BayProblem } from "./build-problem.ts";

/**
 * What is known of the lens when there is neither a camera step nor a profile: the EXIF's focal
 * length (or the boards' own geometry) with a wide prior. The job's photos must do the rest.
 * Null where no photo shows a board.
 */
export const lensFromOwnPhotos = (outcomes: readonly PhotoOutcome[]): CameraKnowledge | null => {
  const photos = outcomes.flatMap((outcome) =>
    outcome.ok && outcome.findings.boards.length > 0 ? [outcome.findings] : [],
  );
  if (photos.length === 0) return null;
  const [first] = photos;
  const start =
    lensFromExif(first.exif, first.width, first.height) ??
    startLens(
      photos.flatMap(({ boards }) => boards),
      first.exif,
      first.width,
      first.height,
    );
  const sd = anyLensSd(start.lens, start.focalSd, first.width);
  const profile: CameraProfile = {
    format: profileFormat,
    version: profileVersion,
    identity: identityOf(first),
    lens: start.lens,
    covariance: Array.from({ length: lensSize * lensSize }, (_, at) =>
      at % (lensSize + 1) === 0 ? sd[at / (lensSize + 1)] ** 2 : 0,
    ),
    estimated: Object.fromEntries(
      lensOrder.map((name) => [name, true]),
    ) as CameraProfile["estimated"],
    model: fullModel.name,
    spread: {
      focalSd: usualFocalSd,
      shiftSdPx: usualShiftSd * first.width,
      focalFromPhotos: 0,
      shiftFromPhotos: 0,
    },
    residualPx: 0,
    heldOutPx: null,
    photos: photos.length,
    coverage: {
      columns: coverageColumns,
      rows: coverageRows,
      counts: new Array(coverageColumns * coverageRows).fill(0),
      share: 0,
      tiltDeg: [],
    },
    effectAt4mMm: null,
    calibratedAt: "",
    notes: ["Lens from the job's own photos."],
  };
  return { profile, source: "own photos", remarks: [] };
};

interface EstimatedLens {
  readonly lens: Lens;
  /** 9 x 9, lensOrder. */
  readonly covariance: Float64Array;
}

/** The lens as the job's adjustment leaves it. */
export const estimatedLens = (adjusted: Adjusted, camera: string): EstimatedLens => ({
  lens: adjusted.state.lens(camera),
  covariance: adjusted.propagate(
    lensOrder.map((name) => ({
      key: `lens:${name}`,
      evaluate: (state) => state.lens(camera)[name],
    })),
  ).covariance,
});

/** A focal length with a smaller uncertainty than this counts as calibrated. */
const weakFocalSd = 0.003;

/**
 * All lenses that are known of a job, the first phone's first. Where nothing is known of that one, its
 * own photos tell: those that belong to none of the other phones. Null where there is no lens at all.
 */
export const knownLenses = ({
  job,
  camera,
  otherCameras = [],
  outcomes,
}: Pick<SolveInput, "job" | "camera" | "otherCameras" | "outcomes">): CameraKnowledge | null => {
  if (camera) return otherCameras.length > 0 ? { ...camera, others: otherCameras } : camera;
  const mine = outcomes.filter(
    (outcome) => outcome.ok && isOfNoOther(job, otherCameras, outcome.findings),
  );
  const phones = mine.map((outcome) => (outcome.ok ? phoneOf(job, outcome.findings.name) : null));
  // Photos that the job says nothing about go first; else those of the first phone that it names.
  const [phone = null] = phones.includes(null) ? [null] : phones;
  const own = lensFromOwnPhotos(mine.filter((_, at) => phones[at] === phone));
  const [first, ...rest] = otherCameras;
  if (!own) return first ? { ...first, others: rest } : null;
  return {
    ...own,
    ...(phone === null ? {} : { phone }),
    ...(otherCameras.length > 0 && { others: otherCameras }),
  };
};

/** True for a photo that none of the other phones took, as far as job and EXIF tell. */
const isOfNoOther = (
  job: JobFile,
  others: readonly CameraKnowledge[],
  photo: PhotoIdentity,
): boolean => {
  const stated = phoneOf(job, photo.name);
  if (stated !== null) return others.every(({ phone }) => phone !== stated);
  return !others.some(({ profile }) => exifNames(photo.exif, profile.identity));
};

/**
 * After the adjustment: what the job says about its cameras. A profile is compared with the job's
 * own estimate of the lens; a lens from the job's own photos is put into the result, with what it
 * costs in uncertainty.
 */
export const cameraAfter = (
  camera: CameraKnowledge,
  bay: BayProblem,
  adjusted: Adjusted,
  evaluation: Evaluation,
): { camera: CameraKnowledge; remarks: Remark[] } => {
  const all = camerasOf(camera);
  const after = all.map((one) => {
    const statements = bay.problem.cameras.filter(({ key }) =>
      sameCamera(bay.cameras.get(key), one),
    );
    if (statements.length === 0) return { camera: one, remarks: [] };
    if (one.source !== "own photos") {
      const [worst] = disagreements(adjusted, statements);
      return { camera: one, remarks: worst ? [ofPhone(worst, one, all)] : [] };
    }
    const { lens, covariance } = estimatedLens(adjusted, statements[0].key);
    const { profile } = one;
    const { residualPx } = adjusted;
    const known = {
      ...one,
      profile: { ...profile, lens, covariance: [...covariance], residualPx },
    };
    return { camera: known, remarks: [costRemark(lens, covariance, evaluation)] };
  });
  const [first, ...others] = after.map((one) => one.camera);
  return {
    camera: others.length > 0 ? { ...first, others } : first,
    remarks: after.flatMap(({ remarks }) => remarks),
  };
};

/** True for one phone's lens, before and after the job's photos told more of it. */
export const sameCamera = (a: CameraKnowledge | undefined, b: CameraKnowledge): boolean =>
  a !== undefined && a.phone === b.phone && sameIdentity(a.profile.identity, b.profile.identity);

const sameIdentity = (a: CameraIdentity, b: CameraIdentity): boolean =>
  Object.entries(a).every(([name, value]) => b[name as keyof CameraIdentity] === value);

/** The remark, with the phone that it is about where there are several. */
const ofPhone = (
  remark: Remark,
  camera: CameraKnowledge,
  all: readonly CameraKnowledge[],
): Remark =>
  all.length < 2
    ? remark
    : {
        ...remark,
        message: `${cameraWords(camera, all)}: ${remark.message}`,
        about: cameraWords(camera, all),
      };

/** Photo sizes whose photos disagree with the lens that the profile gives them, worst first. */
const disagreements = (adjusted: Adjusted, cameras: readonly CameraStatement[]): Remark[] =>
  cameras
    .flatMap(({ key, lens, priorCovariance }) => {
      if (!priorCovariance) return [];
      const job = estimatedLens(adjusted, key);
      const { remark, statistic } = checkLens(lens, priorCovariance, job.lens, job.covariance);
      return remark ? [{ remark, statistic }] : [];
    })
    .sort((a, b) => b.statistic - a.statistic)
    .map(({ remark }) => remark);

const costRemark = (lens: Lens, covariance: Float64Array, evaluation: Evaluation): Remark => {
  const focalSd = Math.sqrt(covariance[0]) / lens.fx;
  const shares = evaluation.checks.map((check) => ({
    label: check.label,
    quantity: check.quantity,
    share: check.budget
      .filter(({ source }) => source === "lens" || source === "focus and stabilisation")
      .reduce((sum, { share }) => sum + share, 0),
  }));
  const worst = shares.reduce((a, b) => (b.share > a.share ? b : a));
  const weak = focalSd > weakFocalSd;
  return {
    code: weak ? "own-lens-weak" : "own-lens",
    values: { sure: 2 * focalSd, share: worst.share, check: worst.quantity },
    severity: weak ? "warning" : "info",
    message:
      `The lens was estimated from this job's own photos (focal length sure to ` +
      `${(200 * focalSd).toFixed(2)} %, 95 %). It makes up ${Math.round(100 * worst.share)} % of the ` +
      `variance of "${worst.label}".`,
    remedy: "Photograph the camera sheet once: later jobs with this phone are surer then.",
  };
};

import { sheetSquareMm } from "../boards/sheet.ts";
import type { PhotoOutcome } from "../detect/findings/findings.ts";
import { type StartLens, startLens } from "../lens/initial-lens.ts";
import { type BeyondBrown, beyondBrown } from "./estimate/beyond-brown.ts";
import {
  type EstimateOptions,
  estimateSheet,
  firstSettings,
  withModel,
} from "./estimate/estimate.ts";
import type { FittedPhoto } from "./estimate/fit.ts";
import { heldOutErrors } from "./estimate/held-out.ts";
import { chooseModel, fullModel } from "./estimate/model.ts";
import { findOutlier } from "./estimate/outliers.ts";
import { roughPoses } from "./estimate/rough-poses.ts";
import { type Guidance, nextPhoto, openingGuidance } from "./guidance/guidance.ts";
import {
  alikeRemarks,
  fewestFeatures,
  fewestPhotos,
  photosOfOneLens,
  tooFewRemark,
  viewpointRemarks,
} from "./guidance/photo-set.ts";
import { effectGeometry } from "./lens-effect/effect-geometry.ts";
import type { CameraOutcome, CameraStepOptions, PhotoReport } from "./outcome.ts";
import type { Remark } from "./photos/codes.ts";
import { sheetPhotosOf } from "./photos/from-findings.ts";
import {
  bendRemarks,
  noiseRemarks,
  partlySeenRemarks,
  placeRemarks,
  stretchRemarks,
  tiltDegrees,
  unsettled,
} from "./photos/remarks.ts";
import type { SheetPhoto } from "./photos/sheet-photo.ts";
import { factsOf, profileOf, type Solved, withFacts } from "./profile-of.ts";

export type { Guidance } from "./guidance/guidance.ts";
export type { CameraOutcome, CameraStepOptions, PhotoReport } from "./outcome.ts";
export type { SheetPhoto } from "./photos/sheet-photo.ts";

/**
 * The camera step: photos of the camera sheet in, camera profile out. The lens comes from the same
 * adjustment as the job, with the sheet as its only board. All failures are outcomes with remarks.
 */
export const calibrateCamera = (
  given: readonly SheetPhoto[],
  options: CameraStepOptions = {},
): CameraOutcome => {
  const seen = given.filter(isUsable);
  const oneLens = photosOfOneLens(seen.map(withFacts));
  const remarks: Remark[] = [...unusableRemarks(given, seen), ...oneLens.remarks];
  const photos = oneLens.kept.map(({ sheetPhoto }) => sheetPhoto);
  if (photos.length < fewestPhotos)
    return failure(remarks, tooFewRemark(photos.length, given.length));
  const start = startOf(photos);
  const oneSided = oneSidedRemarks(photos, start);
  if (oneSided.length > 0) return { ok: false, remarks: [...oneSided, ...remarks] };
  const solved = solve(photos, start, options);
  if (!solved) return failure(remarks, noSolution);
  remarks.push(...solved.remarks);
  const { used, estimate } = solved;
  const placed = viewpointRemarks(factsOf(used, estimate));
  if (placed.some(({ severity }) => severity === "error"))
    return { ok: false, remarks: [...placed, ...remarks] };
  return report(used, solved, [...placed, ...remarks], options);
};

/**
 * The same from what the finder said about the files of a folder: keeps the sheet's view of each
 * photo and passes on why a file gave none.
 */
export const calibrateFromFindings = (
  outcomes: readonly PhotoOutcome[],
  sheetId: number,
  options: CameraStepOptions = {},
): CameraOutcome => {
  const { photos, remarks } = sheetPhotosOf(outcomes, sheetId);
  const outcome = calibrateCamera(photos, options);
  return { ...outcome, remarks: [...outcome.remarks, ...remarks] };
};

/**
 * Advice while photos come in: what to photograph next, or that it is enough, with the millimetres
 * at 4 m that the lens would add now. Computes afresh each time (well under a second).
 */
export const cameraGuidance = (given: readonly SheetPhoto[]): Guidance => {
  const usable = given.filter(isUsable);
  const outcome = calibrateCamera(given, { heldOut: false, effect: false, remainder: false });
  const { kept } = photosOfOneLens(usable.map(withFacts));
  if (!outcome.ok) return opening(kept, withoutTooFew(outcome.remarks));
  const { lens, covariance, spread, residualPx, identity } = outcome.profile;
  const { width, height } = identity;
  const used = new Set(outcome.photos.flatMap((report) => (report.used ? report.photo : [])));
  const photos = kept.filter(({ photo }) => used.has(photo));
  const effect = effectGeometry(lens, width, height, spread);
  if (!effect) return opening(photos, outcome.remarks);
  const { remarks } = outcome;
  const noisePx = residualPx;
  return nextPhoto({ lens, covariance, spread, noisePx, width, height, effect, photos, remarks });
};

/** The same from what the finder said about the files. */
export const guidanceFromFindings = (
  outcomes: readonly PhotoOutcome[],
  sheetId: number,
): Guidance => {
  const { photos, remarks } = sheetPhotosOf(outcomes, sheetId);
  const guidance = cameraGuidance(photos);
  return { ...guidance, remarks: [...guidance.remarks, ...remarks] };
};

const opening = (
  photos: readonly ReturnType<typeof withFacts>[],
  remarks: readonly Remark[],
): Guidance => {
  const sheetPhotos = photos.map(({ sheetPhoto }) => sheetPhoto);
  const [first] = photos;
  const { width, height } = first ?? commonFrame;
  const { lens } = first ? startOf(sheetPhotos) : startLens([], null, width, height);
  const poses = roughPoses(sheetPhotos, lens).filter((pose) => pose !== null);
  const alike = alikeRemarks(photos).filter(({ about }) => !remarks.some((r) => r.about === about));
  return openingGuidance({
    lens,
    width,
    height,
    photos,
    poses,
    remarks: [...remarks, ...alike],
  });
};

/** Frame of a 12 megapixel phone, for a drawing before the first photo. */
const commonFrame = { width: 4032, height: 3024 };

/** That photos are still missing is what the advice itself says. */
const withoutTooFew = (remarks: readonly Remark[]): Remark[] =>
  remarks.filter(({ code }) => code !== "too-few-photos");

const failure = (remarks: readonly Remark[], reason: Remark): CameraOutcome => ({
  ok: false,
  remarks: [reason, ...remarks],
});

const noSolution: Remark = {
  code: "no-solution",
  severity: "error",
  message: "The sheet photos do not fit together as photos of one flat sheet by one lens.",
  remedy: "Use original photos of one sheet, taken with one phone at one zoom; lay the sheet flat.",
};

const isUsable = ({ view }: SheetPhoto): boolean =>
  view.quality.grade !== "not used" && view.boardPoints.length / 2 >= fewestFeatures;

/** Whether the photos look at the sheet from enough sides, before anything is adjusted. */
const oneSidedRemarks = (photos: readonly SheetPhoto[], start: StartLens): Remark[] => {
  const poses = roughPoses(photos, start.lens);
  const facts = photos.map((photo, i) => {
    const pose = poses[i];
    return { ...withFacts(photo), tiltDeg: pose ? tiltDegrees(pose) : 0 };
  });
  const remarks = [
    ...viewpointRemarks(facts),
    ...placeRemarks(poses.filter((pose) => pose !== null)),
  ];
  return remarks.filter(({ severity }) => severity === "error");
};

const unusableRemarks = (given: readonly SheetPhoto[], kept: readonly SheetPhoto[]): Remark[] =>
  given
    .filter((photo) => !kept.includes(photo))
    .map(({ photo, view }) => ({
      code: "photo-not-used",
      values: { photo, reasons: view.quality.said ?? [], found: view.boardPoints.length / 2 },
      severity: "warning",
      message: `${photo} was left out: ${view.quality.reasons.join(" ") || `only ${view.boardPoints.length / 2} of the sheet's crossings were found.`}`,
      remedy: "Take it again with the whole sheet sharp and in view.",
      about: photo,
    }));

const startOf = (photos: readonly SheetPhoto[]): StartLens =>
  startLens(
    photos.map(({ view }) => view),
    photos[0].exif,
    photos[0].width,
    photos[0].height,
  );

/**
 * Estimates with the full model and what that leaves, leaves out photos that do not fit, then takes
 * the model needed. What a lens model leaves must be gone before a photo is blamed for not fitting.
 */
const solve = (
  given: readonly SheetPhoto[],
  start: StartLens,
  options: CameraStepOptions,
): Solved | null => {
  const { width } = given[0];
  const settings = firstSettings({
    start: start.lens,
    startFocalSd: start.focalSd,
    width,
    squareMm: options.squareMm ?? sheetSquareMm,
    flat: options.flat ?? false,
    fixedAspect: options.fixedAspect ?? false,
    photoChanges: options.photoChanges ?? true,
    motionAndStretch: options.motionAndStretch ?? true,
  } satisfies EstimateOptions);
  const rounds = { robust: !options.keepOutliers, mostRounds: options.mostRounds };
  const solveFor = (photos: readonly SheetPhoto[]): BeyondBrown | null => {
    const estimate = estimateSheet(photos, settings, width, rounds);
    if (!estimate) return null;
    return options.remainder === false
      ? { estimate, remainder: null, corrected: photos }
      : beyondBrown(photos, estimate, settings, rounds);
  };
  let used = given;
  let solved = solveFor(used);
  const dropped: PhotoReport[] = [];
  const remarks: Remark[] = [];
  while (solved && !options.keepOutliers && used.length > fewestPhotos) {
    const { fit } = solved.estimate;
    const outlier = findOutlier(fit, width);
    if (!outlier) break;
    const leave = outlier.index;
    dropped.push(photoReport(used[leave], fit.photos[leave], false, null));
    remarks.push(outlier.remark);
    used = used.filter((_, i) => i !== leave);
    solved = solveFor(used);
  }
  if (!solved) return null;
  const { estimate, remainder, corrected } = solved;
  const { fit } = estimate;
  const covariance = fit.lensCovariance;
  const known = { used, covariance, remainder, corrected, dropped, remarks };
  const whole = options.fullModel || remainder !== null;
  const choice = whole
    ? { model: fullModel, tests: [] }
    : chooseModel(fit.lens, covariance, fit.redundancy);
  if (choice.model === fullModel) return { ...known, estimate, choice };
  const smaller = estimateSheet(used, withModel(estimate, choice.model), width, {
    ...rounds,
    from: fit,
  });
  return smaller && { ...known, estimate: smaller, choice };
};

const photoReport = (
  { photo, view }: SheetPhoto,
  fitted: FittedPhoto,
  used: boolean,
  heldOutPx: number | null,
): PhotoReport => ({
  photo,
  used,
  residualPx: fitted.residualPx,
  heldOutPx,
  focalChange: fitted.change.focal,
  shiftPx: [fitted.change.shiftX, fitted.change.shiftY],
  tiltDeg: tiltDegrees(fitted.cameraFromSheet),
  distanceMm: Math.hypot(...fitted.cameraFromSheet.t),
  features: view.boardPoints.length / 2,
});

const report = (
  used: readonly SheetPhoto[],
  solved: Solved,
  remarks: readonly Remark[],
  options: CameraStepOptions,
): CameraOutcome => {
  const { estimate, choice, dropped, corrected } = solved;
  const { fit, settings } = estimate;
  const heldOut = options.heldOut === false ? null : heldOutErrors(corrected, estimate);
  const photos = used.map((photo, i) =>
    photoReport(photo, fit.photos[i], true, heldOut?.perPhoto[i] ?? null),
  );
  return {
    ok: true,
    profile: profileOf(used, solved, heldOut?.allPx ?? null, options),
    choice,
    photos: [...photos, ...dropped],
    bendMm: fit.sagittaMm,
    bendSdMm: fit.sagittaSdMm,
    remarks: [
      ...remarks,
      ...partlySeenRemarks(used),
      ...alikeRemarks(used.map(withFacts)),
      ...bendRemarks(fit.sagittaMm, fit.sagittaSdMm),
      ...stretchRemarks(fit.lens.fx, fit.lens.fy, fit.stretch),
      ...noiseRemarks(settings.noiseScale, fit.residualPx),
      ...(estimate.settled ? [] : [unsettled]),
    ],
  };
};

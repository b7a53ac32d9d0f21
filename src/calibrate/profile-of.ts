import { identityOf } from "../lens/identity.ts";
import { lensOrder, lensSize } from "../lens/lens.ts";
import { type CameraProfile, profileFormat, profileVersion } from "../lens/profile.ts";
import type { LensRemainder } from "../lens/remainder.ts";
import { degrees } from "../maths/pose.ts";
import type { SheetEstimate } from "./estimate/estimate.ts";
import type { ModelChoice } from "./estimate/model.ts";
import { countCells, coverageColumns, coverageRows, coveredShare } from "./guidance/coverage.ts";
import type { SheetPhotoFacts } from "./guidance/photo-set.ts";
import { effectGeometry } from "./lens-effect/effect-geometry.ts";
import { effectSd } from "./lens-effect/lens-effect.ts";
import type { CameraStepOptions, PhotoReport } from "./outcome.ts";
import type { Remark } from "./photos/codes.ts";
import { tiltDegrees } from "./photos/remarks.ts";
import type { SheetPhoto } from "./photos/sheet-photo.ts";

/** Results of the estimation, before they are put into words and a file. */
export interface Solved {
  readonly used: readonly SheetPhoto[];
  readonly estimate: SheetEstimate;
  /** Of the full model: numbers that the chosen model sets to zero keep their uncertainty. */
  readonly covariance: Float64Array;
  readonly choice: ModelChoice;
  /** What Brown's numbers leave, and the photos with it taken off (the same photos without one). */
  readonly remainder: LensRemainder | null;
  readonly corrected: readonly SheetPhoto[];
  readonly dropped: readonly PhotoReport[];
  readonly remarks: readonly Remark[];
}

export const withFacts = (photo: SheetPhoto): SheetPhotoFacts & { sheetPhoto: SheetPhoto } => ({
  photo: photo.photo,
  width: photo.width,
  height: photo.height,
  exif: photo.exif,
  pixels: photo.view.pixels,
  tiltDeg: photo.view.quality.obliquityDeg,
  sheetPhoto: photo,
});

export const factsOf = (
  photos: readonly SheetPhoto[],
  estimate: SheetEstimate,
): SheetPhotoFacts[] =>
  photos.map((photo, i) => ({
    ...withFacts(photo),
    tiltDeg: tiltDegrees(estimate.fit.photos[i].cameraFromSheet),
  }));

/** Half-width of a 95 % interval in standard deviations. */
const factor95 = 1.96;

/** The profile file's content from the estimate. */
export const profileOf = (
  used: readonly SheetPhoto[],
  { estimate, covariance, choice, remainder }: Solved,
  heldOutPx: number | null,
  options: CameraStepOptions,
): CameraProfile => {
  const { fit, focal, shift } = estimate;
  const { width, height } = used[0];
  const facts = factsOf(used, estimate);
  const counts = countCells(facts);
  const spread = {
    focalSd: focal.sd,
    shiftSdPx: shift.sd,
    focalFromPhotos: focal.fromPhotos,
    shiftFromPhotos: shift.fromPhotos,
    ...(estimate.settings.motion && {
      turnSdDeg: degrees(estimate.settings.motion.turnSd),
      swaySdDeg: degrees(estimate.settings.motion.swaySd),
    }),
  };
  const effect = options.effect === false ? null : effectGeometry(fit.lens, width, height, spread);
  const mm = effect && effectSd(effect, covariance);
  return {
    format: profileFormat,
    version: profileVersion,
    identity: identityOf({ name: used[0].photo, ...used[0] }),
    lens: fit.lens,
    covariance: [...covariance],
    estimated: Object.fromEntries(
      lensOrder.map((name, i) => [name, covariance[i * (lensSize + 1)] > 0]),
    ) as CameraProfile["estimated"],
    spread,
    model: choice.model.name,
    ...(remainder && { remainder }),
    residualPx: fit.residualPx,
    heldOutPx,
    photos: used.length,
    coverage: {
      columns: coverageColumns,
      rows: coverageRows,
      counts,
      share: coveredShare(counts),
      tiltDeg: facts.map(({ tiltDeg }) => tiltDeg),
    },
    effectAt4mMm: mm === null ? null : factor95 * mm,
    calibratedAt: options.date ?? "",
    notes: [],
  };
};

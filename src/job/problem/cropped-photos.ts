import type { Adjusted } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { checkLens, zoomedFrom } from "../../lens/self-check.ts";
import type { Remark } from "../result/remark-codes.ts";
import { isOfAnotherSize } from "./build-problem.ts";
import { estimatedLens } from "./own-photos.ts";

/**
 * A crop of the same shape passes for a smaller copy: nothing in the file tells them apart. The lens
 * of a smaller copy is scaled down, that of a crop is not, so that the adjustment finds a focal
 * length that is too long for a copy. Says which photos these are; null where there are none.
 */
export const croppedPhotos = (problem: NetworkProblem, adjusted: Adjusted): Remark | null => {
  const names: string[] = [];
  let longerBy = 0;
  for (const { key, lens, priorCovariance } of problem.cameras) {
    if (!isOfAnotherSize(key) || !priorCovariance) continue;
    const job = estimatedLens(adjusted, key);
    const { agrees, focalShift } = checkLens(lens, priorCovariance, job.lens, job.covariance);
    if (agrees || focalShift < zoomedFrom) continue;
    names.push(...problem.photos.flatMap((photo) => (photo.camera === key ? photo.key : [])));
    longerBy = Math.max(longerBy, focalShift);
  }
  return names.length === 0 ? null : remarkOn(names, longerBy);
};

/** The findings without the photos that a remark of {@link croppedPhotos} names. */
export const withoutCropped = (
  outcomes: readonly PhotoOutcome[],
  { values }: Remark,
): PhotoOutcome[] => {
  const names = new Set(values?.names as readonly string[]);
  return outcomes.filter((outcome) => !outcome.ok || !names.has(outcome.findings.name));
};

const remarkOn = (names: readonly string[], longerBy: number): Remark => ({
  code: "photos-cropped",
  values: { photos: names.length, names, percent: 100 * longerBy },
  severity: "warning",
  message: `${names.join(", ")} ${names.length === 1 ? "was" : "were"} cropped, not only made smaller: the focal length is at least ${(100 * longerBy).toFixed(0)} % too long for a smaller copy. Left out.`,
  remedy: "Use the original, uncropped files, sent as files or by cable.",
  about: names[0],
});

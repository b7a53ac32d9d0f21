import { sigmaPerMedianDeviation, upperMedian } from "../../maths/median.ts";
import type { Remark } from "../photos/codes.ts";
import type { FittedPhoto, SheetFit } from "./fit.ts";

/** A photo that does not belong to the others, with the sentence that says why. */
export interface Outlier {
  /** Index among the fitted photos. */
  readonly index: number;
  readonly remark: Remark;
}

/** A photo misses by this many times the usual residual before it counts as not fitting. */
const residualRatio = 3;
/** Changes of one photo against the others: this many robust standard deviations, and at least .. */
const changeRatio = 6;
/** .. more than autofocus does to any phone (relative; a thin lens at 0.3 m does 2 %) .. */
const leastFocalChange = 0.025;
/** .. or stabilisation does, as a share of the picture's width. Both common practice, no source. */
const leastShift = 0.015;

/** Index and distance from the median of the value farthest out, where it is an outlier. */
const farthest = (
  values: readonly number[],
  least: number,
): { index: number; distance: number } | null => {
  const middle = upperMedian(values)!;
  const distances = values.map((value) => Math.abs(value - middle));
  const distance = Math.max(...distances);
  const usual = sigmaPerMedianDeviation * upperMedian(distances)!;
  return distance > Math.max(least, changeRatio * usual)
    ? { index: distances.indexOf(distance), distance }
    : null;
};

/** The photo that fits the others least, where one does not fit at all. */
export const findOutlier = ({ photos }: SheetFit, width: number): Outlier | null =>
  otherFocal(photos) ?? otherCentre(photos, width) ?? otherResidual(photos);

const otherFocal = (photos: readonly FittedPhoto[]): Outlier | null => {
  const found = farthest(
    photos.map(({ change }) => change.focal),
    leastFocalChange,
  );
  if (!found) return null;
  const { photo } = photos[found.index];
  return {
    index: found.index,
    remark: {
      code: "photo-zoomed",
      values: { photo, share: found.distance },
      severity: "warning",
      message: `${photo} has another focal length than the others, by ${(100 * found.distance).toFixed(0)} %. It was left out.`,
      remedy: "Keep the zoom at 1x and do not switch lenses; take it again.",
      about: photo,
    },
  };
};

const otherCentre = (photos: readonly FittedPhoto[], width: number): Outlier | null => {
  for (const part of ["shiftX", "shiftY"] as const) {
    const found = farthest(
      photos.map(({ change }) => change[part]),
      leastShift * width,
    );
    if (!found) continue;
    const { photo } = photos[found.index];
    return {
      index: found.index,
      remark: {
        code: "photo-off-centre",
        values: { photo, px: found.distance },
        severity: "warning",
        message: `${photo} has its optical centre ${found.distance.toFixed(0)} px away from the others' and may be cropped. It was left out.`,
        remedy: "Use the original, uncropped files, or take it again.",
        about: photo,
      },
    };
  }
  return null;
};

const otherResidual = (photos: readonly FittedPhoto[]): Outlier | null => {
  const residuals = photos.map(({ residualPx }) => residualPx);
  const usual = upperMedian(residuals)!;
  const worst = Math.max(...residuals);
  if (worst < residualRatio * usual) return null;
  const index = residuals.indexOf(worst);
  const { photo } = photos[index];
  return {
    index,
    remark: {
      code: "photo-does-not-fit",
      values: { photo, times: worst / usual },
      severity: "warning",
      message: `${photo} does not fit the others: its features miss ${(worst / usual).toFixed(0)} times as far as usual. It was left out.`,
      remedy:
        "Such a photo is often moved during exposure or edited, or the sheet lay differently; take it again.",
      about: photo,
    },
  };
};

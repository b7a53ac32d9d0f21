import { type Lens, lensSize } from "../../lens/lens.ts";
import { betweenDirections } from "../../maths/angles.ts";
import { invertPositive } from "../../maths/dense.ts";
import { degrees, type Pose } from "../../maths/pose.ts";
import { effectSd, type LensEffect } from "../lens-effect/lens-effect.ts";
import { type Spread, viewInformation } from "../lens-effect/view-information.ts";
import type { Remark } from "../photos/codes.ts";
import { tiltDegrees } from "../photos/remarks.ts";
import { type Advice, type AdviceCode, adviceText, photoAsShown } from "./advice.ts";
import { cornerAsShown, type FrameCorner, missingCorners, quarterTurns } from "./coverage.ts";
import {
  faceOnPhoto,
  farDirectionDeg,
  type ImaginedPhoto,
  imaginedOutline,
  imaginedPose,
  nearEdges,
  nearSide,
  photoCatalogue,
  pointsInFrame,
  slantDeg,
} from "./photo-catalogue.ts";
import { fewestPhotos, type SheetPhotoFacts } from "./photo-set.ts";

/**
 * Which photo of the sheet to take next. Every photo of a small catalogue is imagined on top of
 * those already taken; the one that most lowers the expected error of a 4 m distance is asked for,
 * uncovered corners first. When even the best would not help much, or the error is small enough,
 * the asking stops.
 */
export interface Guidance {
  readonly enough: boolean;
  readonly advice: Advice;
  /** The advice in English. */
  readonly text: string;
  /** Half-width, mm, of the 95 % interval at 4 m from the lens alone; null before a lens is known. */
  readonly expectedMm: number | null;
  /** The same after the photo asked for. */
  readonly afterNextMm: number | null;
  /** Photos that count, and the number below which more are asked for in any case. */
  readonly counted: number;
  readonly atLeast: number;
  /** Where features are still missing in the frame, as stored. */
  readonly missingCorners: readonly FrameCorner[];
  /** The photo asked for in pixels as stored; null where none is asked for. */
  readonly next: ImaginedPhoto | null;
  /** For a drawing: the frame as stored, the turn that shows it as the phone does, the sheet. */
  readonly frame: {
    readonly width: number;
    readonly height: number;
    /** Quarter turns clockwise. */
    readonly turns: number;
    /** Outline of the sheet in the photo asked for, px: x0 y0 .. x3 y3; empty without one. */
    readonly outline: readonly number[];
    /** Side of the outline nearest to the phone: 0 = first to second corner; null face on. */
    readonly nearSide: number | null;
  };
  /** What is wrong with the photos so far. */
  readonly remarks: readonly Remark[];
}

export interface GuidanceState {
  readonly lens: Lens;
  /** Covariance of the lens from the photos so far, 9 x 9 lensOrder, every number with a variance. */
  readonly covariance: ArrayLike<number>;
  readonly spread: Spread;
  readonly noisePx: number;
  readonly width: number;
  readonly height: number;
  readonly effect: LensEffect;
  /** The photos that count. */
  readonly photos: readonly SheetPhotoFacts[];
  readonly remarks: readonly Remark[];
}

/** Fewer photos than this tell too little about what changes from photo to photo. */
const leastPhotos = 8;
/** From here on an uncovered corner is only recommended, and little gain ends the asking. */
const manyPhotos = 12;
/** More photos than this are never asked for. */
const mostPhotos = 20;
/** Below this the lens is good enough for any job, mm at 4 m. */
export const goodEnoughMm = 0.2;
/** A photo that lowers the error by less than this share of it helps little. */
const littleGain = 0.03;
const factor95 = 1.96;

const added = (a: ArrayLike<number>, b: ArrayLike<number>): Float64Array =>
  Float64Array.from(a, (value, i) => value + b[i]);

interface WhatIf {
  readonly photo: ImaginedPhoto;
  readonly mm: number;
}

/** Expected half-width at 4 m with each photo of the catalogue added, best first. */
export const whatIf = (state: GuidanceState): WhatIf[] => {
  const { lens, width, height, spread, noisePx } = state;
  const information = invertPositive(Float64Array.from(state.covariance), lensSize);
  if (!information) return [];
  return photoCatalogue
    .flatMap((photo) => {
      const cameraFromSheet = imaginedPose(photo, lens, width, height);
      const pointsMm = pointsInFrame(cameraFromSheet, lens, width, height);
      const more = viewInformation(lens, { cameraFromSheet, pointsMm, noisePx }, spread);
      const covariance = invertPositive(added(information, more), lensSize);
      const sd = covariance && effectSd(state.effect, covariance);
      return sd === null ? [] : [{ photo, mm: factor95 * sd }];
    })
    .sort((a, b) => a.mm - b.mm);
};

/** Advice once the lens is roughly known (four photos or more). */
export const nextPhoto = (state: GuidanceState): Guidance => {
  const { photos, lens, width, height } = state;
  const sd = effectSd(state.effect, state.covariance);
  const expectedMm = sd === null ? null : factor95 * sd;
  const corners = missingCorners(photos);
  const tries = whatIf(state);
  const best =
    tries.find(({ photo }) => corners.some((corner) => photo.place === corner)) ?? tries[0];
  const code = verdict(expectedMm, photos.length, corners.length > 0, best?.mm ?? null);
  const next = code === "next-photo" ? best.photo : null;
  return {
    ...guidanceOf(code, next, photos, state.remarks),
    expectedMm,
    afterNextMm: next ? best.mm : null,
    frame: frameOf({ lens, width, height }, photos, next),
  };
};

/** Whether to go on: by the error reached, the photos taken and what the best next one would give. */
const verdict = (
  expectedMm: number | null,
  count: number,
  cornerMissing: boolean,
  bestMm: number | null,
): AdviceCode => {
  const small = expectedMm !== null && expectedMm <= goodEnoughMm && count >= leastPhotos;
  if (small && !cornerMissing) return "good-enough";
  if (small && count >= manyPhotos) return "good-enough-corner";
  if (count >= mostPhotos || bestMm === null) return "enough-photos";
  const helpsLittle = expectedMm !== null && bestMm > (1 - littleGain) * expectedMm;
  return count >= manyPhotos && !cornerMissing && helpsLittle ? "enough-photos" : "next-photo";
};

/** What the photos so far give before a lens is known. */
export interface OpeningState {
  /** Start lens; only the picture's size matters much here. */
  readonly lens: Lens;
  readonly width: number;
  readonly height: number;
  readonly photos: readonly SheetPhotoFacts[];
  /** Rough camera from sheet of each photo. */
  readonly poses: readonly Pose[];
  readonly remarks: readonly Remark[];
}

/**
 * Advice while too few photos, or none that go together, are there: first face on, then at a slant
 * over the edge of the sheet that was farthest from every phone so far.
 */
export const openingGuidance = (state: OpeningState): Guidance => {
  const { photos, remarks } = state;
  const count = photos.length;
  const unexplained =
    count >= fewestPhotos && !remarks.some(({ code }) => viewpointCodes.has(code));
  const code = count === 0 ? "first-photo" : unexplained ? "check-photos" : "next-photo";
  const next = code === "first-photo" ? faceOnPhoto : unexplained ? null : openingPhoto(state);
  return {
    ...guidanceOf(code, next, photos, remarks),
    expectedMm: null,
    afterNextMm: null,
    frame: frameOf(state, photos, next),
  };
};

/** Failures that photos from other sides mend. */
const viewpointCodes: ReadonlySet<string> = new Set([
  "no-tilt",
  "all-from-one-place",
  "too-few-photos",
]);

const openingPhoto = ({ photos, poses }: OpeningState): ImaginedPhoto => ({
  place: photos.length < 3 ? "middle" : (missingCorners(photos)[0] ?? "middle"),
  nearEdge: unseenEdge(poses),
  turned: 2 * poses.filter(liesOnItsSide).length < poses.length,
  tiltDeg: slantDeg,
});

/** Whether the sheet's rows run rather up and down in the picture. */
const liesOnItsSide = ({ R }: Pose): boolean => Math.abs(R[3]) > Math.abs(R[0]);

/** Tilts below this leave the direction of the tilt too uncertain, degrees. */
const faceOnDeg = 12;

/** The edge over which no photo looked yet: farthest in direction from all photos at a slant. */
const unseenEdge = (poses: readonly Pose[]) => {
  const seen = poses
    .filter((pose) => tiltDegrees(pose) >= faceOnDeg)
    .map(({ R }) => degrees(Math.atan2(R[5], R[2])));
  const gap = (edge: (typeof nearEdges)[number]): number =>
    Math.min(...seen.map((at) => betweenDirections(farDirectionDeg[edge], at)), 180);
  return nearEdges.reduce((best, edge) => (gap(edge) > gap(best) + 1 ? edge : best));
};

/**
 * The guidance for the present photos: the advice as data and in words, with what it was derived from.
 * `next` is the catalogue's photo that is asked for, null where the advice names none.
 */
const guidanceOf = (
  code: AdviceCode,
  next: ImaginedPhoto | null,
  photos: readonly SheetPhotoFacts[],
  remarks: readonly Remark[],
) => {
  const turns = quarterTurns(photos);
  const corners = missingCorners(photos);
  const advice: Advice = {
    code,
    photo: next && photoAsShown(next, turns),
    corners: corners.map((corner) => cornerAsShown(corner, turns)),
  };
  return {
    enough: code.startsWith("good-enough") || code === "enough-photos",
    advice,
    text: adviceText(advice),
    counted: photos.length,
    atLeast: leastPhotos,
    missingCorners: corners,
    next,
    remarks,
  };
};

const frameOf = (
  { lens, width, height }: { lens: Lens; width: number; height: number },
  photos: readonly SheetPhotoFacts[],
  next: ImaginedPhoto | null,
): Guidance["frame"] => ({
  width,
  height,
  turns: quarterTurns(photos),
  outline: next ? imaginedOutline(next, lens, width, height) : [],
  nearSide: next && nearSide(next),
});

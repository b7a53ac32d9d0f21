import { sheetCorners, sheetSquareMm } from "../../boards/sheet.ts";
import { type FrameCorner, missingCorners } from "../../camera/coverage.ts";
import { type Lens, lensSize, project } from "../../camera/lens.ts";
import { alikeRemarks, type SheetPhotoFacts } from "../../camera/photo-set.ts";
import {
  expRotation,
  type Mat3,
  matMul,
  type Pose,
  transform,
  type Vec3,
} from "../../geometry/pose.ts";
import { invertPositive } from "../../numerics/dense.ts";
import type { Remark } from "../../photo/remark.ts";
import { effectSd, type LensEffect } from "./lens-effect.ts";
import { type Spread, viewInformation } from "./view-information.ts";

/**
 * Which photo of the sheet to take next. Every photo of a small catalogue is imagined on top of
 * those already taken; the one that most lowers the expected error of a 4 m distance is asked for.
 * When even the best would not help much, or the error is small enough, the asking stops.
 */

export interface ImaginedPhoto {
  readonly code: string;
  /** "with the sheet in the top left of the picture, seen from the right at a slant" */
  readonly words: string;
  readonly tiltDeg: number;
  /** Direction in the picture towards which the sheet's far side lies, degrees from x to y. */
  readonly towardsDeg: number;
  readonly rollDeg: number;
  /** Place of the sheet's centre, -1..1 of the half frame. */
  readonly x: number;
  readonly y: number;
}

const places: readonly { readonly words: string; readonly x: number; readonly y: number }[] = [
  { words: "the middle", x: 0, y: 0 },
  { words: "the top left", x: -0.45, y: -0.4 },
  { words: "the top right", x: 0.45, y: -0.4 },
  { words: "the bottom right", x: 0.45, y: 0.4 },
  { words: "the bottom left", x: -0.45, y: 0.4 },
];

/** Where the phone stands as seen from the sheet's picture: opposite to the far side. */
const standpoints: readonly { readonly words: string; readonly towardsDeg: number }[] = [
  { words: "from the left", towardsDeg: 0 },
  { words: "from above", towardsDeg: 90 },
  { words: "from the right", towardsDeg: 180 },
  { words: "from below", towardsDeg: 270 },
];

const slantDeg = 35;

export const photoCatalogue: readonly ImaginedPhoto[] = places.flatMap((place) =>
  standpoints.flatMap((stand) =>
    [0, 90].map((rollDeg) => ({
      code: `${place.words}, ${stand.words}, ${rollDeg}`,
      words: `with the sheet ${rollDeg === 0 ? "upright" : "on its side"} in ${place.words} of the picture, seen ${stand.words} at a slant of about ${slantDeg} degrees`,
      tiltDeg: slantDeg,
      towardsDeg: stand.towardsDeg,
      rollDeg,
      x: place.x,
      y: place.y,
    })),
  ),
);

const radian = Math.PI / 180;
const faceOn: Mat3 = [1, 0, 0, 0, -1, 0, 0, 0, -1];

/** Camera from sheet of an imagined photo, so far away that the sheet's length is 0.62 of the frame. */
export const imaginedPose = (
  photo: ImaginedPhoto,
  lens: Lens,
  width: number,
  height: number,
): Pose => {
  const length = sheetSquareMm * 10;
  const distance = (lens.fx * length) / (0.62 * Math.max(width, height));
  const across = (photo.towardsDeg - 90) * radian;
  const slant: Vec3 = [Math.cos(across), Math.sin(across), 0];
  const angle = photo.tiltDeg * radian;
  const turn = expRotation([slant[0] * angle, slant[1] * angle, 0]);
  const roll = expRotation([0, 0, photo.rollDeg * radian]);
  return {
    R: matMul(turn, matMul(roll, faceOn)),
    t: [
      (photo.x * (width / 2) * distance) / lens.fx,
      (photo.y * (height / 2) * distance) / lens.fy,
      distance,
    ],
  };
};

/** The sheet's crossings, mm, that an imagined photo would show inside the frame. */
export const pointsInFrame = (
  cameraFromSheet: Pose,
  lens: Lens,
  width: number,
  height: number,
): number[] =>
  sheetCorners.flatMap(({ x, y }) => {
    const [X, Y] = [x * sheetSquareMm, y * sheetSquareMm];
    const pixel = project(lens, transform(cameraFromSheet, [X, Y, 0]));
    const inside =
      pixel !== null &&
      pixel[0] > 10 &&
      pixel[1] > 10 &&
      pixel[0] < width - 11 &&
      pixel[1] < height - 11;
    return inside ? [X, Y] : [];
  });

export interface GuidanceState {
  readonly lens: Lens;
  /** Covariance of the lens from the photos so far, 9 x 9 lensOrder, every number with a variance. */
  readonly covariance: ArrayLike<number>;
  readonly spread: Spread;
  readonly noisePx: number;
  readonly width: number;
  readonly height: number;
  readonly effect: LensEffect;
  readonly photos: readonly SheetPhotoFacts[];
}

export interface Guidance {
  readonly enough: boolean;
  /** Half-width, mm, of the 95 % interval at 4 m from the lens alone; null before four photos. */
  readonly expectedMm: number | null;
  /** The same after the photo asked for. */
  readonly afterNextMm: number | null;
  /** Where features are still missing in the frame. */
  readonly missingCorners: readonly FrameCorner[];
  readonly next: ImaginedPhoto | null;
  /** One or two sentences for the screen. */
  readonly text: string;
  /** What is wrong with the photos so far. */
  readonly remarks: readonly Remark[];
}

/** Fewer photos than this tell too little about what changes from photo to photo. */
export const leastPhotos = 8;
/** More photos than this are never asked for. */
export const mostPhotos = 20;
/** Below this the lens is good enough for any job, mm at 4 m. */
export const goodEnoughMm = 0.2;
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

const millimetres = (mm: number): string => `${mm < 0.095 ? "under 0.1" : mm.toFixed(1)} mm`;

/** Advice for the next photo once the lens is roughly known (four photos or more). */
export const nextPhoto = (state: GuidanceState): Guidance => {
  const sd = effectSd(state.effect, state.covariance);
  const expectedMm = sd === null ? null : factor95 * sd;
  const corners = missingCorners(state.photos);
  const tries = whatIf(state);
  const best =
    tries.find(({ photo }) => corners.some((corner) => photo.words.includes(corner))) ?? tries[0];
  const small =
    expectedMm !== null &&
    expectedMm <= goodEnoughMm &&
    corners.length === 0 &&
    state.photos.length >= leastPhotos;
  const enough = small || state.photos.length >= mostPhotos || !best;
  const known = expectedMm === null ? "" : `The lens adds about ${millimetres(expectedMm)} at 4 m.`;
  const text = enough
    ? `${known} ${small ? "That is good enough; no more photos are needed." : "More photos would help little; the camera step can end here."}`
    : `${known} Next photo: ${best.photo.words}.`;
  return {
    enough,
    expectedMm,
    afterNextMm: enough ? null : best.mm,
    missingCorners: corners,
    next: enough ? null : best.photo,
    text: text.trim(),
    remarks: alikeRemarks(state.photos),
  };
};

/** Fixed advice for the first photos, before anything can be computed. */
const opening: readonly string[] = [
  "Lay the sheet flat in good light. First photo: the whole sheet, straight on, filling most of the picture.",
  "Second photo: step to the left and look at the sheet at a slant of about 35 degrees.",
  "Third photo: the same from the right, with the phone turned on its side.",
  "Fourth photo: at a slant from below, with the sheet in the top left of the picture.",
];

export const openingGuidance = (
  photos: readonly SheetPhotoFacts[],
  remarks: readonly Remark[],
): Guidance => ({
  enough: false,
  expectedMm: null,
  afterNextMm: null,
  missingCorners: missingCorners(photos),
  next: null,
  text: opening[Math.min(photos.length, opening.length - 1)],
  remarks: [...alikeRemarks(photos), ...remarks],
});

import { fitHomography, type Homography } from "../maths/homography.ts";
import type { ExifFacts } from "../photo/exif/exif-facts.ts";
import type { Lens } from "./lens.ts";

/** A lens to start an adjustment from, and how far its focal length may be off. */
export interface StartLens {
  readonly lens: Lens;
  /** Relative standard deviation of the focal length. */
  readonly focalSd: number;
  readonly from: "sheet geometry" | "EXIF" | "common phone";
}

const centredLens = (focalPx: number, width: number, height: number): Lens => ({
  fx: focalPx,
  fy: focalPx,
  cx: (width - 1) / 2,
  cy: (height - 1) / 2,
  k1: 0,
  k2: 0,
  p1: 0,
  p2: 0,
  k3: 0,
});

/** Diagonal of the 36 x 24 mm frame, mm. */
const fullFrameDiagonal = Math.hypot(36, 24);

/**
 * Focal length from the EXIF's 35 mm equivalent, by the picture's diagonal. The number is a whole
 * millimetre, and some makers go by the width instead (4 % at 4:3): 3 % standard deviation, common
 * practice, no source. Null where the EXIF does not say.
 */
export const lensFromExif = (
  exif: ExifFacts | null,
  width: number,
  height: number,
): StartLens | null => {
  const equivalent = exif?.focalLength35mm;
  if (!equivalent || equivalent < 8 || equivalent > 400) return null;
  const focal = (equivalent * Math.hypot(width, height)) / fullFrameDiagonal;
  return { lens: centredLens(focal, width, height), focalSd: 0.03, from: "EXIF" };
};

export interface PlaneView {
  /** x0 y0 .., any unit. */
  readonly boardPoints: ArrayLike<number>;
  readonly pixels: ArrayLike<number>;
}

/**
 * Focal length from photos of a plane without any other knowledge: Zhang's two equations per
 * homography (IEEE TPAMI 22(11), 2000, eq. 3 and 4) with square pixels and the principal point at
 * the picture's centre. The one unknown left is f^2, and the equations are linear in it; they are
 * fitted in the sense a = b f^2 because noise and distortion sit in a.
 * Null where no photo is tilted enough to say.
 */
export const focalFromPlanes = (
  views: readonly PlaneView[],
  width: number,
  height: number,
): number | null => {
  let product = 0;
  let square = 0;
  for (const view of views) {
    const h = fitHomography(view.boardPoints, view.pixels);
    if (!h) continue;
    for (const [a, b] of focalEquations(h, (width - 1) / 2, (height - 1) / 2)) {
      product += a * b;
      square += b * b;
    }
  }
  const focal = Math.sqrt(product / square);
  const diagonal = Math.hypot(width, height);
  return focal > 0.3 * diagonal && focal < 10 * diagonal ? focal : null;
};

/**
 * The two equations a = b f^2 of one homography, scaled so that a face-on photo, which says
 * nothing, has a = b = 0.
 */
const focalEquations = (h: Homography, cx: number, cy: number): [number, number][] => {
  const axis = (k: number): [number, number, number] => [
    h[k] - cx * h[6 + k],
    h[3 + k] - cy * h[6 + k],
    h[6 + k],
  ];
  const [p, q] = [axis(0), axis(1)];
  const scale = (Math.hypot(p[0], p[1]) + Math.hypot(q[0], q[1])) / 2;
  if (!(scale > 0)) return [];
  const [u, v] = [p.map((c) => c / scale), q.map((c) => c / scale)];
  return [
    [u[0] * v[0] + u[1] * v[1], -u[2] * v[2]],
    [u[0] ** 2 + u[1] ** 2 - v[0] ** 2 - v[1] ** 2, v[2] ** 2 - u[2] ** 2],
  ];
};

/** Start lens of the camera step: the sheet's own geometry, else the EXIF, else 26 mm equivalent. */
export const startLens = (
  views: readonly PlaneView[],
  exif: ExifFacts | null,
  width: number,
  height: number,
): StartLens => {
  const focal = focalFromPlanes(views, width, height);
  if (focal !== null)
    return { lens: centredLens(focal, width, height), focalSd: 0.1, from: "sheet geometry" };
  const exifLens = lensFromExif(exif, width, height);
  if (exifLens) return exifLens;
  const common = (26 * Math.hypot(width, height)) / fullFrameDiagonal;
  return { lens: centredLens(common, width, height), focalSd: 0.3, from: "common phone" };
};

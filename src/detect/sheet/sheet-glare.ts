import { sheetMarkers } from "../../boards/sheet.ts";
import { applyHomography, type Homography, homographyJacobian } from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";

// All numbers here are our own; no source.

/** Grey value (0 to 255) from which paper and print are both burnt out. */
const burntGrey = 250;
/** Share of white pixels from which no print is visible: more than half of a marker is black. */
const burntShare = 0.8;
/** Half side of the patch looked at, in squares: within the marker. */
const reach = 0.35;
/** Samples from the middle to the rim of the patch. */
const steps = 4;

/**
 * How many of the sheet's missing markers lie in pure white inside the picture: a lamp mirrored in
 * glossy paper. `found` holds the ids of the others.
 */
export function burntMarkers(
  image: LumaImage,
  found: ReadonlySet<number>,
  homography: Homography,
  map: PlaneMap,
): number {
  return sheetMarkers.filter(
    ({ id, x, y }) => !found.has(id) && isBurnt(image, homography, map, x, y),
  ).length;
}

function isBurnt(
  { data, width, height }: LumaImage,
  homography: Homography,
  map: PlaneMap,
  x: number,
  y: number,
): boolean {
  const [a, b, c, d] = homographyJacobian(homography, x, y);
  const [u, v] = map.fromPlane(...applyHomography(homography, x, y));
  let white = 0;
  let seen = 0;
  for (let i = -steps; i <= steps; i++)
    for (let j = -steps; j <= steps; j++) {
      const [dx, dy] = [(reach * i) / steps, (reach * j) / steps];
      const column = Math.round(u + a * dx + b * dy);
      const row = Math.round(v + c * dx + d * dy);
      if (column < 0 || row < 0 || column >= width || row >= height) return false;
      seen++;
      if (data[row * width + column] >= burntGrey) white++;
    }
  return white >= burntShare * seen;
}

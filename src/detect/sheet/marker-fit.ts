import { tagOutline } from "../../boards/pattern.ts";
import { sheetMarkers } from "../../boards/sheet.ts";
import { fitHomography } from "../../maths/homography.ts";
import { upperMedian } from "../../maths/median.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import { outlineOf, type PlaneMap } from "../picture/plane-map.ts";
import {
  centreOfFit,
  fitPattern,
  greyContrast,
  newPatternWorkspace,
  type PatternWorkspace,
  showsPrint,
} from "../print-fit/print-fit.ts";
import { fitSmoothMap, type SmoothFit } from "./smooth-map.ts";

/** A marker of the camera sheet where its outline was found. */
export interface SeenMarker {
  readonly id: number;
  readonly corners: Float64Array;
  readonly blurPx: number;
}

/** A marker placed by its whole pattern. */
export interface PlacedMarker {
  readonly id: number;
  /** Centre, px, and its standard deviation per coordinate. */
  readonly x: number;
  readonly y: number;
  readonly sigmaPx: number;
  readonly blurPx: number;
  readonly contrast: number;
}

/** A marker that was not found is tried only where its corners are so far inside the picture, px. */
const edgePx = 2;

const outlineOfId = new Map(sheetMarkers.map(({ id, corners }) => [id, corners]));

/**
 * Centres of the sheet's markers, each from a fit of its whole pattern. No lens is needed: a smooth
 * map from all outlines straightens the neighbourhood of each marker, and what that map leaves
 * of the lens's distortion changes little over one marker. Markers that were not found are tried where that map puts
 * them. Empty where the outlines do not agree on one flat sheet.
 */
export function placeMarkers(image: LumaImage, seen: readonly SeenMarker[]): PlacedMarker[] {
  const known = seen.filter(({ id }) => outlineOfId.has(id));
  const smooth = fitSmoothMap(
    known.flatMap(({ id }) => outlineOfId.get(id) ?? []),
    known.flatMap(({ corners }) => [...corners]),
    image.width,
    image.height,
  );
  if (!smooth) return [];
  const work = newPatternWorkspace();
  return [...known, ...unseenMarkers(image, known, smooth)].flatMap(
    (marker) => placeMarker(image, marker, smooth.map, work) ?? [],
  );
}

function unseenMarkers(
  { width, height }: LumaImage,
  known: readonly SeenMarker[],
  { homography, map }: SmoothFit,
): SeenMarker[] {
  const found = new Set(known.map(({ id }) => id));
  const blurPx = upperMedian(known.map((marker) => marker.blurPx))!;
  return sheetMarkers.flatMap(({ id, corners: outline }) => {
    if (found.has(id)) return [];
    const corners = outlineOf(homography, outline, map);
    const inside = corners.every(
      (c, i) => c > edgePx && c < (i % 2 === 0 ? width : height) - 1 - edgePx,
    );
    return inside ? [{ id, corners, blurPx }] : [];
  });
}

function placeMarker(
  image: LumaImage,
  { id, corners, blurPx }: SeenMarker,
  map: PlaneMap,
  work: PatternWorkspace,
): PlacedMarker | null {
  const homography = fitHomography(tagOutline, map.toPlane(corners));
  if (!homography) return null;
  const fit = fitPattern(image, { id, fit: { homography, blurPx }, kind: "marker" }, map, work);
  if (!fit || !showsPrint(fit)) return null;
  const contrast = greyContrast(fit.state);
  const [xx, , yy] = fit.state.blur;
  return { id, ...centreOfFit(fit, map), blurPx: Math.sqrt((xx + yy) / 2), contrast };
}

import { tagCells } from "../../boards/pattern.ts";
import { sheetMarkerBitCells, sheetMarkers, sheetOutline } from "../../boards/sheet.ts";
import { upperMedian } from "../../maths/median.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import { type BoardView, sheetId } from "../findings/findings.ts";
import { outlineOf, type PlaneMap } from "../picture/plane-map.ts";
import { judgeBoard, meanCellPx, obliquity } from "../quality/quality.ts";
import { refineTagEdges } from "../ring/tag-edges.ts";
import type { FoundTag } from "../tags/tag-finder.ts";
import { type PlacedMarker, placeMarkers, type SeenMarker } from "./marker-fit.ts";
import { burntMarkers } from "./sheet-glare.ts";
import { fitSmoothMap } from "./smooth-map.ts";

const centreOfId = new Map(sheetMarkers.map(({ id, x, y }) => [id, [x, y] as const]));
/** Fewest markers that count as a sight of the sheet. Our own, no source. */
const minMarkers = 9;
/**
 * Smallest standard deviation of a marker's centre, px, for what its own fit cannot know: small bends
 * of the paper, the local shape of the lens's distortion. Our own, no source.
 */
const leastSigmaPx = 0.005;
/** Blur of a marker whose edges could not be read, px. Our own, no source. */
const usualBlurPx = 1;

/** The camera sheet: centres of all markers that are visible. Null when too little is visible. */
export function findSheet(
  image: LumaImage,
  tags: readonly FoundTag[],
  map: PlaneMap,
): BoardView | null {
  const placed = placeMarkers(image, seenMarkers(image, tags));
  return placed.length < minMarkers ? null : sheetView(image, placed, map);
}

function seenMarkers(image: LumaImage, tags: readonly FoundTag[]): SeenMarker[] {
  const count = new Map<number, number>();
  for (const { id } of tags) count.set(id, (count.get(id) ?? 0) + 1);
  return tags.flatMap(({ id, corners }) => {
    if (!centreOfId.has(id) || count.get(id) !== 1) return [];
    const side = Math.hypot(corners[2] - corners[0], corners[3] - corners[1]);
    const edges = refineTagEdges(image, corners, side / tagCells);
    const outline = edges?.corners ?? Float64Array.from(corners);
    return [{ id, corners: outline, blurPx: edges?.blurPx ?? usualBlurPx }];
  });
}

function sheetView(
  image: LumaImage,
  placed: readonly PlacedMarker[],
  map: PlaneMap,
): BoardView | null {
  const points = (markers: readonly PlacedMarker[]) =>
    markers.flatMap(({ id }) => centreOfId.get(id) ?? []);
  const pixels = (markers: readonly PlacedMarker[]) => markers.flatMap(({ x, y }) => [x, y]);
  const { width, height } = image;
  const fit = fitSmoothMap(points(placed), map.toPlane(pixels(placed)), width, height);
  if (!fit) return null;
  const kept = fit.keep.map((i) => placed[i]);
  const variance = kept.reduce((sum, { sigmaPx }) => sum + sigmaPx * sigmaPx, 0) / kept.length;
  const quality = judgeBoard({
    // Grade by the marker's cells, which are comparable with a board's.
    cellPx: meanCellPx(fit.homography) * sheetMarkerBitCells,
    obliquityDeg: obliquity(fit.homography, map.lens, width, height),
    blurPx: upperMedian(kept.map(({ blurPx }) => blurPx))!,
    contrast: upperMedian(kept.map(({ contrast }) => contrast))!,
    coveredShare: 1 - kept.length / sheetMarkers.length,
    residualPx: fit.residualPx,
    burntShare: 0,
    sagittaShare: 0,
    blurRatio: 1,
    lightRatio: 1,
  });
  const found = new Set(kept.map(({ id }) => id));
  return {
    id: sheetId,
    boardPoints: Float64Array.from(points(kept)),
    pixels: Float64Array.from(pixels(kept)),
    noise: { kind: "isotropic", sigmaPx: Math.max(leastSigmaPx, Math.sqrt(variance)) },
    outline: outlineOf(fit.homography, sheetOutline, map),
    quality: { ...quality, burntFeatures: burntMarkers(image, found, fit.homography, map) },
  };
}

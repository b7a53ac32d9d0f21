import { sheetCorners, sheetMarkerBitCells, sheetMarkers, sheetOutline } from "../boards/sheet.ts";
import type { LumaImage } from "../photo/luma.ts";
import { fitCrossing } from "./crossing-fit.ts";
import { type BoardView, sheetId } from "./findings.ts";
import { applyHomography, fitHomography, homographyJacobian } from "./homography.ts";
import { outlineOf, type PlaneMap } from "./plane-map.ts";
import { judgeBoard, meanCellPx, obliquity } from "./quality.ts";
import { refineSaddle } from "./saddle.ts";
import { burntCrossings } from "./sheet-glare.ts";
import { fitSmoothMap } from "./smooth-map.ts";
import { refineTagEdges } from "./tag-edges.ts";
import type { FoundTag } from "./tag-finder.ts";

const markerOfId = new Map(sheetMarkers.map((marker) => [marker.id, marker]));
/** Half window about a crossing, in squares: the markers begin 0.13 squares from it. */
const window = 0.115;
/** Fewest crossings of the sheet that are worth handing on. */
const minSheetCorners = 12;
/** Markers next to a crossing that predict it; a local map follows the lens where none is known. */
const neighbours = 6;

interface SeenMarker {
  readonly x: number;
  readonly y: number;
  readonly board: readonly number[];
  readonly pixels: Float64Array;
  readonly blurPx: number;
}

/**
 * The camera sheet: every crossing of its squares that is visible, as a saddle point. Each is
 * predicted from the nearest markers, so no lens is needed. Null when too little is visible.
 */
export function findSheet(
  image: LumaImage,
  tags: readonly FoundTag[],
  map: PlaneMap,
): BoardView | null {
  const markers = seenMarkers(image, tags);
  if (markers.length < 4) return null;
  const board: number[] = [];
  const pixels: number[] = [];
  const contrasts: number[] = [];
  const blurs: number[] = [];
  for (const corner of sheetCorners) {
    const near = [...markers]
      .sort((a, b) => gap(a, corner) - gap(b, corner))
      .slice(0, neighbours)
      .filter((m) => gap(m, corner) < 2.6);
    if (near.length < 2) continue;
    const h = fitHomography(
      near.flatMap((m) => m.board),
      near.flatMap((m) => [...m.pixels]),
    );
    if (!h) continue;
    const [x, y] = applyHomography(h, corner.x, corner.y);
    const [a, b, c, d] = homographyJacobian(h, corner.x, corner.y);
    const frame = { ux: a, uy: c, vx: -b, vy: -d };
    const coarse = refineSaddle(image, x, y, frame, 0.1, corner.polarity);
    if (!coarse) continue;
    const blur = near[0].blurPx;
    const fine = fitCrossing(image, coarse.x, coarse.y, frame, window, corner.polarity, blur);
    if (!fine) continue;
    board.push(corner.x, corner.y);
    pixels.push(fine.x, fine.y);
    contrasts.push(fine.contrast);
    blurs.push(fine.blurPx);
  }
  if (contrasts.length < minSheetCorners) return null;
  return sheetView(image, board, pixels, contrasts, map, median(blurs));
}

const gap = (m: { x: number; y: number }, corner: { x: number; y: number }): number =>
  Math.hypot(m.x - corner.x, m.y - corner.y);

function seenMarkers(image: LumaImage, tags: readonly FoundTag[]): SeenMarker[] {
  const seen: SeenMarker[] = [];
  const twice = new Set<number>();
  const ids = new Set<number>();
  for (const tag of tags) (ids.has(tag.id) ? twice : ids).add(tag.id);
  for (const tag of tags) {
    const marker = markerOfId.get(tag.id);
    if (!marker || twice.has(tag.id)) continue;
    const side = Math.hypot(tag.corners[2] - tag.corners[0], tag.corners[3] - tag.corners[1]);
    const edges = refineTagEdges(image, tag.corners, side / 8);
    seen.push({
      x: marker.x,
      y: marker.y,
      board: marker.corners,
      pixels: edges?.corners ?? tag.corners,
      blurPx: edges?.blurPx ?? 1,
    });
  }
  return seen;
}

function sheetView(
  image: LumaImage,
  board: number[],
  pixels: number[],
  contrasts: readonly number[],
  map: PlaneMap,
  blurPx: number,
): BoardView | null {
  const fit = fitSmoothMap(board, map.toPlane(pixels), image.width, image.height);
  if (!fit) return null;
  const boardPoints = Float64Array.from(fit.keep.flatMap((i) => board.slice(2 * i, 2 * i + 2)));
  const quality = judgeBoard({
    // Grade by the marker's cells, which are comparable with a board's.
    cellPx: meanCellPx(fit.homography) * sheetMarkerBitCells,
    obliquityDeg: obliquity(fit.homography, map.lens, image.width, image.height),
    blurPx,
    contrast: median(contrasts),
    coveredShare: 1 - fit.keep.length / sheetCorners.length,
    residualPx: fit.residualPx,
    burntShare: 0,
    blurRatio: 1,
    lightRatio: 1,
  });
  return {
    id: sheetId,
    boardPoints,
    pixels: Float64Array.from(fit.keep.flatMap((i) => pixels.slice(2 * i, 2 * i + 2))),
    noise: { kind: "isotropic", sigmaPx: Math.max(0.02, fit.residualPx) },
    outline: outlineOf(fit.homography, sheetOutline, map),
    quality: {
      ...quality,
      burntFeatures: burntCrossings(image, boardPoints, fit.homography, map),
    },
  };
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[values.length >> 1];

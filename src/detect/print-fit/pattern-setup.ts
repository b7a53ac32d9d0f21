import { invertHomography } from "../../maths/homography.ts";
import { upperMedian } from "../../maths/median.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import { outlineOf, type PlaneMap } from "../picture/plane-map.ts";
import { greyAt } from "../picture/sampling.ts";
import { type StraightPatch, straightPatch } from "../picture/straight-patch.ts";
import { lightOfGrey } from "../picture/tone.ts";
import type { RingFit } from "../ring/ring-fit.ts";
import type { PassInput } from "./pattern-pass.ts";
import {
  gridFromPlaneOf,
  type PatternGeometry,
  type PatternState,
  placeCrossings,
  softRadii,
} from "./pattern-state.ts";
import { crossingsOf, type PrintKind } from "./print/pattern-cells.ts";

/** A print with a map that is near, from its ring or its outline. */
export interface PrintToFit {
  readonly id: number;
  readonly fit: Pick<RingFit, "homography" | "blurPx">;
  readonly kind?: PrintKind;
}

/** Half side of the square that is looked at, cells; white paper surrounds a print so far. */
const halfSide = { board: 7.6, marker: 4.6 } as const;

/** A print, the part of the photo that shows it, and the state from which its fit starts. */
export interface Setup {
  readonly print: Required<PrintToFit>;
  readonly state: PatternState;
  readonly geometry: PatternGeometry;
  readonly patch: StraightPatch;
  readonly map: PlaneMap;
  readonly input: PassInput;
  /** Pixels inside the board. */
  readonly area: number;
}

/** Start of a fit from a map that is near; null where the print is too small or too faint. */
export function setUp(
  image: LumaImage,
  print: Required<PrintToFit>,
  map: PlaneMap,
  geometry: PatternGeometry,
): Setup | null {
  const { fit } = print;
  const h = fit.homography;
  const half = halfSide[print.kind];
  const outline = outlineOf(h, [-half, half, half, half, half, -half, -half, -half], map);
  const xs = [outline[0], outline[2], outline[4], outline[6]];
  const ys = [outline[1], outline[3], outline[5], outline[7]];
  const box = [
    Math.max(0, Math.floor(Math.min(...xs))),
    Math.max(0, Math.floor(Math.min(...ys))),
    Math.min(image.width - 1, Math.ceil(Math.max(...xs))),
    Math.min(image.height - 1, Math.ceil(Math.max(...ys))),
  ] as const;
  const [cx, cy] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  const scale = Math.max(box[2] - box[0], box[3] - box[1]) / 2;
  if (!(scale > 8)) return null;
  const patch = straightPatch(map, cx, cy, scale);
  const gridFromPlane = gridFromPlaneOf(h, patch);
  geometry.crossings = crossingsOf[print.kind];
  geometry.gridFromPlane = gridFromPlane;
  placeCrossings(geometry, patch, map);
  const levels = greyLevels(image, geometry, patch, map);
  if (!levels) return null;
  const sigma2 = Math.min(9, Math.max(0.36, fit.blurPx * fit.blurPx - 0.25));
  const state: PatternState = {
    gridFromPlane,
    blur: Float64Array.of(sigma2, 0, sigma2),
    tone: new Float64Array(2),
    sharpening: 0,
    softRadiusPx: softRadii.fine,
    gain: Float64Array.of(levels.white - levels.black, 0, 0, 0, 0, 0),
    offset: Float64Array.of(levels.black, 0, 0),
    bend: new Float64Array(3),
  };
  const rim = [cx - (map.lens?.cx ?? image.width / 2), cy - (map.lens?.cy ?? image.height / 2)];
  geometry.towardsRim.set(rim.map((d) => d / Math.max(1, Math.hypot(...rim))));
  geometry.sight = null;
  geometry.localLight = null;
  geometry.bend = state.bend;
  let area = 0;
  for (let k = 0; k < 4; k++) {
    const m = (k + 1) % 4;
    area += (xs[k] * ys[m] - xs[m] * ys[k]) / 2;
  }
  return {
    print,
    state,
    geometry,
    patch,
    map,
    input: { box, outline, patch, gridFromPlane, tiles: geometry },
    area: Math.abs(area),
  };
}

/** Median light of the white ring's and the tag border's cell middles. */
function greyLevels(
  image: LumaImage,
  geometry: PatternGeometry,
  patch: StraightPatch,
  map: PlaneMap,
): { black: number; white: number } | null {
  const planeFromGrid = invertHomography(geometry.gridFromPlane);
  const level = (row: number, from: number): number => {
    const values: number[] = [];
    for (let k = from; k < 14 - from; k++)
      for (const [u, v] of [
        [k + 0.5, row + 0.5],
        [k + 0.5, 13.5 - row],
        [row + 0.5, k + 0.5],
        [13.5 - row, k + 0.5],
      ]) {
        const w = planeFromGrid[6] * u + planeFromGrid[7] * v + 1;
        const X = (planeFromGrid[0] * u + planeFromGrid[1] * v + planeFromGrid[2]) / w;
        const Y = (planeFromGrid[3] * u + planeFromGrid[4] * v + planeFromGrid[5]) / w;
        const [px, py] = map.fromPlane(patch.cx + patch.scale * X, patch.cy + patch.scale * Y);
        const grey = greyAt(image, px, py);
        if (Number.isFinite(grey)) values.push(grey);
      }
    return upperMedian(values) ?? 0;
  };
  const black = lightOfGrey(level(3, 3));
  const white = lightOfGrey(level(2, 2));
  return white > black ? { black, white } : null;
}

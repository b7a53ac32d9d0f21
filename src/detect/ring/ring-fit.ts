import { ringSaddles, tagOutline } from "../../boards/pattern.ts";
import {
  applyHomography,
  fitHomography,
  type Homography,
  homographyJacobian,
} from "../../maths/homography.ts";
import { upperMedian } from "../../maths/median.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { fineSaddle, refineSaddle, roughSaddle, type SaddleEffort } from "./saddle.ts";
import { refineTagEdges } from "./tag-edges.ts";

/** A crossing of the print to look for: board frame (cells), polarity as in the saddle list. */
export interface Crossing {
  readonly x: number;
  readonly y: number;
  readonly polarity: 1 | -1;
}

/** Crossings found in the photo and the map that they agree on. */
export interface CrossingFit {
  /** Board (cells, y up) to undistorted pixels. */
  readonly homography: Homography;
  /** Indices into the list of crossings that agree. */
  readonly used: readonly number[];
  /** Found pixels x0 y0 .. of the used crossings. */
  readonly pixels: Float64Array;
  /** How many crossings show the right pattern, agreeing or not. */
  readonly seen: number;
  /** Root mean square of the used residuals per coordinate, freed from the fitted dof, px. */
  readonly residualPx: number;
  readonly contrast: number;
}

export interface RingFit extends CrossingFit {
  readonly blurPx: number;
}

/** A tag together with the ring that proves it. */
export interface ProvenBoard {
  readonly id: number;
  readonly fit: RingFit;
}

/** Least number of agreeing crossings of the ring (48) that prove a board. */
const minRingCrossings = 12;

/** The whole pattern's fit improves on the ring, which therefore only has to be near. */
const ringSaddle: SaddleEffort = { ...fineSaddle, tolerancePx: 0.01 };

/** Finds the ring around a tag, or null where there is none: then the tag is not one of our boards. */
export function fitRing(
  image: LumaImage,
  tagCorners: ArrayLike<number>,
  map: PlaneMap,
): RingFit | null {
  const cellPx = Math.sqrt(Math.abs(quadArea(tagCorners))) / 8;
  const edges = refineTagEdges(image, tagCorners, cellPx);
  const corners = edges?.corners ?? tagCorners;
  const start = fitHomography(tagOutline, map.toPlane(corners));
  if (!start) return null;
  const fit = fitCrossings(image, ringSaddles, start, map, 0.5);
  if (!fit || fit.used.length < minRingCrossings) return null;
  return { ...fit, blurPx: edges?.blurPx ?? 1 };
}

/**
 * Start for a whole-pattern fit from the tag alone, where blur or a flat angle leaves too few of the
 * ring's crossings: no crossing is `used`, so the pattern fit itself has to prove the board.
 */
export function startFromTag(
  image: LumaImage,
  tagCorners: ArrayLike<number>,
  map: PlaneMap,
): RingFit | null {
  const cellPx = Math.sqrt(Math.abs(quadArea(tagCorners))) / 8;
  const edges = refineTagEdges(image, tagCorners, cellPx);
  const homography = fitHomography(tagOutline, map.toPlane(edges?.corners ?? tagCorners));
  if (!homography) return null;
  return {
    homography,
    used: [],
    pixels: new Float64Array(0),
    seen: 0,
    residualPx: Number.NaN,
    contrast: edges ? edges.white - edges.black : 0,
    blurPx: edges?.blurPx ?? 1.5,
  };
}

/**
 * Refines crossings from a first guess of the map, then again from the map that they agree on (the
 * guess reaches outward from the tag, so its error grows towards the ring).
 */
export function fitCrossings(
  image: LumaImage,
  crossings: readonly Crossing[],
  start: Homography,
  map: PlaneMap,
  halfWindow: number,
): CrossingFit | null {
  const first = oneRound(image, crossings, start, map, halfWindow, roughSaddle);
  return first && oneRound(image, crossings, first.homography, map, halfWindow, ringSaddle);
}

function oneRound(
  image: LumaImage,
  crossings: readonly Crossing[],
  guess: Homography,
  map: PlaneMap,
  halfWindow: number,
  effort: SaddleEffort,
): CrossingFit | null {
  const found: number[] = [];
  const pixels: number[] = [];
  const contrasts: number[] = [];
  crossings.forEach((crossing, index) => {
    const [px, py] = applyHomography(guess, crossing.x, crossing.y);
    const [x, y] = map.fromPlane(px, py);
    const [a, b, c, d] = homographyJacobian(guess, crossing.x, crossing.y);
    const frame = { ux: a, uy: c, vx: -b, vy: -d };
    const saddle = refineSaddle(image, x, y, frame, halfWindow, crossing.polarity, effort);
    if (!saddle) return;
    found.push(index);
    pixels.push(saddle.x, saddle.y);
    contrasts.push(saddle.contrast);
  });
  return agree(crossings, found, Float64Array.from(pixels), contrasts, map);
}

/** Robust homography through the found crossings: reweighted, then a hard limit. */
function agree(
  crossings: readonly Crossing[],
  found: readonly number[],
  pixels: Float64Array,
  contrasts: readonly number[],
  map: PlaneMap,
): CrossingFit | null {
  const n = found.length;
  if (n < 8) return null;
  const board = Float64Array.from(found.flatMap((i) => [crossings[i].x, crossings[i].y]));
  const plane = map.toPlane(pixels);
  const weights = new Float64Array(n).fill(1);
  const away = new Float64Array(n);
  let homography: Homography | null = null;
  let limit = 0;
  for (let pass = 0; pass < 12; pass++) {
    homography = fitHomography(board, plane, weights);
    if (!homography) return null;
    for (let i = 0; i < n; i++) {
      const [x, y] = applyHomography(homography, board[2 * i], board[2 * i + 1]);
      away[i] = Math.hypot(x - plane[2 * i], y - plane[2 * i + 1]);
    }
    const scale = Math.max(0.03, 1.2 * Float64Array.from(away).sort()[n >> 1]);
    const settled = pass > 4 && Math.abs(3 * scale - limit) < 0.01 * limit;
    limit = 3 * scale;
    if (settled) break;
    for (let i = 0; i < n; i++) {
      const r = away[i] / limit;
      // Tukey's weight, with Cauchy's in the first passes so that nothing is lost too early.
      weights[i] = pass < 4 ? 1 / (1 + 9 * r * r) : r < 1 ? (1 - r * r) ** 2 : 0;
    }
  }
  if (!homography) return null;
  const keep = found.map((_, i) => i).filter((i) => away[i] < limit);
  if (keep.length < 8) return null;
  const sum = keep.reduce((s, i) => s + away[i] * away[i], 0);
  const used = keep.map((i) => found[i]);
  return {
    homography,
    used,
    pixels: Float64Array.from(keep.flatMap((i) => [pixels[2 * i], pixels[2 * i + 1]])),
    seen: n,
    residualPx: Math.sqrt(sum / Math.max(1, 2 * keep.length - 8)),
    contrast: upperMedian(contrasts)!,
  };
}

/** Signed area of a quadrilateral, px^2; positive when it runs clockwise as seen (y down). */
export function quadArea(q: ArrayLike<number>): number {
  let area = 0;
  for (let k = 0; k < 4; k++) {
    const m = (k + 1) % 4;
    area += q[2 * k] * q[2 * m + 1] - q[2 * m] * q[2 * k + 1];
  }
  return area / 2;
}

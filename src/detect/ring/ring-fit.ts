import { ringSaddles, tagCells, tagOutline } from "../../boards/pattern.ts";
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

// All numbers here are our own, checked by bench:detect; no source.

/** Least number of agreeing crossings of the ring (48) that prove a board. */
const minRingCrossings = 12;
/** Least number of crossings that a homography is fitted to: twice the four that determine it. */
const minCrossings = 8;
/** Half side of the window about a crossing of the ring, cells: it ends in the middles of the checks. */
const ringHalfWindow = 0.5;
/** The whole pattern's fit improves on the ring, which therefore only has to be near. */
const ringSaddle: SaddleEffort = { ...fineSaddle, tolerancePx: 0.01 };
/** Blur of a board whose tag edges could not be read, px: with its ring seen, and without. */
const usualBlurPx = 1;
const blurWithoutRingPx = 1.5;

/** The robust fit of a homography to the crossings. */
const robust = {
  passes: 12,
  /** Passes with Cauchy's weight, and the pass after which the fit may end. */
  cauchyPasses: 4,
  /** Scale of the residuals, px: at least this (noise of a sharp photo), or so many times their median. */
  leastScalePx: 0.03,
  scaleOverMedian: 1.2,
  /** Crossings beyond this many scales count as wrong. */
  limitInScales: 3,
  /** Square of limitInScales: the residual over the limit becomes the residual over the scale. */
  squaredLimit: 9,
  /** The fit ends when the limit changes by less than this share. */
  settledShare: 0.01,
} as const;
/** Degrees of freedom of a homography. */
const homographyDof = 8;

/** Finds the ring around a tag, or null where there is none: then the tag is not one of our boards. */
export function fitRing(
  image: LumaImage,
  tagCorners: ArrayLike<number>,
  map: PlaneMap,
): RingFit | null {
  const cellPx = Math.sqrt(Math.abs(quadArea(tagCorners))) / tagCells;
  const edges = refineTagEdges(image, tagCorners, cellPx);
  const corners = edges?.corners ?? tagCorners;
  const start = fitHomography(tagOutline, map.toPlane(corners));
  if (!start) return null;
  const fit = fitCrossings(image, ringSaddles, start, map, ringHalfWindow);
  if (!fit || fit.used.length < minRingCrossings) return null;
  return { ...fit, blurPx: edges?.blurPx ?? usualBlurPx };
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
  const cellPx = Math.sqrt(Math.abs(quadArea(tagCorners))) / tagCells;
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
    blurPx: edges?.blurPx ?? blurWithoutRingPx,
  };
}

/**
 * Refines crossings from a first guess of the map (board cells to plane pixels), then again from the
 * map that they agree on: the guess is extrapolated from the tag, so its error grows towards the
 * ring. `halfWindow` is in cells. Null where too few crossings are found or agree.
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
  if (n < minCrossings) return null;
  const board = Float64Array.from(found.flatMap((i) => [crossings[i].x, crossings[i].y]));
  const plane = map.toPlane(pixels);
  const weights = new Float64Array(n).fill(1);
  const away = new Float64Array(n);
  let homography: Homography | null = null;
  let limit = 0;
  for (let pass = 0; pass < robust.passes; pass++) {
    homography = fitHomography(board, plane, weights);
    if (!homography) return null;
    for (let i = 0; i < n; i++) {
      const [x, y] = applyHomography(homography, board[2 * i], board[2 * i + 1]);
      away[i] = Math.hypot(x - plane[2 * i], y - plane[2 * i + 1]);
    }
    const scale = Math.max(
      robust.leastScalePx,
      robust.scaleOverMedian * Float64Array.from(away).sort()[n >> 1],
    );
    const newLimit = robust.limitInScales * scale;
    const settled =
      pass > robust.cauchyPasses && Math.abs(newLimit - limit) < robust.settledShare * limit;
    limit = newLimit;
    if (settled) break;
    for (let i = 0; i < n; i++) {
      const r = away[i] / limit;
      // Tukey's weight; Cauchy's in the first passes, which gives no crossing a weight of zero.
      weights[i] =
        pass < robust.cauchyPasses
          ? 1 / (1 + robust.squaredLimit * r * r)
          : r < 1
            ? (1 - r * r) ** 2
            : 0;
    }
  }
  if (!homography) return null;
  const keep = found.map((_, i) => i).filter((i) => away[i] < limit);
  if (keep.length < minCrossings) return null;
  const sum = keep.reduce((s, i) => s + away[i] * away[i], 0);
  const used = keep.map((i) => found[i]);
  return {
    homography,
    used,
    pixels: Float64Array.from(keep.flatMap((i) => [pixels[2 * i], pixels[2 * i + 1]])),
    seen: n,
    residualPx: Math.sqrt(sum / Math.max(1, 2 * keep.length - homographyDof)),
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

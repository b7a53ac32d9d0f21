import { boardCells, tagCells } from "../../boards/pattern.ts";
import {
  invertHomography,
  isClearOfHorizon,
  multiplyHomographies,
} from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import type { StraightPatch } from "../picture/straight-patch.ts";
import { type Sight, sightOf } from "./pattern-bend.ts";
import { bendAt, colourAt, discAt } from "./pattern-normal.ts";
import { formEquations, type PatternWorkspace, settleAndFit } from "./pattern-passes.ts";
import { type PrintToFit, type Setup, setUp } from "./pattern-setup.ts";
import { asksForBend, isBent, type Solution, shapeCovariance } from "./pattern-solution.ts";
import {
  followBend,
  greyContrast,
  type LocalLight,
  type PatternGeometry,
  type PatternState,
} from "./pattern-state.ts";
import { applyStep, loadState, saveState, startLike } from "./pattern-step.ts";
import { withPhonesLight } from "./phones-light.ts";
import { gridCentre, type PrintKind } from "./print/pattern-cells.ts";

export { newPatternWorkspace, type PatternWorkspace } from "./pattern-passes.ts";

/** Whole-pattern fit of one board. */
export interface PatternFit {
  readonly state: PatternState;
  readonly patch: StraightPatch;
  /** Camera over the board; null where the board was taken for flat. */
  readonly sight: Sight | null;
  /**
   * Covariance of the first eight numbers of `state.gridFromPlane`, and with a sight of the three of
   * `state.bend`; misfit included.
   */
  readonly covariance: Float64Array;
  /**
   * Shape of the blur: how far it is a disc, third moment of the colours along the way to the rim of
   * the photo (px^3), relative change of its variance by that of 1/depth.
   */
  readonly shape: Float64Array;
  /** Light of the tiles' own, where the residuals asked for it. */
  readonly lightOfTiles: LocalLight | null;
  /** Standard deviation of the grey values about the model. */
  readonly noise: number;
  /** Root mean square of the tiles' remaining displacements, px. */
  readonly residualPx: number;
  /** Share of the busy tiles that were left out. */
  readonly coveredShare: number;
}

/**
 * Fits grey = tone(offset + gain x blurred print) over the whole board, from the ring's map:
 * Levenberg-Marquardt steps on some of the pixels until nothing moves any more, then Gauss-Newton
 * steps on all of them. A board is fitted as flat first, and with a bend where its residuals ask for
 * one and the lens is known. Null where it does not converge, or to a print that would reach behind the
 * camera; the ring's saddle points are the fallback.
 */
export function fitPattern(
  image: LumaImage,
  { id, fit, kind = "board" }: PrintToFit,
  map: PlaneMap,
  work: PatternWorkspace,
): PatternFit | null {
  const setup = setUp(image, { id, fit, kind }, map, work.geometry);
  if (!setup) return null;
  work.memory.loadPicture(image, setup.input.box);
  if (work.last) startLike(setup.state, work.last);
  const start = saveState(setup.state);
  const flat = withPhonesLight(setup, work, settleAndFit(setup, work));
  const found = bentFit(setup, work, start, flat) ?? flat;
  if (!found) return null;
  const fitted = finish(setup, found);
  if (!liesBeforeCamera(fitted.state.gridFromPlane, kind)) return null;
  work.last = setup.state;
  return fitted;
}

/**
 * Whether the whole print lies on one side of the horizon of its own plane. A fit that ran away from a
 * small print can explain the few pixels it started from by a map that folds within the print.
 */
export function liesBeforeCamera(gridFromPlane: Float64Array, kind: PrintKind): boolean {
  const half = (kind === "marker" ? tagCells : boardCells) / 2;
  return isClearOfHorizon(invertHomography(gridFromPlane), gridCentre, gridCentre, half);
}

/**
 * Fits a board with its bend, from the start: where it is bent a flat fit may have gone astray. Null,
 * with the state as the flat fit left it, where nothing asks for a bend or it explains no more.
 */
function bentFit(
  setup: Setup,
  work: PatternWorkspace,
  start: Float64Array,
  flat: Solution | null,
): Solution | null {
  const { geometry, state, patch, map } = setup;
  if (!map.lens) return null;
  const before = saveState(state);
  if (!flat) loadState(state, start);
  geometry.sight = sightOf(state.gridFromPlane, patch, map.lens, null);
  geometry.planeFromGrid = invertHomography(state.gridFromPlane);
  if (geometry.sight && flat) formEquations(setup, work);
  if (geometry.sight && (!flat || asksForBend(work, geometry, flat))) {
    loadState(state, start);
    const bent = settleAndFit(setup, work);
    if (bent && (!flat || (bent.variance < flat.variance && isBent(state.bend, bent)))) return bent;
    loadState(state, before);
  }
  geometry.sight = null;
  return null;
}

function finish({ state, geometry, patch, map }: Setup, found: Solution): PatternFit {
  applyStep(state, found.delta);
  if (geometry.sight) followBend(geometry, state, patch, map);
  return {
    state,
    patch,
    sight: geometry.sight,
    covariance: withColourDoubt(shapeCovariance(found), state, geometry, patch, found),
    shape: found.delta.slice(discAt, bendAt),
    lightOfTiles: geometry.localLight,
    noise: Math.sqrt(found.variance),
    residualPx: found.residualPx,
    coveredShare: found.coveredShare,
  };
}

/**
 * Share of the shift by colours that do not meet, of which the fit cannot be sure: it knows them by
 * their third moment alone. With red and blue 1.4 px apart a quarter to two fifths were left.
 */
const colourDoubt = 0.5;

/**
 * Adds to the covariance of a board's map what the colours leave open, along the way to the photo's
 * rim. A third moment m shifts an edge of deviation s by m / (12 s^2) if it is taken for a Gaussian.
 */
function withColourDoubt(
  covariance: Float64Array,
  { gridFromPlane: m, blur }: PatternState,
  { towardsRim: [x, y] }: PatternGeometry,
  { scale }: StraightPatch,
  { delta }: Solution,
): Float64Array {
  const variance = (blur[0] + blur[2]) / 2 + 1 / 12;
  const shiftPx = (colourDoubt * delta[colourAt]) / (12 * variance);
  const n = Math.sqrt(covariance.length);
  const by = new Float64Array(n);
  // The map after a shift of the plane, with its last number brought back to 1.
  const turn = m[6] * x + m[7] * y;
  for (let k = 0; k < 8; k++) by[k] = (shiftPx / scale) * turn * m[k];
  by[2] -= (shiftPx / scale) * (m[0] * x + m[1] * y);
  by[5] -= (shiftPx / scale) * (m[3] * x + m[4] * y);
  return covariance.map((c, i) => c + by[Math.floor(i / n)] * by[i % n]);
}

/** A print that is covered further, or leaves more of the contrast, is not proven by its fit. */
const maxCovered = 0.35;
const maxNoiseShare = 0.12;

/** Whether the picture looks like the print that was fitted to it. */
export const showsPrint = (fit: PatternFit, noiseShare = maxNoiseShare): boolean =>
  fit.coveredShare < maxCovered && fit.noise < noiseShare * greyContrast(fit.state);

/** Board (cells, y up) to plane pixels, from the fitted state. */
export function homographyOfFit({ state, patch }: PatternFit): Float64Array {
  const planeFromGrid = invertHomography(state.gridFromPlane);
  const pixels = Float64Array.of(patch.scale, 0, patch.cx, 0, patch.scale, patch.cy, 0, 0, 1);
  const gridFromBoard = Float64Array.of(1, 0, gridCentre, 0, -1, gridCentre, 0, 0, 1);
  return multiplyHomographies(pixels, multiplyHomographies(planeFromGrid, gridFromBoard));
}

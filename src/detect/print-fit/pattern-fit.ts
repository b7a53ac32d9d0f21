import { invertHomography, multiplyHomographies } from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import type { StraightPatch } from "../picture/straight-patch.ts";
import { productCount, residualColumn } from "./assembly/layout.ts";
import { eliminateLight, type LocalLight, localLight } from "./local-light.ts";
import { type Sight, sightOf } from "./pattern-bend.ts";
import { gridCentre, patternSteps, tileCount } from "./pattern-cells.ts";
import { type PatternMemory, patternMemory, productIndex } from "./pattern-memory.ts";
import {
  assemble,
  bendAt,
  colourAt,
  copyNormal,
  discAt,
  largestShift,
  newNormalEquations,
  patternUnknowns,
} from "./pattern-normal.ts";
import { type PassSettings, runPass } from "./pattern-pass.ts";
import { type PrintToFit, type Setup, setUp } from "./pattern-setup.ts";
import {
  asksForBend,
  isBent,
  type Solution,
  shapeCovariance,
  solution,
} from "./pattern-solution.ts";
import {
  followBend,
  greyContrast,
  newPatternGeometry,
  type PatternGeometry,
  type PatternState,
  placeCrossings,
  softRadii,
  updateGeometry,
} from "./pattern-state.ts";
import { addPriors, applyStep, loadState, saveState, startLike, step } from "./pattern-step.ts";

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
 * Rows are skipped so that a board's area counts about this many pixels at most (those away from
 * edges cost little): a board of 35 px a cell is used whole, as every second row less leaves 1.4 x
 * the Cramer-Rao bound.
 */
const fullBudget = 240_000;
const coarseBudget = 2_500;
const maxCoarsePasses = 12;
const maxFullPasses = 4;
/**
 * A full pass whose step is smaller than this is the last one: the step's own error goes with its
 * third power, and limits from 0.04 to 0.2 px gave the same results.
 */
const fullTolerancePx = 0.08;

/** Reusable memory of a fit. */
export interface PatternWorkspace {
  readonly memory: PatternMemory;
  readonly geometry: PatternGeometry;
  readonly normal: ReturnType<typeof newNormalEquations>;
  /** Blur, tone and sharpening of the board before, which a photo's boards have in common. */
  last: PatternState | null;
}

export const newPatternWorkspace = (): PatternWorkspace => ({
  memory: patternMemory(),
  geometry: newPatternGeometry(),
  normal: newNormalEquations(),
  last: null,
});

/**
 * Fits grey = tone(offset + gain x blurred print) over the whole board, from the ring's map:
 * Levenberg-Marquardt steps on some of the pixels until nothing moves any more, then Gauss-Newton
 * steps on all of them. A board is fitted as flat first, and with a bend where its residuals ask for
 * one and the lens is known. Null where it does not converge; the ring's saddle points are the fallback.
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
  work.last = setup.state;
  return finish(setup, found);
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

/**
 * Where the parts of a board disagree: another radius of the phone's sharpening, and light of the
 * tiles' own, each where the grey values are more probable with it.
 */
function withPhonesLight(
  setup: Setup,
  work: PatternWorkspace,
  first: Solution | null,
): Solution | null {
  if (!first?.misfit) return first;
  const { state, geometry } = setup;
  let best = first;
  const before = saveState(state);
  const radius = state.softRadiusPx;
  state.softRadiusPx = radius === softRadii.fine ? softRadii.wide : softRadii.fine;
  const other = fitAll(setup, work);
  const gain = other
    ? 0.5 * best.free * Math.log(best.squares / best.free / (other.squares / other.free))
    : 0;
  if (other && gain > leastRadiusEvidence) best = other;
  else {
    state.softRadiusPx = radius;
    loadState(state, before);
    if (!evaluateAgain(setup, work)) return first;
  }
  const { squares, free: pixels, delta } = best;
  const light = localLight(geometry, work.memory, delta, {
    squares,
    pixels,
    contrast: state.gain[0],
  });
  if (!light) return best;
  const kept = saveState(state);
  geometry.localLight = light;
  const local = fitAll(setup, work);
  if (local) return local;
  geometry.localLight = null;
  loadState(state, kept);
  return best;
}

/** Growth of the log likelihood that another radius of sharpening must bring. */
const leastRadiusEvidence = 8;

const evaluateAgain = (setup: Setup, work: PatternWorkspace): boolean =>
  evaluate(setup, work, fullPass(setup)) !== null;

const fullPass = ({ area }: Setup): Thinning => ({
  rowStep: Math.max(1, Math.round(area / fullBudget)),
  columnStep: 1,
  toEdge: false,
  withShape: true,
});

function settleAndFit(setup: Setup, work: PatternWorkspace): Solution | null {
  if (!settle(setup, work, coarseThinning(setup.area))) return null;
  const { geometry, state, patch, map } = setup;
  if (geometry.sight && followBend(geometry, state, patch, map))
    placeCrossings(geometry, patch, map);
  return fitAll(setup, work);
}

/** Steps on all pixels until nothing moves. */
function fitAll(setup: Setup, work: PatternWorkspace): Solution | null {
  const full = fullPass(setup);
  const { geometry, state } = setup;
  for (let pass = 0; pass < maxFullPasses; pass++) {
    if (evaluate(setup, work, full) === null) return null;
    const delta = step(work.normal);
    if (!delta) return null;
    if (largestShift(geometry, delta) < fullTolerancePx) return solution(work, geometry);
    applyStep(state, delta);
  }
  return null;
}

type Thinning = Pick<PassSettings, "rowStep" | "columnStep" | "toEdge" | "withShape">;

/**
 * Both rows and columns are thinned, staggered from row to row: rows alone would lie two cells apart
 * on a large board, and miss the edges that run along them.
 */
function coarseThinning(area: number): Thinning {
  const share = Math.max(1, area / coarseBudget);
  const columnStep = Math.max(1, Math.floor(Math.sqrt(share / 1.5)));
  return {
    rowStep: Math.max(1, Math.round(share / columnStep)),
    columnStep,
    toEdge: true,
    withShape: false,
  };
}

/** Brings the state near the minimum on some of the pixels. False where it fails. */
function settle(setup: Setup, work: PatternWorkspace, thinning: Thinning): boolean {
  const { state } = setup;
  let saved = saveState(state);
  const savedNormal = newNormalEquations();
  let best = Number.POSITIVE_INFINITY;
  let damping = 1e-3;
  for (let pass = 0; pass < maxCoarsePasses; pass++) {
    const cost = evaluate(setup, work, thinning);
    if (cost !== null && cost < best * 1.001) {
      best = cost;
      damping *= 0.1;
      saved = saveState(state);
      copyNormal(work.normal, savedNormal);
    } else {
      if (pass === 0 || damping > 1e4) return false;
      damping = Math.max(1e-3, damping * 30);
      loadState(state, saved);
      copyNormal(savedNormal, work.normal);
    }
    const delta = step(work.normal, damping);
    if (!delta) return false;
    applyStep(state, delta);
    const gain = work.normal.right.reduce((sum, r, k) => sum + r * delta[k], 0);
    const little = gain < 0.02 * work.normal.squares;
    if (little && damping < 1 && largestShift(setup.geometry, delta) < 0.06) return true;
  }
  return true;
}

/** One pass at the present state; leaves the normal equations in `work`. Mean square or null. */
function evaluate(setup: Setup, work: PatternWorkspace, thinning: Thinning): number | null {
  const { print, state, geometry, patch, map, input } = setup;
  if (geometry.sight && !followBend(geometry, state, patch, map)) return null;
  updateGeometry(geometry, state);
  const { memory } = work;
  const { tone, sharpening } = state;
  const widest = widestBlur(geometry);
  const steps = patternSteps(print.id, linesFor(widest), print.kind);
  const { sight, bend } = geometry;
  const bent = sight && { bend, sight };
  geometry.withShape = thinning.withShape && widest < shapelessBlur;
  const { withShape } = geometry;
  runPass(input, { bent, steps, tone, sharpening, ...thinning, withShape }, memory);
  chooseTiles(geometry, work, state);
  geometry.lightFreedom = geometry.localLight
    ? eliminateLight(memory, geometry.weight, geometry.localLight)
    : 0;
  return formEquations(setup, work);
}

/** Normal equations from the sums of the last pass. Mean square or null. */
function formEquations({ geometry, state }: Setup, work: PatternWorkspace): number | null {
  assemble(geometry, geometry.weight, work.memory, work.normal);
  work.normal.pixels -= geometry.lightFreedom;
  const { squares, pixels } = work.normal;
  if (pixels < 4 * patternUnknowns) return null;
  const variance = Math.max(1 / 12, squares / (pixels - patternUnknowns));
  addPriors(work.normal, state, variance);
  return Number.isFinite(variance) ? variance : null;
}

/** Blur, cells, from which on its shape cannot be told from the print. */
const shapelessBlur = 0.7;

/** Widest blur anywhere on the board along u or v, or 0.45 of the soft copy's, cells. */
function widestBlur(geometry: PatternGeometry): number {
  let widest = 0;
  for (const tile of geometry.crossings) {
    const soft = 0.45 * Math.max(geometry.softU[tile], geometry.softV[tile]);
    widest = Math.max(widest, geometry.blurU[tile], geometry.blurV[tile], soft);
  }
  return widest;
}

/**
 * Window of grid lines so that what lies outside is at least 2.8 deviations of the blur away; 1.3 of
 * the soft copy's, where a wider window changed nothing that the corner bench shows.
 */
const linesFor = (widest: number): number =>
  widest < 0.18 ? 1 : widest < 0.45 ? 3 : widest < 0.75 ? 5 : 7;

/**
 * Leaves out tiles that do not look like the print (a finger, a cable, a reflection): those whose
 * residuals are far above the typical tile's. The scale has a floor of some per cent of the contrast,
 * so that a good fit never loses tiles to its own small errors.
 */
function chooseTiles(geometry: PatternGeometry, work: PatternWorkspace, state: PatternState): void {
  const { products, count } = work.memory;
  const rms: number[] = [];
  const all = new Float64Array(tileCount);
  for (let tile = 0; tile < tileCount; tile++) {
    if (count[tile] < 3) continue;
    const squares = products[tile * productCount + productIndex(residualColumn, residualColumn)];
    all[tile] = Math.sqrt(squares / count[tile]);
    rms.push(all[tile]);
  }
  const median = rms.sort((a, b) => a - b)[rms.length >> 1] ?? 0;
  const contrast = greyContrast(state);
  const limit = Math.max(0.04 * contrast, 2.5 * median);
  for (let tile = 0; tile < tileCount; tile++)
    geometry.weight[tile] = count[tile] >= 1 && all[tile] <= limit ? 1 : 0;
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

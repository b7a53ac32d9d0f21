import { cholesky, choleskySolve, invertPositive } from "../numerics/dense.ts";
import type { LumaImage } from "../photo/luma.ts";
import { invertHomography, multiplyHomographies } from "./homography.ts";
import { crossingsPerSide, type PrintKind, patternSteps, tileCount } from "./pattern-cells.ts";
import { type PatternMemory, patternMemory, productCount, productIndex } from "./pattern-memory.ts";
import {
  assemble,
  blurAt,
  gainAt,
  geometryUnknowns,
  type NormalEquations,
  newNormalEquations,
  offsetAt,
  patternUnknowns,
  sharpeningAt,
  tileDisagreement,
  toneAt,
} from "./pattern-normal.ts";
import { type PassInput, residualColumn, runPass } from "./pattern-pass.ts";
import {
  gridFromPlaneOf,
  limitBlur,
  newPatternGeometry,
  type PatternGeometry,
  type PatternState,
  placeCrossings,
  updateGeometry,
} from "./pattern-state.ts";
import { outlineOf, type PlaneMap } from "./plane-map.ts";
import type { RingFit } from "./ring-fit.ts";
import { greyAt } from "./sampling.ts";
import { type StraightPatch, straightPatch } from "./straight-patch.ts";
import { greyOfLight, lightOfGrey } from "./tone.ts";

/** Whole-pattern fit of one board. */
export interface PatternFit {
  readonly state: PatternState;
  readonly patch: StraightPatch;
  /** Covariance of the first eight numbers of `state.gridFromPlane`, misfit included. */
  readonly covariance: Float64Array;
  /** Standard deviation of the grey values about the model. */
  readonly noise: number;
  /** Factor on the variance that the tiles' disagreement asked for, at least 1. */
  readonly inflation: number;
  /** Root mean square of the tiles' remaining displacements, px. */
  readonly residualPx: number;
  /** Share of the busy tiles that were left out. */
  readonly coveredShare: number;
}

/** Standard deviations of what is known before: how round the blur is, tone, sharpening. */
const prior = { blur: 3, tone: 1, sharpening: 0.4 } as const;
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

/** A print with a map that is near, from its ring or its outline. */
export interface PrintToFit {
  readonly id: number;
  readonly fit: Pick<RingFit, "homography" | "blurPx">;
  readonly kind?: PrintKind;
}

/** Half side of the square that is looked at, cells; white paper surrounds a print so far. */
const halfSide = { board: 7.6, marker: 4.6 } as const;

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
 * Levenberg-Marquardt steps on some of the rows until nothing moves any more, then Gauss-Newton
 * steps on all of them. Null where it does not converge; the ring's saddle points are the fallback.
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
  const coarseStep = Math.max(1, Math.round(setup.area / coarseBudget));
  const fullStep = Math.max(1, Math.round(setup.area / fullBudget));
  if (!settle(setup, work, coarseStep)) return null;
  const delta = new Float64Array(patternUnknowns);
  for (let pass = 0; pass < maxFullPasses; pass++) {
    const cost = evaluate(setup, work, fullStep);
    if (cost === null || !solve(work, delta, 0)) return null;
    if (largestShift(setup.geometry, delta) < fullTolerancePx) {
      const fit = finish(setup, work, delta);
      if (fit) work.last = fit.state;
      return fit;
    }
    applyStep(setup.state, delta);
  }
  return null;
}

/** Brings the state near the minimum on every `rowStep`-th row. False where it fails. */
function settle(setup: Setup, work: PatternWorkspace, rowStep: number): boolean {
  const { state } = setup;
  const delta = new Float64Array(patternUnknowns);
  const saved = new Float64Array(patternUnknowns);
  const savedNormal = newNormalEquations();
  let best = Number.POSITIVE_INFINITY;
  let damping = 1e-3;
  for (let pass = 0; pass < maxCoarsePasses; pass++) {
    const cost = evaluate(setup, work, rowStep);
    if (cost !== null && cost < best * 1.001) {
      best = cost;
      damping *= 0.1;
      saveState(state, saved);
      copyNormal(work.normal, savedNormal);
    } else {
      if (pass === 0 || damping > 1e4) return false;
      damping = Math.max(1e-3, damping * 30);
      loadState(state, saved);
      copyNormal(savedNormal, work.normal);
    }
    if (!solve(work, delta, damping)) return false;
    applyStep(state, delta);
    const gain = work.normal.right.reduce((sum, r, k) => sum + r * delta[k], 0);
    const little = gain < 0.02 * work.normal.squares;
    if (little && damping < 1 && largestShift(setup.geometry, delta) < 0.06) return true;
  }
  return true;
}

/** One pass at the present state; leaves the normal equations in `work`. Mean square or null. */
function evaluate(
  { print, state, geometry, input }: Setup,
  work: PatternWorkspace,
  rowStep: number,
): number | null {
  updateGeometry(geometry, state);
  const { memory } = work;
  const { tone, sharpening } = state;
  const steps = patternSteps(print.id, linesFor(geometry), print.kind);
  runPass(input, { steps, tone, sharpening, rowStep }, memory);
  chooseTiles(geometry, work, state);
  assemble(geometry, geometry.weight, memory, work.normal);
  const { squares, pixels } = work.normal;
  if (pixels < 4 * patternUnknowns) return null;
  const variance = Math.max(1 / 12, squares / (pixels - patternUnknowns));
  addPriors(work.normal, state, variance);
  return Number.isFinite(variance) ? variance : null;
}

/** Largest movement of a crossing that a step makes, px (to first order). */
function largestShift(geometry: PatternGeometry, delta: Float64Array): number {
  let largest = 0;
  const m = geometry.gridFromPlane;
  for (const tile of [0, crossingsPerSide - 1, tileCount - crossingsPerSide, tileCount - 1]) {
    const X = geometry.planeX[tile];
    const Y = geometry.planeY[tile];
    const w = 1 / (m[6] * X + m[7] * Y + 1);
    const u = (m[0] * X + m[1] * Y + m[2]) * w;
    const v = (m[3] * X + m[4] * Y + m[5]) * w;
    const bottom = delta[6] * X + delta[7] * Y;
    const du = (delta[0] * X + delta[1] * Y + delta[2] - u * bottom) * w;
    const dv = (delta[3] * X + delta[4] * Y + delta[5] - v * bottom) * w;
    largest = Math.max(
      largest,
      Math.abs(du) * geometry.cellPxU[tile],
      Math.abs(dv) * geometry.cellPxV[tile],
    );
  }
  return largest;
}

function saveState(state: PatternState, out: Float64Array): void {
  out.set(state.gridFromPlane.subarray(0, geometryUnknowns));
  out.set(state.blur, blurAt);
  out.set(state.tone, toneAt);
  out[sharpeningAt] = state.sharpening;
  out.set(state.gain, gainAt);
  out.set(state.offset, offsetAt);
}

function loadState(state: PatternState, saved: Float64Array): void {
  state.gridFromPlane.set(saved.subarray(0, geometryUnknowns));
  state.blur.set(saved.subarray(blurAt, toneAt));
  state.tone.set(saved.subarray(toneAt, sharpeningAt));
  state.sharpening = saved[sharpeningAt];
  state.gain.set(saved.subarray(gainAt, offsetAt));
  state.offset.set(saved.subarray(offsetAt));
}

function copyNormal(from: NormalEquations, to: NormalEquations): void {
  to.matrix.set(from.matrix);
  to.right.set(from.right);
  to.squares = from.squares;
  to.pixels = from.pixels;
}

/** Takes over what the boards of one photo share. */
function startLike(state: PatternState, other: PatternState): void {
  state.blur.set(other.blur);
  state.tone.set(other.tone);
  state.sharpening = other.sharpening;
}

interface Setup {
  readonly print: Required<PrintToFit>;
  readonly state: PatternState;
  readonly geometry: PatternGeometry;
  readonly patch: StraightPatch;
  readonly input: PassInput;
  /** Pixels inside the board. */
  readonly area: number;
}

function setUp(
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
    gain: Float64Array.of(levels.white - levels.black, 0, 0, 0, 0, 0),
    offset: Float64Array.of(levels.black, 0, 0),
  };
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
    return values.sort((a, b) => a - b)[values.length >> 1] ?? 0;
  };
  const black = lightOfGrey(level(3, 3));
  const white = lightOfGrey(level(2, 2));
  return white > black ? { black, white } : null;
}

/**
 * Window of grid lines so that what lies outside is at least 2.8 deviations of the blur away; 1.3 of
 * the soft copy's, where a wider window changed nothing that the corner bench shows.
 */
function linesFor(geometry: PatternGeometry): number {
  let widest = 0;
  for (let tile = 0; tile < tileCount; tile++) {
    const soft = 0.45 * Math.max(geometry.softU[tile], geometry.softV[tile]);
    widest = Math.max(widest, geometry.blurU[tile], geometry.blurV[tile], soft);
  }
  return widest < 0.18 ? 1 : widest < 0.45 ? 3 : widest < 0.75 ? 5 : 7;
}

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

/** Grey difference between white and black at the board's centre. */
export const greyContrast = ({ offset, gain }: PatternState): number =>
  greyOfLight(offset[0] + gain[0]) - greyOfLight(offset[0]);

function addPriors(
  normal: PatternWorkspace["normal"],
  state: PatternState,
  noiseVariance: number,
): void {
  const n = patternUnknowns;
  const add = (k: number, value: number, sd: number) => {
    normal.matrix[k * n + k] += noiseVariance / (sd * sd);
    normal.right[k] -= (noiseVariance / (sd * sd)) * value;
  };
  add(blurAt + 1, state.blur[1], prior.blur);
  add(toneAt, state.tone[0], prior.tone);
  add(toneAt + 1, state.tone[1], prior.tone);
  add(sharpeningAt, state.sharpening, prior.sharpening);
}

function solve(work: PatternWorkspace, delta: Float64Array, damping: number): boolean {
  const matrix = work.normal.matrix.slice();
  const n = patternUnknowns;
  for (let k = 0; k < n; k++) matrix[k * n + k] *= 1 + damping;
  if (cholesky(matrix, n, 1e-15).failedAt >= 0) return false;
  delta.set(work.normal.right);
  choleskySolve(matrix, n, delta);
  return delta.every(Number.isFinite);
}

function applyStep(state: PatternState, delta: Float64Array): void {
  for (let k = 0; k < geometryUnknowns; k++) state.gridFromPlane[k] += delta[k];
  for (let k = 0; k < 3; k++) state.blur[k] += delta[blurAt + k];
  limitBlur(state.blur);
  for (let k = 0; k < 2; k++) state.tone[k] = clamp(state.tone[k] + delta[toneAt + k], 2);
  state.sharpening = Math.max(-0.1, Math.min(2, state.sharpening + delta[sharpeningAt]));
  for (let k = 0; k < 6; k++) state.gain[k] += delta[gainAt + k];
  for (let k = 0; k < 3; k++) state.offset[k] += delta[offsetAt + k];
}

const clamp = (x: number, limit: number): number => Math.max(-limit, Math.min(limit, x));

function finish(setup: Setup, work: PatternWorkspace, delta: Float64Array): PatternFit | null {
  const { state, geometry, patch } = setup;
  const n = patternUnknowns;
  if (!solve(work, delta, 0)) return null;
  const inverse = invertPositive(symmetric(work.normal.matrix, n), n);
  if (!inverse) return null;
  const { normal, memory } = work;
  const test = tileDisagreement(geometry, memory, geometry.weight, delta);
  const left = normal.squares - normal.right.reduce((s, r, k) => s + r * delta[k], 0);
  const variance = Math.max(1 / 12, left / (normal.pixels - n));
  const inflation = Math.max(1, test.chiSquare / (variance * Math.max(1, test.dof - 12)));
  applyStep(state, delta);
  const covariance = new Float64Array(64);
  for (let i = 0; i < 8; i++)
    for (let j = 0; j < 8; j++) covariance[8 * i + j] = inverse[i * n + j] * variance * inflation;
  let [kept, busy] = [0, 0];
  for (let tile = 0; tile < tileCount; tile++) {
    if (memory.count[tile] < 3) continue;
    busy++;
    if (geometry.weight[tile] > 0) kept++;
  }
  return {
    state,
    patch,
    covariance,
    noise: Math.sqrt(variance),
    inflation,
    residualPx: test.rmsPx,
    coveredShare: 1 - kept / Math.max(1, busy),
  };
}

function symmetric(lower: Float64Array, n: number): Float64Array {
  const full = lower.slice();
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) full[j * n + i] = lower[i * n + j];
  return full;
}

/** Board (cells, y up) to plane pixels, from the fitted state. */
export function homographyOfFit({ state, patch }: PatternFit): Float64Array {
  const planeFromGrid = invertHomography(state.gridFromPlane);
  const pixels = Float64Array.of(patch.scale, 0, patch.cx, 0, patch.scale, patch.cy, 0, 0, 1);
  const gridFromBoard = Float64Array.of(1, 0, 7, 0, -1, 7, 0, 0, 1);
  return multiplyHomographies(pixels, multiplyHomographies(planeFromGrid, gridFromBoard));
}

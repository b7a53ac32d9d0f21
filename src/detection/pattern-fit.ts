import { cholesky, choleskySolve, invertPositive } from "../numerics/dense.ts";
import type { LumaImage } from "../photo/luma.ts";
import { invertHomography, multiplyHomographies } from "./homography.ts";
import { patternSteps, tileCount } from "./pattern-cells.ts";
import {
  assemble,
  blurAt,
  gainAt,
  geometryUnknowns,
  newNormalEquations,
  newTileChain,
  offsetAt,
  patternUnknowns,
  sharpeningAt,
  tileDisagreement,
  toneAt,
} from "./pattern-normal.ts";
import {
  newTileSums,
  type PassInput,
  productCount,
  productIndex,
  residualColumn,
  runPass,
} from "./pattern-pass.ts";
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
import type { ProvenBoard } from "./ring-fit.ts";
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
/** Rows are skipped so that about this many pixels of a board are used at most. */
const fullBudget = 40_000;
const coarseBudget = 6_000;
const coarsePasses = 3;

/** Reusable memory of a fit. */
export interface PatternWorkspace {
  readonly sums: ReturnType<typeof newTileSums>;
  readonly normal: ReturnType<typeof newNormalEquations>;
  readonly chain: ReturnType<typeof newTileChain>;
}

export const newPatternWorkspace = (): PatternWorkspace => ({
  sums: newTileSums(),
  normal: newNormalEquations(),
  chain: newTileChain(),
});

/**
 * Fits grey = tone(offset + gain x blurred print) over the whole board by Gauss-Newton, from the
 * ring's map. Null where it does not converge; the ring's saddle points are the fallback.
 */
export function fitPattern(
  image: LumaImage,
  board: ProvenBoard,
  map: PlaneMap,
  work: PatternWorkspace,
): PatternFit | null {
  const setup = setUp(image, board, map);
  if (!setup) return null;
  const { state, geometry, input, area } = setup;
  let noiseVariance = 4;
  const delta = new Float64Array(patternUnknowns);
  const coarseStep = Math.max(1, Math.round(area / coarseBudget));
  const fullStep = Math.max(1, Math.round(area / fullBudget));
  for (let pass = 0; pass <= coarsePasses; pass++) {
    const final = pass === coarsePasses;
    updateGeometry(geometry, state);
    const steps = patternSteps(board.id, linesFor(geometry));
    runPass(
      {
        ...input,
        steps,
        tone1: state.tone[0],
        tone2: state.tone[1],
        sharpening: state.sharpening,
        rowStep: final ? fullStep : coarseStep,
        firstRow: final ? 0 : pass % coarseStep,
      },
      work.sums,
    );
    chooseTiles(geometry, work, state);
    assemble(geometry, work.sums, geometry.weight, work.chain, work.normal);
    const { squares, pixels } = work.normal;
    if (pixels < 4 * patternUnknowns) return null;
    noiseVariance = Math.max(1 / 12, squares / (pixels - patternUnknowns));
    addPriors(work.normal, state, noiseVariance);
    if (final) break;
    if (!solve(work, delta)) return null;
    applyStep(state, delta);
    geometry.weight.fill(1);
  }
  return finish(setup, work, delta);
}

interface Setup {
  readonly image: LumaImage;
  readonly state: PatternState;
  readonly geometry: PatternGeometry;
  readonly patch: StraightPatch;
  readonly input: Pick<PassInput, "image" | "box" | "patch" | "gridFromPlane" | "tiles">;
  /** Pixels inside the board. */
  readonly area: number;
}

function setUp(image: LumaImage, { fit }: ProvenBoard, map: PlaneMap): Setup | null {
  const h = fit.homography;
  const outline = outlineOf(h, [-7.6, 7.6, 7.6, 7.6, 7.6, -7.6, -7.6, -7.6], map);
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
  const geometry = newPatternGeometry(gridFromPlane);
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
    image,
    state,
    geometry,
    patch,
    input: { image, box, patch, gridFromPlane, tiles: geometry },
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

/** Window of grid lines so that what lies outside is at least 3.3 deviations away. */
function linesFor(geometry: PatternGeometry): number {
  let widest = 0;
  for (let tile = 0; tile < tileCount; tile++) {
    const soft = 0.7 * Math.max(geometry.softU[tile], geometry.softV[tile]);
    widest = Math.max(widest, geometry.blurU[tile], geometry.blurV[tile], soft);
  }
  return widest < 0.15 ? 1 : widest < 0.45 ? 3 : widest < 0.75 ? 5 : 7;
}

/**
 * Leaves out tiles that do not look like the print (a finger, a cable, a reflection): those whose
 * residuals are far above the typical tile's. The scale has a floor of some per cent of the contrast,
 * so that a good fit never loses tiles to its own small errors.
 */
function chooseTiles(geometry: PatternGeometry, work: PatternWorkspace, state: PatternState): void {
  const { products, count } = work.sums;
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

function solve(work: PatternWorkspace, delta: Float64Array): boolean {
  const matrix = work.normal.matrix.slice();
  const n = patternUnknowns;
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
  if (!solve(work, delta)) return null;
  const inverse = invertPositive(symmetric(work.normal.matrix, n), n);
  if (!inverse) return null;
  const { normal, sums, chain } = work;
  const test = tileDisagreement(geometry, sums, geometry.weight, chain, delta);
  const left = normal.squares - normal.right.reduce((s, r, k) => s + r * delta[k], 0);
  const variance = Math.max(1 / 12, left / (normal.pixels - n));
  const inflation = Math.max(1, test.chiSquare / (variance * Math.max(1, test.dof - 12)));
  applyStep(state, delta);
  const covariance = new Float64Array(64);
  for (let i = 0; i < 8; i++)
    for (let j = 0; j < 8; j++) covariance[8 * i + j] = inverse[i * n + j] * variance * inflation;
  let [kept, busy] = [0, 0];
  for (let tile = 0; tile < tileCount; tile++) {
    if (sums.count[tile] < 3) continue;
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

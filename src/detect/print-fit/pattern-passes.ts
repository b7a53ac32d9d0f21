import { productCount, residualColumn } from "./assembly/layout.ts";
import { eliminateLight } from "./local-light.ts";
import {
  assemble,
  copyNormal,
  largestShift,
  newNormalEquations,
  patternUnknowns,
} from "./pattern-normal.ts";
import { type PassSettings, runPass } from "./pattern-pass.ts";
import type { Setup } from "./pattern-setup.ts";
import { type Solution, solution } from "./pattern-solution.ts";
import {
  followBend,
  greyContrast,
  newPatternGeometry,
  type PatternGeometry,
  type PatternState,
  placeCrossings,
  updateGeometry,
} from "./pattern-state.ts";
import { addPriors, applyStep, loadState, saveState, step } from "./pattern-step.ts";
import { patternSteps, tileCount } from "./print/pattern-cells.ts";
import { type PatternMemory, patternMemory, productIndex } from "./print/pattern-memory.ts";

/** Passes over the grey values of one board and the steps that follow from them. */

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
  /** Whether a board has decided how wide the photo's sharpening reaches. */
  radiusKnown: boolean;
}

export const newPatternWorkspace = (): PatternWorkspace => ({
  memory: patternMemory(),
  geometry: newPatternGeometry(),
  normal: newNormalEquations(),
  last: null,
  radiusKnown: false,
});

/** A pass on all pixels at the present state; false where it fails. */
export const evaluateAll = (setup: Setup, work: PatternWorkspace): boolean =>
  evaluate(setup, work, fullPass(setup)) !== null;

const fullPass = ({ area }: Setup): Thinning => ({
  rowStep: Math.max(1, Math.round(area / fullBudget)),
  columnStep: 1,
  toEdge: false,
  withShape: true,
});

/** From a state that is near: on some of the pixels until nothing moves any more, then on all. */
export function settleAndFit(setup: Setup, work: PatternWorkspace): Solution | null {
  if (!settle(setup, work, coarseThinning(setup.area))) return null;
  const { geometry, state, patch, map } = setup;
  if (geometry.sight && followBend(geometry, state, patch, map))
    placeCrossings(geometry, patch, map);
  return fitAll(setup, work);
}

/** Steps on all pixels until nothing moves. */
export function fitAll(setup: Setup, work: PatternWorkspace): Solution | null {
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
  takeLightOff(geometry, work);
  return formEquations(setup, work);
}

function takeLightOff(geometry: PatternGeometry, { memory }: PatternWorkspace): void {
  const { localLight, weight } = geometry;
  geometry.lightFreedom = localLight ? eliminateLight(memory, weight, localLight) : 0;
}

/** The fit with light of the tiles' own, from the sums of a pass at the present state without any. */
export function fitLight(setup: Setup, work: PatternWorkspace): Solution | null {
  takeLightOff(setup.geometry, work);
  if (formEquations(setup, work) === null) return null;
  const delta = step(work.normal);
  if (!delta) return null;
  if (largestShift(setup.geometry, delta) < fullTolerancePx) return solution(work, setup.geometry);
  applyStep(setup.state, delta);
  return fitAll(setup, work);
}

/** Normal equations from the sums of the last pass. Mean square or null. */
export function formEquations({ geometry, state }: Setup, work: PatternWorkspace): number | null {
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

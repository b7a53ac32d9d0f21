import { cholesky, choleskySolve } from "../../maths/dense.ts";
import {
  bendAt,
  blurAt,
  colourAt,
  depthAt,
  discAt,
  gainAt,
  homographyUnknowns,
  type NormalEquations,
  offsetAt,
  patternUnknowns,
  sharpeningAt,
  toneAt,
} from "./pattern-normal.ts";
import { limitBlur, type PatternState } from "./pattern-state.ts";

/** The state of a fit as a vector of unknowns: saved, stepped, and held by what is known before. */

export function saveState(state: PatternState): Float64Array {
  const out = new Float64Array(patternUnknowns);
  out.set(state.gridFromPlane.subarray(0, homographyUnknowns));
  out.set(state.blur, blurAt);
  out.set(state.tone, toneAt);
  out[sharpeningAt] = state.sharpening;
  out.set(state.gain, gainAt);
  out.set(state.offset, offsetAt);
  out.set(state.bend, bendAt);
  return out;
}

export function loadState(state: PatternState, saved: Float64Array): void {
  state.gridFromPlane.set(saved.subarray(0, homographyUnknowns));
  state.blur.set(saved.subarray(blurAt, toneAt));
  state.tone.set(saved.subarray(toneAt, sharpeningAt));
  state.sharpening = saved[sharpeningAt];
  state.gain.set(saved.subarray(gainAt, offsetAt));
  state.offset.set(saved.subarray(offsetAt, discAt));
  state.bend.set(saved.subarray(bendAt));
}

/** Takes over what the boards of one photo share. */
export function startLike(state: PatternState, other: PatternState): void {
  state.blur.set(other.blur);
  state.tone.set(other.tone);
  state.sharpening = other.sharpening;
  state.softRadiusPx = other.softRadiusPx;
}

/** Adds a step of the unknowns, within bounds that a photo can have. */
export function applyStep(state: PatternState, delta: Float64Array): void {
  for (let k = 0; k < homographyUnknowns; k++) state.gridFromPlane[k] += delta[k];
  for (let k = 0; k < 3; k++) state.blur[k] += delta[blurAt + k];
  limitBlur(state.blur);
  for (let k = 0; k < 2; k++) state.tone[k] = clamp(state.tone[k] + delta[toneAt + k], 2);
  state.sharpening = Math.max(-0.1, Math.min(2, state.sharpening + delta[sharpeningAt]));
  for (let k = 0; k < 6; k++) state.gain[k] += delta[gainAt + k];
  for (let k = 0; k < 3; k++) state.offset[k] += delta[offsetAt + k];
  for (let k = 0; k < 3; k++) state.bend[k] = clamp(state.bend[k] + delta[bendAt + k], maxBend);
}

/** Largest curvature, 1/cell: 1.5 cells of sagitta over a board's width; more is no board. */
const maxBend = (8 * 1.5) / 196;

const clamp = (x: number, limit: number): number => Math.max(-limit, Math.min(limit, x));

/**
 * Standard deviations of what is known before: how round the blur is, tone, sharpening, and the
 * bend (half a cell of sagitta, far more than paper on a plate has; the network knows it better).
 */
const prior = { blur: 3, tone: 1, sharpening: 0.4, bend: (8 * 0.5) / 196 } as const;
/**
 * How far the blur is a disc (0 Gaussian, 1 as `discTable`); third moment of colours, px^3 (red and
 * blue a pixel apart give 0.04); relative change of the blur's variance by that of 1/depth (twice the
 * ratio of the far disc to the board's).
 */
const shapePrior = { disc: 0.5, colour: 0.05, depth: 3 } as const;

/** Adds the observations that hold blur, tone, sharpening and bend where the picture says little. */
export function addPriors(
  normal: NormalEquations,
  state: PatternState,
  noiseVariance: number,
): void {
  const n = normal.unknowns;
  const add = (k: number, value: number, sd: number) => {
    normal.matrix[k * n + k] += noiseVariance / (sd * sd);
    normal.right[k] -= (noiseVariance / (sd * sd)) * value;
  };
  add(blurAt + 1, state.blur[1], prior.blur);
  add(toneAt, state.tone[0], prior.tone);
  add(toneAt + 1, state.tone[1], prior.tone);
  add(sharpeningAt, state.sharpening, prior.sharpening);
  add(discAt, 0, shapePrior.disc);
  add(colourAt, 0, shapePrior.colour);
  add(depthAt, 0, shapePrior.depth);
  if (n === patternUnknowns) for (let k = 0; k < 3; k++) add(bendAt + k, state.bend[k], prior.bend);
}

/** Step from the normal equations with Marquardt's damping; null where they are singular. */
export function step(normal: NormalEquations, damping = 0): Float64Array | null {
  const n = normal.unknowns;
  const matrix = normal.matrix.slice(0, n * n);
  for (let k = 0; k < n; k++) matrix[k * n + k] *= 1 + damping;
  if (cholesky(matrix, n, 1e-15).failedAt >= 0) return null;
  const delta = new Float64Array(patternUnknowns);
  delta.set(normal.right.subarray(0, n));
  choleskySolve(matrix, n, delta);
  return delta.every(Number.isFinite) ? delta : null;
}

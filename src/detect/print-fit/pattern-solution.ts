import { invertPositive } from "../../maths/dense.ts";
import type { BoardBend } from "./pattern-bend.ts";
import { bendAt, homographyUnknowns, type NormalEquations } from "./pattern-normal.ts";
import type { PatternGeometry } from "./pattern-state.ts";
import { step } from "./pattern-step.ts";
import { tileCount } from "./print/pattern-cells.ts";
import type { PatternMemory } from "./print/pattern-memory.ts";
import { tileAgreement } from "./tile-agreement.ts";

/** What the last pass of a fit says, with the first `unknowns` free and the others held. */
export interface Solution {
  readonly unknowns: number;
  readonly delta: Float64Array;
  /** Inverse normal matrix, `unknowns` square. */
  readonly inverse: Float64Array;
  /** Variance of the grey values about the model. */
  readonly variance: number;
  /** Factor on the variance that the agreement of the board's parts asks for. */
  readonly inflation: number;
  /** Sum of squares that the step leaves, and number of grey values less the unknowns. */
  readonly squares: number;
  readonly free: number;
  /** Whether the parts of the board disagree by more than chance. */
  readonly misfit: boolean;
  /** Variance that a bend has to prove itself against: the largest of what the residuals say. */
  readonly doubt: number;
  /** Root mean square of the tiles' remaining displacements, px. */
  readonly residualPx: number;
  /** Share of the busy tiles that were left out. */
  readonly coveredShare: number;
}

/**
 * What the agreement of the parts may take off the variance of the grey values at most: a picture's
 * grey values may err by more than its places do (haloes), but not without limit.
 */
const leastInflation = 0.2;

/**
 * Beyond this ratio the parts of a board disagree by more than chance: the model is not quite right.
 * What it gets wrong at the edges of one polarity is then common to many tiles, so that this share of
 * the misfit comes on top (from the corner bench's pictures of phones).
 */
const surely = 1.2;
const sharedMisfit = 0.5;

/** The sums of a pass and the equations made of them. */
interface Pass {
  readonly memory: PatternMemory;
  readonly normal: NormalEquations;
}

/** Solves the present normal equations; null where they are singular. */
export function solution({ memory, normal }: Pass, geometry: PatternGeometry): Solution | null {
  const { unknowns } = normal;
  const delta = step(normal);
  const inverse = invertPositive(symmetric(normal.matrix, unknowns), unknowns);
  if (!delta || !inverse) return null;
  const test = tileAgreement(geometry, memory, delta);
  const variance = varianceLeft(normal, delta);
  const agreed = test.mapVariance / variance;
  const inflation = Math.max(leastInflation, agreed + sharedMisfit * Math.max(0, agreed - surely));
  const coveredShare = shareLeftOut(geometry, memory);
  const doubt = Math.max(variance, test.variance, test.mapVariance);
  return {
    unknowns,
    delta,
    inverse,
    variance,
    inflation,
    squares: normal.squares - explained(normal, delta),
    free: normal.pixels - unknowns,
    misfit: agreed > surely,
    doubt,
    residualPx: test.rmsPx,
    coveredShare,
  };
}

function shareLeftOut({ weight }: PatternGeometry, { count }: PatternMemory): number {
  let [kept, busy] = [0, 0];
  for (let tile = 0; tile < tileCount; tile++) {
    if (count[tile] < 3) continue;
    busy++;
    if (weight[tile] > 0) kept++;
  }
  return 1 - kept / Math.max(1, busy);
}

const varianceLeft = (normal: NormalEquations, delta: Float64Array): number =>
  Math.max(1 / 12, (normal.squares - explained(normal, delta)) / (normal.pixels - normal.unknowns));

/** Sum of squares that a step takes away. */
const explained = ({ right }: NormalEquations, delta: Float64Array): number =>
  right.reduce((sum, r, k) => sum + r * delta[k], 0);

/** 99 % point of chi-square with three degrees of freedom: one flat board in a hundred is bent. */
const bendEvidence = 11.34;

/** A flat fit whose tiles disagree by more than this, px, may have gone astray for a bend. */
const strangeResidualPx = 0.06;

/**
 * Whether a board that was fitted as flat should be bent: a score test, with normal equations that
 * have the bend in them, against what the tiles would still disagree about.
 */
export function asksForBend(pass: Pass, geometry: PatternGeometry, flat: Solution): boolean {
  const { normal } = pass;
  if (flat.residualPx > strangeResidualPx) return true;
  const delta = step(normal);
  if (!delta) return false;
  const evidence = explained(normal, delta) - explained(normal, flat.delta);
  if (evidence < bendEvidence * varianceLeft(normal, delta)) return false;
  const bent = solution(pass, geometry);
  return bent !== null && evidence > bendEvidence * bent.doubt;
}

/** Whether a bend that was fitted differs from zero (Wald test, covariance with its inflation). */
export function isBent(bend: BoardBend, { unknowns: n, delta, inverse, doubt }: Solution): boolean {
  const block = new Float64Array(9);
  const value = new Float64Array(3);
  for (let i = 0; i < 3; i++) {
    value[i] = bend[i] + delta[bendAt + i];
    for (let j = 0; j < 3; j++) block[3 * i + j] = inverse[(bendAt + i) * n + bendAt + j];
  }
  const weight = invertPositive(block, 3);
  if (!weight) return false;
  let square = 0;
  for (let i = 0; i < 3; i++)
    for (let j = 0; j < 3; j++) square += value[i] * weight[3 * i + j] * value[j];
  return square > bendEvidence * doubt;
}

/** Covariance of the numbers that say where the board's points lie: homography, and bend if free. */
export function shapeCovariance({
  unknowns: n,
  inverse,
  variance,
  inflation,
}: Solution): Float64Array {
  const places = Array.from({ length: homographyUnknowns }, (_, k) => k);
  for (let k = bendAt; k < n; k++) places.push(k);
  return Float64Array.from(
    places.flatMap((i) => places.map((j) => inverse[i * n + j] * variance * inflation)),
  );
}

function symmetric(lower: Float64Array, n: number): Float64Array {
  const full = lower.slice(0, n * n);
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) full[j * n + i] = lower[i * n + j];
  return full;
}

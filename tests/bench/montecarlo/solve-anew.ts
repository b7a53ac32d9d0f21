/**
 * The engine solved anew with all its inputs drawn: the solution stands for the truth, every whitened
 * residual (image, priors, lengths, floor, plates) is replaced by a standard normal deviate, and the
 * whole adjustment is repeated. Errors are then laid beside the stated standard uncertainties.
 */
import { type SmallFactor, smallFactor } from "../../../src/adjust/factors/factor.ts";
import { type ImageFactor, imageFactor } from "../../../src/adjust/factors/image-factor.ts";
import type { Block, Layout } from "../../../src/adjust/problem/layout.ts";
import { type State, viewOf } from "../../../src/adjust/problem/state.ts";
import { makeModel, optimise } from "../../../src/adjust/solve/optimise.ts";
import { solveSquare } from "../../../src/maths/dense.ts";
import { type Random, random } from "../../unit/adjust/bay.ts";
import type { SolvedNetwork } from "./network.ts";

/** Statement with the residual that it would have had if its input had erred by `e`. */
const redrawnStatement = (
  factor: SmallFactor,
  atTruth: Float64Array,
  e: Float64Array,
): SmallFactor =>
  smallFactor({
    label: factor.label,
    source: factor.source,
    blocks: factor.blocks,
    width: factor.width,
    rows: factor.rows,
    residuals: (state, r, j) => {
      factor.residuals(state, r, j);
      for (let i = 0; i < factor.rows; i++) r[i] += e[i] - atTruth[i];
    },
  });

/** How a view's whitened residuals go with its pixels: rows x 2n, minus the weight's root. */
const whiteningOf = (
  view: ImageFactor,
  layout: Layout,
  state: State,
  at: Indexer,
): Float64Array => {
  const size = view.observation.pixels.length;
  const matrix = new Float64Array(view.rows * size);
  const zero = whitened(view, state);
  for (let k = 0; k < size; k++) {
    const pixels = view.observation.pixels.slice();
    pixels[k] += 1;
    const moved = whitened(imageFactor(layout, { ...view.observation, pixels }, at), state);
    for (let i = 0; i < view.rows; i++) matrix[i * size + k] = moved[i] - zero[i];
  }
  return matrix;
};

type Indexer = (block: Block) => number;

const whitened = (view: ImageFactor, state: State): Float64Array => {
  const r = new Float64Array(view.rows);
  view.inner(state, r, new Float64Array(view.rows * view.innerColumns.length));
  return r;
};

/** Smallest change of the pixels after which the whitened residuals are `e`. */
const redrawnPixels = (
  view: ImageFactor,
  state: State,
  matrix: Float64Array,
  r: Random,
): Float64Array | null => {
  const { rows } = view;
  const size = view.observation.pixels.length;
  const wanted = whitened(view, state).map((now) => r.normal() - now);
  const square = new Float64Array(rows * rows);
  for (let i = 0; i < rows; i++)
    for (let k = 0; k < rows; k++)
      for (let c = 0; c < size; c++)
        square[i * rows + k] += matrix[i * size + c] * matrix[k * size + c];
  const weights = solveSquare(square, wanted, rows);
  if (!weights) return null;
  return view.observation.pixels.map((pixel, c) => {
    let change = 0;
    for (let i = 0; i < rows; i++) change += matrix[i * size + c] * weights[i];
    return pixel + change;
  });
};

const known = new WeakMap<ImageFactor, Float64Array>();

/** Normalised errors of all numbers in one repetition; null where it did not come out. */
export const solveAnew = (
  { adjusted, quantities }: SolvedNetwork,
  stated: { readonly values: Float64Array; readonly sd: readonly number[] },
  seed: number,
): number[] | null => {
  const { model, state } = adjusted.internals;
  const { layout } = model;
  const r = random(seed);
  const index = new Map(layout.blocks.map((block, i) => [block, i]));
  const at: Indexer = (block) => index.get(block)!;
  const views = model.views.map((view) => {
    const matrix = known.get(view) ?? whiteningOf(view, layout, state, at);
    known.set(view, matrix);
    const pixels = redrawnPixels(view, state, matrix, r);
    return pixels && imageFactor(layout, { ...view.observation, pixels }, at);
  });
  if (views.some((view) => view === null)) return null;
  const statements = model.statements.map((factor) => {
    const atTruth = new Float64Array(factor.rows);
    factor.residuals(state, atTruth);
    return redrawnStatement(
      factor,
      atTruth,
      Float64Array.from({ length: factor.rows }, () => r.normal()),
    );
  });
  const again = makeModel(layout, views as ImageFactor[], statements);
  const solved = optimise(again, state, { robust: false, maxIterations: 100 });
  if (!solved.ok || !solved.converged) return null;
  const view = viewOf(layout, solved.state);
  return quantities.flatMap((quantity, i) =>
    stated.sd[i] > 1e-9 ? [(quantity.evaluate(view) - stated.values[i]) / stated.sd[i]] : [],
  );
};

import type { SmallFactor } from "../factors/factor.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import type { Layout } from "../problem/layout.ts";
import { moveState, type State } from "../problem/state.ts";
import { findDatum } from "./datum.ts";
import { type Factorisation, type NormalEquations, normalEquations } from "./normal-equations.ts";
import { impossibleCost, robustWeights, typicalMisfit } from "./robust.ts";

/** The weighted problem: views first, then all other statements, in one fixed order. */
export interface Model {
  readonly layout: Layout;
  readonly views: readonly ImageFactor[];
  readonly statements: readonly SmallFactor[];
  readonly equations: NormalEquations;
  /** True where boards, not photos, were eliminated: the datum then stands on the photos. */
  readonly datumOverPhotos: boolean;
}

export const makeModel = (
  layout: Layout,
  views: readonly ImageFactor[],
  statements: readonly SmallFactor[],
): Model => {
  const equations = normalEquations(layout, [...views, ...statements]);
  const photosKept = layout.photoBlock.some((b) => equations.keptAt[layout.blocks.indexOf(b)] >= 0);
  return { layout, views, statements, equations, datumOverPhotos: photosKept };
};

export interface OptimiseOptions {
  readonly robust: boolean;
  readonly maxIterations: number;
  /** Factors (views first, then statements) that get next to no weight. */
  readonly silenced?: ReadonlySet<number>;
}

const silentWeight = 1e-6;

export type Optimised =
  | {
      readonly ok: true;
      readonly state: State;
      /** Weight per factor: views, then statements (always 1). */
      readonly weights: Float64Array;
      readonly cost: number;
      readonly iterations: number;
      readonly converged: boolean;
    }
  | { readonly ok: false; readonly state: State; readonly failedAt: number };

/** A step whose expected gain in the weighted sum of squares is below this ends the iteration. */
const gainAtEnd = 1e-9;

/**
 * Where no step lowers the sum of squares any more, rounding hides what the full step might still gain:
 * less than this moves nothing by a thousandth of its standard deviation.
 */
const gainLost = 1e-6;

/**
 * After so many steps the weights stay as they are: where much does not fit, weights and state may
 * chase each other without end.
 */
const mostReweighed = 40;

/**
 * A damped step that lowers the sum of squares by less than this share creeps; then so many full steps
 * are looked ahead before another damped one is taken. While damped steps gain more the state is still
 * far from the minimum, and full steps could leap into another one.
 */
const creeping = 0.01;
const stepsAhead = 3;

/**
 * Levenberg-Marquardt on the block normal equations, with reweighting where `robust`. Where the sum of
 * squares is a narrow curved valley (one photo of a flat floor whose focus is free), a damped step creeps;
 * a few full steps, of which the first climbs its wall, often go a long way down: the watchdog technique
 * (Chamberlain, Powell, Lemarechal & Pedersen 1982).
 */
export const optimise = (model: Model, start: State, options: OptimiseOptions): Optimised => {
  const { layout, views, statements, equations } = model;
  const weights = new Float64Array(views.length + statements.length).fill(1);
  const costs = new Float64Array(weights.length);
  const silence = () => {
    for (const i of options.silenced ?? []) weights[i] = silentWeight;
    leaveOutImpossible(costs, weights);
  };
  let state = start;
  let lambda = 1e-4;
  let iterations = 0;
  let converged = false;
  let creeps = false;
  evaluate(model, state, costs);
  if (options.robust) reweigh(model, costs, weights);
  silence();
  let cost = weighted(model, costs, weights);
  if (!Number.isFinite(cost)) return { ok: false, state, failedAt: 0 };
  while (iterations < options.maxIterations && !converged) {
    iterations++;
    equations.build(state, weights);
    const { constraints } = findDatum(layout, state, statements, model.datumOverPhotos);
    for (let attempt = 0; ; attempt++) {
      const factorisation = equations.factor(lambda, constraints);
      if (!factorisation.ok) {
        if (lambda > 1e-2) return { ok: false, state, failedAt: factorisation.failedAt };
        lambda = Math.max(lambda, 1e-8) * 100;
        continue;
      }
      const step = downhill(equations, factorisation);
      const gain = expectedGain(step, equations.gradient);
      const trial = moveState(layout, state, step);
      const trialCosts = new Float64Array(costs.length);
      evaluate(model, trial, trialCosts);
      const trialCost = weighted(model, trialCosts, weights);
      const rounding = 1e-13 * cost;
      if (trialCost <= cost + rounding) {
        creeps = cost - trialCost < creeping * cost;
        state = trial;
        costs.set(trialCosts);
        const reweighs = options.robust && iterations <= mostReweighed;
        const changed = reweighs ? reweigh(model, costs, weights) : admit(costs, weights);
        silence();
        cost = weighted(model, costs, weights);
        converged = gain < Math.max(gainAtEnd, rounding) && lambda <= 1e-6 && changed < 1e-5;
        lambda = lambda <= 1e-9 ? 0 : lambda * 0.02;
        break;
      }
      const negligible = Math.max(gainAtEnd, 1e-12 * cost);
      if (gain < negligible) {
        // Damping alone makes any step gain little: only the full step tells a minimum.
        const lost = Math.max(negligible, Math.min(gainLost, 1e-9 * cost));
        converged = lambda === 0 || undampedGain(equations, constraints) < lost;
        if (converged) break;
      }
      const ahead = attempt === 0 && creeps && lookAhead(model, trial, weights, cost);
      if (ahead) {
        state = ahead.state;
        costs.set(ahead.costs);
        cost = weighted(model, costs, weights);
        break;
      }
      if (attempt === 0 && creeps) equations.build(state, weights);
      lambda = Math.max(lambda, 1e-8) * 10;
      if (attempt > 25) return { ok: true, state, weights, cost, iterations, converged: false };
    }
  }
  return { ok: true, state, weights, cost, iterations, converged };
};

/**
 * Full steps from a state that costs more than `cost`, the weights held: the first state that costs less,
 * or null where a few steps find none. Leaves the normal equations at another state.
 */
const lookAhead = (
  model: Model,
  from: State,
  weights: Float64Array,
  cost: number,
): { state: State; costs: Float64Array } | null => {
  const { layout, statements, equations } = model;
  const costs = new Float64Array(weights.length);
  let state = from;
  let last = Number.POSITIVE_INFINITY;
  for (let ahead = 0; ahead < stepsAhead; ahead++) {
    equations.build(state, weights);
    const { constraints } = findDatum(layout, state, statements, model.datumOverPhotos);
    const factorisation = equations.factor(0, constraints);
    if (!factorisation.ok) return null;
    const step = downhill(equations, factorisation);
    state = moveState(layout, state, step);
    evaluate(model, state, costs);
    const reached = weighted(model, costs, weights);
    if (reached < cost) return { state, costs };
    if (!(reached < last)) return null;
    last = reached;
  }
  return null;
};

const evaluate = (model: Model, state: State, costs: Float64Array): void => {
  const { views, statements } = model;
  for (let i = 0; i < views.length; i++) costs[i] = views[i].cost(state);
  for (let i = 0; i < statements.length; i++) costs[views.length + i] = statements[i].cost(state);
};

/**
 * A board behind the camera, or a lens that leaves no picture of it: the view says nothing that a step
 * could use. It is left out until the unknowns make it possible, and costs what any view that does not
 * fit at all costs.
 */
const leaveOutImpossible = (costs: Float64Array, weights: Float64Array): void => {
  for (let i = 0; i < costs.length; i++) if (!Number.isFinite(costs[i])) weights[i] = 0;
};

/** Takes views in again that have become possible; returns the largest change of a weight. */
const admit = (costs: Float64Array, weights: Float64Array): number => {
  let change = 0;
  for (let i = 0; i < costs.length; i++)
    if (weights[i] === 0 && Number.isFinite(costs[i])) change = weights[i] = 1;
  return change;
};

/** Sum of squares with full weights; views that are impossible count as grossly wrong. */
export const fullCost = ({ views, statements }: Model, state: State): number =>
  [...views, ...statements].reduce(
    (sum, factor) => sum + Math.min(factor.cost(state), grossly * factor.rows),
    0,
  );

/** Squared error per row beyond which it does not matter how wrong a view is. */
const grossly = 1e8;

/** Weighted sum of squares; a view that is left out counts with its bound, never as 0 times infinity. */
const weighted = (
  { views, statements }: Model,
  costs: Float64Array,
  weights: Float64Array,
): number => {
  let sum = 0;
  for (let i = 0; i < costs.length; i++) {
    const { rows } = i < views.length ? views[i] : statements[i - views.length];
    sum += weights[i] === 0 ? impossibleCost(rows) : weights[i] * costs[i];
  }
  return sum;
};

/** The step that the factored equations give. */
const downhill = (
  { gradient }: NormalEquations,
  { solve }: Factorisation & { readonly ok: true },
): Float64Array => {
  const step = gradient.map((v) => -v);
  solve(step);
  return step;
};

const expectedGain = (step: Float64Array, gradient: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < step.length; i++) sum -= step[i] * gradient[i];
  return sum;
};

/** What the full Gauss-Newton step would gain; Infinity where it is not determined. */
const undampedGain = (equations: NormalEquations, constraints: readonly Float64Array[]): number => {
  const factorisation = equations.factor(0, constraints);
  if (!factorisation.ok) return Number.POSITIVE_INFINITY;
  const step = downhill(equations, factorisation);
  return expectedGain(step, equations.gradient);
};

/** Updates the views' weights; returns the largest change. */
const reweigh = (model: Model, costs: Float64Array, weights: Float64Array): number => {
  const before = weights.slice(0, model.views.length);
  robustWeights(model.views, costs, typicalMisfit(model.views, costs), weights);
  let change = 0;
  for (let i = 0; i < before.length; i++)
    change = Math.max(change, Math.abs(weights[i] - before[i]));
  return change;
};

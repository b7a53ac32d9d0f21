import type { PhotoChange } from "../lens/lens.ts";
import { imageFactor } from "./factors/image-factor.ts";
import { statementFactors } from "./factors/statement-factors.ts";
import { checkProblem } from "./problem/check-problem.ts";
import type { Remark } from "./problem/codes.ts";
import { type Block, type Layout, layOut } from "./problem/layout.ts";
import { boardName, boardNumber, givenName } from "./problem/names.ts";
import type { NetworkProblem, Propagated, Quantity, StateView } from "./problem/problem.ts";
import { changeOf, copyState, priorState, type State, viewOf } from "./problem/state.ts";
import { type Propagator, propagate } from "./propagate/propagate.ts";
import { type Datum, findDatum } from "./solve/datum.ts";
import type { Factorisation } from "./solve/normal-equations.ts";
import { type Model, makeModel, type Optimised, optimise } from "./solve/optimise.ts";
import { type DownWeighted, listDownWeighted, pixelResiduals, rms } from "./solve/residuals.ts";
import { describeUndetermined, joinWords, openLens } from "./solve/undetermined.ts";
import { groupsApart, type NamedGroup, namedGroups } from "./start/groups-apart.ts";
import { joinGroups, levelToFloor, placeFrames } from "./start/place-rest.ts";
import { turnOverWrongPoses } from "./start/recover.ts";
import { coarseViews, placeGroup, type View, viewGroups } from "./start/start.ts";

export interface AdjustOptions {
  /** Down-weights whole views that do not fit, and lists them. Default true. */
  readonly robust?: boolean;
  readonly maxIterations?: number;
  /** Fewest photos that count as a measurement. Default 1; the job asks for more. */
  readonly minimumPhotos?: number;
  /** Start values from an earlier adjustment of the same problem, instead of finding them. */
  readonly startState?: State;
}

export type { DownWeighted } from "./solve/residuals.ts";

/** The solution in the solver's own terms, for diagnosis and planning. */
export interface Internals {
  readonly model: Model;
  readonly state: State;
  readonly weights: Float64Array;
  readonly factorisation: Factorisation & { readonly ok: true };
  readonly datum: Datum;
  readonly propagator: Propagator;
}

export interface Adjusted {
  readonly ok: true;
  readonly state: StateView;
  /** Weighted sum of squares over redundancy; about 1 when all statements fit. */
  readonly sigma0Squared: number;
  /** Number of observations (rows, priors included) minus number of determined unknowns. */
  readonly redundancy: number;
  readonly observations: number;
  readonly unknowns: number;
  readonly iterations: number;
  readonly converged: boolean;
  /** Root mean square of the feature residuals, px per coordinate, unweighted. */
  readonly residualPx: number;
  readonly photoResidualPx: ReadonlyMap<string, number>;
  readonly boardResidualPx: ReadonlyMap<string, number>;
  readonly downWeighted: readonly DownWeighted[];
  readonly remarks: readonly Remark[];
  photoChange(photo: string): PhotoChange;
  /** Covariance of any functions of the unknowns, with all correlations and the budget. */
  propagate(quantities: readonly Quantity[]): Propagated;
  readonly internals: Internals;
}

export type AdjustOutcome =
  | Adjusted
  | {
      readonly ok: false;
      readonly reason: "bad input" | "not connected" | "not determined" | "not converged";
      readonly remarks: readonly Remark[];
      /** Where not connected: what hangs together, by name. */
      readonly groups?: readonly NamedGroup[];
    };

/** Adjusts everything that is known about a bay at once. See problem.ts for what goes in. */
export const adjust = (problem: NetworkProblem, options: AdjustOptions = {}): AdjustOutcome => {
  const bad = checkProblem(problem);
  if (bad.length > 0) return { ok: false, reason: "bad input", remarks: bad };
  const few = tooFewPhotos(problem, options.minimumPhotos ?? 1);
  if (few) return { ok: false, reason: "bad input", remarks: [few] };
  const layout = layOut(problem);
  const indexOfBlock = blockIndexer(layout);
  const model = makeModel(
    layout,
    problem.observations.map((o) => imageFactor(layout, o, indexOfBlock)),
    statementFactors(layout, indexOfBlock),
  );
  const views = options.startState ? [] : coarseViews(layout);
  const attempts = options.startState ? 1 : 3;
  let best: { outcome: Optimised & { ok: true }; undecided: Remark[] } | null = null;
  let failure: AdjustOutcome | null = null;
  for (let attempt = 0; attempt < attempts; attempt++) {
    const start = options.startState
      ? { ok: true as const, state: copyState(options.startState) }
      : findStart(layout, views, attempt);
    if (!start.ok) return start.outcome;
    const tried = settle(model, views, start.state, options);
    if (!tried.outcome.ok) {
      failure = notDetermined(model, tried.outcome);
      continue;
    }
    const found = { outcome: tried.outcome, undecided: tried.undecided };
    if (!best || found.outcome.cost < best.outcome.cost) best = found;
    if (fits(model, best.outcome)) break;
  }
  if (!best) return failure!;
  return finish(model, best.outcome, best.undecided);
};

const blockIndexer = (layout: Layout) => {
  const index = new Map(layout.blocks.map((block, i) => [block, i]));
  return (block: Block): number => index.get(block)!;
};

const tooFewPhotos = (problem: NetworkProblem, minimum: number): Remark | null =>
  problem.photos.length >= minimum
    ? null
    : {
        code: "too-few-photos",
        values: { usable: problem.photos.length, fewest: minimum },
        severity: "error",
        message:
          problem.photos.length === 1
            ? "There is only one photo: nothing would show an error in it."
            : `There are only ${problem.photos.length} photos.`,
        remedy: `Take at least ${minimum} photos from different places.`,
      };

/** Start values for one attempt, or why there are none. */
const findStart = (
  layout: Layout,
  views: readonly View[],
  attempt: number,
): { ok: true; state: State } | { ok: false; outcome: AdjustOutcome } => {
  const state = priorState(layout);
  const groups = viewGroups(layout, views);
  for (const group of groups) placeGroup(state, views, group, attempt);
  const apart = joinGroups(layout, state, groups);
  if (apart.length > 1) {
    const named = namedGroups(layout, apart);
    const remarks = [groupsApart(named)];
    return { ok: false, outcome: { ok: false, reason: "not connected", remarks, groups: named } };
  }
  levelToFloor(layout, state);
  const unplaced = placeFrames(layout, state);
  if (unplaced.length === 0) return { ok: true, state };
  const remark: Remark = {
    code: "not-determined",
    values: { what: unplaced.map(givenName), kind: "frame" },
    severity: "error",
    message: `Nothing ties ${joinWords(unplaced.map((key) => `"${givenName(key)}"`))} to the boards.`,
    remedy: "Photograph a board that is fixed to it together with the others.",
    about: givenName(unplaced[0]),
  };
  return { ok: false, outcome: { ok: false, reason: "not determined", remarks: [remark] } };
};

/** Optimises, then mirrors photos and boards in the wrong planar solution, until none changes. */
const settle = (
  model: Model,
  views: readonly View[],
  start: State,
  options: AdjustOptions,
): { outcome: Optimised; undecided: Remark[] } => {
  const settings = { robust: options.robust ?? true, maxIterations: options.maxIterations ?? 200 };
  let outcome = optimise(model, start, settings);
  for (let round = 0; round < 4 && outcome.ok; round++) {
    if (views.length === 0) break;
    const turned = copyState(outcome.state);
    const { moved, undecided } = turnOverWrongPoses(turned, views);
    if (moved === 0)
      return { outcome, undecided: undecided.map((i) => ambiguous(model.layout, i)) };
    const again = optimise(model, turned, settings);
    if (!again.ok || again.cost >= outcome.cost) break;
    outcome = again;
  }
  return { outcome, undecided: [] };
};

const ambiguous = (layout: Layout, item: { kind: "photo" | "board"; index: number }): Remark => {
  const key =
    item.kind === "photo"
      ? layout.problem.photos[item.index].key
      : layout.problem.boards[item.index].key;
  const name = item.kind === "photo" ? `photo ${key}` : boardName(key);
  return {
    code: "two-solutions",
    values: { kind: item.kind, key: item.kind === "photo" ? key : boardNumber(key) },
    severity: "warning",
    message: `The photos hardly tell in which of two mirrored ways ${name} is turned.`,
    remedy:
      item.kind === "board"
        ? `Take a photo of ${name} from nearer or from another side.`
        : `Take a photo from the same place that shows more boards.`,
    about: item.kind === "photo" ? key : boardNumber(key),
  };
};

/** True where the typical view fits its noise about as stated, so that no other start is needed. */
const fits = (model: Model, outcome: Optimised & { ok: true }): boolean => {
  let low = 0;
  for (let i = 0; i < model.views.length; i++) if (outcome.weights[i] < 0.5) low++;
  const rows = model.views.reduce((sum, v) => sum + v.rows, 0);
  return low === 0 && outcome.cost < 4 * rows;
};

const notDetermined = (model: Model, outcome: Optimised & { ok: false }): AdjustOutcome => ({
  ok: false,
  reason: "not determined",
  remarks: [describeUndetermined(model, outcome.state, outcome.failedAt)],
});

const finish = (
  model: Model,
  outcome: Optimised & { ok: true },
  undecided: Remark[],
): AdjustOutcome => {
  const { layout, equations, views, statements } = model;
  const { state, weights } = outcome;
  equations.build(state, weights);
  const solved = findDatum(layout, state, statements, model.datumOverPhotos);
  const factorisation = equations.factor(0, solved.constraints);
  if (!factorisation.ok)
    return notDetermined(model, { ok: false, state, failedAt: factorisation.failedAt });
  const failedAt = outcome.converged ? -1 : openLens(model, state, factorisation);
  if (failedAt >= 0) return notDetermined(model, { ok: false, state, failedAt });
  if (!outcome.converged)
    return { ok: false, reason: "not converged", remarks: [notConverged(outcome.iterations)] };
  const datum = findDatum(layout, state, statements);
  const propagator: Propagator = {
    layout,
    state,
    solve: factorisation.solve,
    datum,
    statements,
    innerSolution: !model.datumOverPhotos,
  };
  const observations = [...views, ...statements].reduce((sum, f) => sum + f.rows, 0);
  const unknowns = layout.size - datum.motions.length;
  const redundancy = observations - unknowns;
  const residuals = pixelResiduals(views, state);
  return {
    ok: true,
    state: viewOf(layout, state),
    sigma0Squared: redundancy > 0 ? outcome.cost / redundancy : Number.NaN,
    redundancy,
    observations,
    unknowns,
    iterations: outcome.iterations,
    converged: outcome.converged,
    residualPx: rms(residuals, () => true),
    photoResidualPx: new Map(
      layout.problem.photos.map((p, i) => [p.key, rms(residuals, (v) => v.photo === i)]),
    ),
    boardResidualPx: new Map(
      layout.problem.boards.map((b, i) => [b.key, rms(residuals, (v) => v.board === i)]),
    ),
    downWeighted: listDownWeighted(views, weights, residuals),
    remarks: undecided,
    photoChange: (key) => changeOf(state, layout.photoIndex.get(key)!),
    propagate: (quantities) => propagate(propagator, quantities),
    internals: { model, state, weights, factorisation, datum, propagator },
  };
};

/**
 * Repeats an adjustment from `start` without robust weights and with almost no weight on the factors
 * in `silenced` (indices, views first, then statements); for diagnosis only. Null if it fails.
 */
export const readjustWithout = (
  { internals: { model } }: Adjusted,
  silenced: ReadonlySet<number>,
  start: State,
): Internals | null => {
  const outcome = optimise(model, start, { robust: false, maxIterations: 30, silenced });
  if (!outcome.ok) return null;
  const again = finish(model, outcome, []);
  return again.ok ? again.internals : null;
};

const notConverged = (iterations: number): Remark => ({
  code: "not-converged",
  values: { iterations },
  severity: "error",
  message: `The adjustment did not settle in ${iterations} steps.`,
  remedy: "Check the stated sizes and lengths, and take more photos from other places.",
});

import { solveSquare } from "../../maths/dense.ts";
import {
  add,
  compose,
  invert,
  localCoordinates,
  type Pose,
  scale,
  type Vec3,
} from "../../maths/pose.ts";
import { chiSquareQuantile } from "../../maths/statistics.ts";
import { type Adjusted, adjust, type Internals, readjustWithout } from "../adjust.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import type { NetworkProblem, StateView } from "../problem/problem.ts";
import { asOneBody, displacementGain } from "./displacement.ts";
import {
  applySplit,
  bestSplit,
  describeMove,
  earlierKey,
  falseAlarm,
  type MovedBoard,
  plainCost,
  type Split,
  viewsEachSide,
  withBoardTwice,
} from "./moved-boards.ts";

/** Boards that are fixed to one thing and move only with it: a car on its wheels, a stand. */
export interface Body {
  readonly name: string;
  readonly boards: readonly string[];
}

/**
 * A body that was moved while the photos were taken. Several boards then change their places at one
 * moment and by one motion; looked at board by board, the others outvote each of them, or the floor
 * is blamed. The common motion has six numbers, as the move of one board has: whichever explains more
 * is what happened.
 */
export interface MovedBody {
  readonly body: string;
  /** Boards with photos before and after the move; the one that moved farthest first. */
  readonly boards: readonly [MovedBoard, ...MovedBoard[]];
  /** Last photo before and first photo after the move among those that show the body. */
  readonly lastBefore: string;
  readonly firstAfter: string;
  /** Photos that show the body at its earlier place, in their order. */
  readonly earlier: readonly string[];
}

export interface BodiesSplit {
  readonly problem: NetworkProblem;
  readonly adjusted: Adjusted;
  readonly moved: readonly MovedBody[];
}

/** Moments that are tried out where a move is large and its linear test only roughly right. Our own. */
const momentsTried = 3;

/**
 * Keeps the places of bodies that moved apart and adjusts again, before the noise is settled: a move
 * must not widen it.
 */
export const splitMovedBodies = (
  problem: NetworkProblem,
  adjusted: Adjusted,
  bodies: readonly Body[],
): BodiesSplit => {
  let current: BodiesSplit = { problem, adjusted, moved: [] };
  let left = bodies;
  while (left.length > 0 && current.moved.length < mostMoves) {
    const internals = withFullWeights(current.adjusted);
    const best = left
      .map((body) => ({ body, moments: momentsOf(internals, body) }))
      .sort((a, b) => gainOf(b.moments) - gainOf(a.moments))[0];
    const split = tried(current, internals, best.body, best.moments);
    if (!split) break;
    current = { ...split, moved: [...current.moved, ...split.moved] };
    const { boards } = split.moved[0];
    // What sinks all the time moves again, before or after.
    const earlier = { name: best.body.name, boards: boards.map(({ earlierKey: key }) => key) };
    left = [...left, earlier];
  }
  return current;
};

/** More moves than this are not told apart. Our own, no source. */
const mostMoves = 4;

const withFullWeights = (adjusted: Adjusted): Internals =>
  adjusted.downWeighted.length === 0
    ? adjusted.internals
    : (readjustWithout(adjusted, new Set(), adjusted.internals.state) ?? adjusted.internals);

/** A moment at which the body may have moved, and what that gains. */
interface Moment {
  /** Photos (indices) from this one on show the body at its later place. */
  readonly from: number;
  readonly gain: number;
}

const gainOf = (moments: readonly Moment[]): number => moments[0]?.gain ?? 0;

/** Moments by gain, largest first; none where one odd photo explains as much. */
const momentsOf = (internals: Internals, body: Body): Moment[] => {
  const views = viewsOf(internals, body);
  const photos = [...new Set(views.map(({ photo }) => photo))].sort((a, b) => a - b);
  if (body.boards.length < 2 || photos.length < 2 * viewsEachSide) return [];
  const along = asOneBody(internals.state, middleOf(internals, body));
  const gain = (some: readonly ImageFactor[]) => displacementGain(internals, some, along);
  const moments = photos
    .slice(viewsEachSide, photos.length - viewsEachSide + 1)
    .map((from) => ({ from, gain: gain(views.filter(({ photo }) => photo >= from)) }))
    .sort((a, b) => b.gain - a.gain);
  const single = Math.max(...photos.map((p) => gain(views.filter(({ photo }) => photo === p))));
  return gainOf(moments) < single ? [] : moments;
};

const viewsOf = ({ model }: Internals, { boards }: Body): ImageFactor[] =>
  model.views.filter(({ observation }) => boards.includes(observation.board));

const middleOf = ({ model: { layout }, state }: Internals, { boards }: Body): Vec3 => {
  const places = boards.flatMap((key) => layout.boardIndex.get(key) ?? []);
  const sum = places.reduce<Vec3>((total, i) => add(total, state.boardPose[i].t), [0, 0, 0]);
  return scale(sum, 1 / places.length);
};

/** The body apart at the moment that fits best; null where nothing demands it. */
const tried = (
  { problem, adjusted }: BodiesSplit,
  internals: Internals,
  body: Body,
  moments: readonly Moment[],
): BodiesSplit | null => {
  const demanded = chiSquareQuantile(1 - falseAlarm, 6);
  if (gainOf(moments) < demanded * Math.max(1, typicalNoise(adjusted))) return null;
  // One board of the body that moved alone is no move of the body.
  const alone = Math.max(...body.boards.map((board) => aloneGain(internals, board)));
  if (alone > gainOf(moments)) return null;
  const before = plainCost({ ...adjusted, internals });
  const outcomes = moments.slice(0, momentsTried).flatMap(({ from }) => {
    const splits = splitsAt(problem, body, from);
    if (splits.length < 2) return [];
    const trial = splits.reduce(applySplit, problem);
    const outcome = adjust(trial, { startState: stateOf(adjusted, splits) });
    return outcome.ok ? [{ splits, trial, outcome, cost: plainCost(outcome) }] : [];
  });
  const best = outcomes.sort((a, b) => a.cost - b.cost)[0];
  if (!best) return null;
  const improvement = before - best.cost;
  const enough = chiSquareQuantile(1 - falseAlarm, 6 * best.splits.length);
  if (improvement < enough * Math.max(1, best.outcome.sigma0Squared)) return null;
  if (!movedAsOne(best.outcome, best.splits)) return null;
  const moved = described(body, best.outcome, best.splits, improvement);
  return { problem: best.trial, adjusted: best.outcome, moved: [moved] };
};

/** The move of a body, from the adjustment that keeps its places apart. */
export const described = (
  { name, boards }: Body,
  adjusted: Adjusted,
  splits: readonly Split[],
  improvement: number,
): MovedBody => {
  const [farthest, ...others] = splits
    .map((split) => describeMove(adjusted, split, improvement))
    .sort((a, b) => b.shiftMm - a.shiftMm);
  const { internals } = adjusted;
  const when = dated(internals, splits);
  const photos = photosOf(internals, [...boards, ...splits.map(earlierKey)]);
  const earlier = photos.slice(0, photos.indexOf(when.firstAfter));
  return { body: name, boards: [farthest, ...others], earlier, ...when };
};

/** Photos that show any of these boards, in their order. */
const photosOf = ({ model: { layout } }: Internals, boards: readonly string[]): string[] => {
  const { photos, observations } = layout.problem;
  const showing = new Set(
    observations.filter(({ board }) => boards.includes(board)).map(({ photo }) => photo),
  );
  return photos.map(({ key }) => key).filter((key) => showing.has(key));
};

/** The boards lie to each other as they did before: a wheel that was turned or a plate that slipped does not. */
export const movedAsOne = (adjusted: Adjusted, [first, ...others]: readonly Split[]): boolean =>
  others.every((other) => {
    const { values, covariance } = adjusted.propagate(
      [0, 1, 2, 3, 4, 5].map((k) => ({
        key: `change ${k}`,
        evaluate: (view) => {
          const before = relative(view, earlierKey(first), earlierKey(other));
          const after = relative(view, first.board, other.board);
          return localCoordinates(before, after)[k];
        },
      })),
    );
    const solved = solveSquare(covariance, values, 6);
    // Nothing tells a change apart from none: no contradiction.
    if (!solved) return true;
    const statistic = values.reduce((sum, value, k) => sum + value * solved[k], 0);
    const allowed = chiSquareQuantile(1 - falseAlarm, 6) * Math.max(1, adjusted.sigma0Squared);
    return statistic < allowed;
  });

const relative = (view: StateView, from: string, to: string): Pose =>
  compose(invert(view.pose(from)), view.pose(to));

/** The move itself makes everything misfit: only what is no move may raise what is demanded. */
const typicalNoise = ({ sigma0Squared }: Adjusted): number => Math.min(sigma0Squared, mostNoise);
/** Variance factor beyond which a misfit is no noise. Our own, no source. */
const mostNoise = 4;

const aloneGain = (internals: Internals, board: string): number =>
  internals.model.layout.boardIndex.has(board) ? (bestSplit(internals, board)?.gain ?? 0) : 0;

/** The boards that have photos on both sides of the moment, each split there. */
export const splitsAt = (
  { photos, observations }: NetworkProblem,
  { boards }: Body,
  from: number,
): Split[] => {
  const place = new Map(photos.map(({ key }, i) => [key, i]));
  return boards.flatMap((board) => {
    const seen = observations
      .filter((o) => o.board === board)
      .map(({ photo }) => place.get(photo)!)
      .sort((a, b) => a - b);
    const before = seen.filter((photo) => photo < from).map((photo) => photos[photo].key);
    const after = seen.filter((photo) => photo >= from).map((photo) => photos[photo].key);
    if (before.length === 0 || after.length === 0) return [];
    const lastBefore = before[before.length - 1];
    return [{ board, before: new Set(before), lastBefore, firstAfter: after[0] }];
  });
};

const stateOf = ({ internals: { state, model } }: Adjusted, splits: readonly Split[]) =>
  splits.reduce(
    (from, { board }) => withBoardTwice(from, model.layout.boardIndex.get(board)!),
    state,
  );

/** Between the last photo that shows any board before, and the first that shows any after. */
const dated = (
  { model }: Internals,
  splits: readonly Split[],
): { lastBefore: string; firstAfter: string } => {
  const place = (photo: string): number => model.layout.photoIndex.get(photo)!;
  const inOrder = (photos: string[]): string[] => photos.sort((a, b) => place(a) - place(b));
  const before = inOrder(splits.map(({ lastBefore }) => lastBefore));
  const after = inOrder(splits.map(({ firstAfter }) => firstAfter));
  return { lastBefore: before[before.length - 1], firstAfter: after[0] };
};

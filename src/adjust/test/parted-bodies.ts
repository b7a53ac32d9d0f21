import { upperMedian } from "../../maths/median.ts";
import { norm, sub } from "../../maths/pose.ts";
import { type AdjustOptions, adjust } from "../adjust.ts";
import { layOut } from "../problem/layout.ts";
import type { NetworkProblem } from "../problem/problem.ts";
import { coarseViews, type View } from "../start/start.ts";
import { applySplit, plainCost } from "./moved-boards.ts";
import { type BodiesSplit, type Body, described, movedAsOne, splitsAt } from "./moved-bodies.ts";

/**
 * A body that was moved so far between photos that no adjustment of all of them settles: a car that
 * was rolled on by half a turn of its wheels. Each photo by itself tells how far a board of the body
 * is from a board beside it; the moment at which these distances jump is tried first.
 */
export const partedBody = (
  problem: NetworkProblem,
  bodies: readonly Body[],
  options: AdjustOptions = {},
): BodiesSplit | null => {
  const distances = distancesIn(problem);
  const jumps = bodies
    .filter(({ boards }) => boards.length > 1)
    .flatMap((body) => jumpsOf(body, distances).map((jump) => ({ body, ...jump })))
    .sort((a, b) => b.gain - a.gain)
    .slice(0, jumpsTried);
  const [best] = jumps
    .flatMap(({ body, from }) => apartAt(problem, body, from, options) ?? [])
    .sort((a, b) => a.cost - b.cost);
  return best ? atItsMoment(problem, best, options) : null;
};

/** A body with its places before and after a moment apart. */
interface Apart extends BodiesSplit {
  readonly of: Body;
  /** Photos (indices) from this one on show the later place. */
  readonly from: number;
  /** Sum of squares with full weights. */
  readonly cost: number;
}

const apartAt = (
  problem: NetworkProblem,
  of: Body,
  from: number,
  options: AdjustOptions,
): Apart | null => {
  const splits = splitsAt(problem, of, from);
  if (splits.length < 2) return null;
  const trial = splits.reduce(applySplit, problem);
  const adjusted = adjust(trial, { ...options, maxIterations: stepsTried });
  if (!adjusted.ok || adjusted.sigma0Squared > worstFit) return null;
  if (!movedAsOne(adjusted, splits)) return null;
  const moved = described(of, adjusted, splits, Number.POSITIVE_INFINITY);
  if (moved.boards[0].shiftMm < leastJumpMm) return null;
  return { of, from, problem: trial, adjusted, moved: [moved], cost: plainCost(adjusted) };
};

/**
 * Distances of single photos date a jump within a photo or two, and a photo on its wrong side is
 * outvoted without a word: the moment goes on to the next photo for as long as that fits better.
 */
const atItsMoment = (problem: NetworkProblem, first: Apart, options: AdjustOptions): Apart => {
  let best = first;
  while (true) {
    const [next] = [best.from - 1, best.from + 1]
      .flatMap((from) => apartAt(problem, best.of, from, options) ?? [])
      .sort((a, b) => a.cost - b.cost);
    if (!next || next.cost >= best.cost) return best;
    best = next;
  }
};

/** Jumps that are tried out, each with an adjustment from nothing. Our own, no source. */
const jumpsTried = 3;
/** With the right photos apart an adjustment settles sooner. Our own, no source. */
const stepsTried = 60;
/** Share of what single photos contradict each other in that one jump has to explain. Our own. */
const explainedShare = 0.25;
/** Smaller moves leave an adjustment that settles. Our own, no source. */
const leastJumpMm = 100;
/** Variance factor beyond which something else is wrong as well. Our own, no source. */
const worstFit = 4;
/** How far a distance out of one photo is off, as a share of the farther board's own. Our own. */
const coarseShare = 0.03;

/** Between two boards as one photo shows them. */
interface Distance {
  readonly photo: number;
  readonly boards: readonly [string, string];
  readonly mm: number;
  readonly sdMm: number;
}

const distancesIn = (problem: NetworkProblem): Distance[] => {
  const views = coarseViews(layOut(problem));
  const key = ({ board }: View): string => problem.boards[board].key;
  return views.flatMap((a, i) =>
    views.slice(i + 1).flatMap((b) => {
      if (a.photo !== b.photo || a.candidates.length === 0 || b.candidates.length === 0) return [];
      const [one, other] = [a.candidates[0].t, b.candidates[0].t];
      const sdMm = coarseShare * Math.max(norm(one), norm(other));
      return [{ photo: a.photo, boards: [key(a), key(b)], mm: norm(sub(one, other)), sdMm }];
    }),
  );
};

/**
 * Moments at which the distances from the body to what stands beside it change, with what a change
 * there explains of them (weighted squares about one median less those about two).
 */
const jumpsOf = (
  { boards }: Body,
  distances: readonly Distance[],
): { from: number; gain: number }[] => {
  const across = distances.filter(
    ({ boards: [a, b] }) => boards.includes(a) !== boards.includes(b),
  );
  const pairs = new Map<string, Distance[]>();
  for (const distance of across) {
    const name = [...distance.boards].sort().join(" ");
    pairs.set(name, [...(pairs.get(name) ?? []), distance]);
  }
  const total = [...pairs.values()].reduce((sum, pair) => sum + spread(pair), 0);
  const photos = [...new Set(across.map(({ photo }) => photo))].sort((a, b) => a - b).slice(1);
  return photos
    .map((from) => ({
      from,
      gain: [...pairs.values()].reduce((sum, pair) => sum + gainOf(pair, from), 0),
    }))
    .filter(({ gain }) => gain > Math.max(bound, explainedShare * total))
    .sort((a, b) => b.gain - a.gain);
};

const gainOf = (pair: readonly Distance[], from: number): number => {
  const before = pair.filter(({ photo }) => photo < from);
  const after = pair.filter(({ photo }) => photo >= from);
  if (before.length === 0 || after.length === 0) return 0;
  return spread(pair) - spread(before) - spread(after);
};

/** Squares about the median, in units of what a single photo tells; one bad photo counts bounded. */
const spread = (some: readonly Distance[]): number => {
  const middle = upperMedian(some.map(({ mm }) => mm)) ?? 0;
  return some.reduce((sum, { mm, sdMm }) => sum + Math.min(((mm - middle) / sdMm) ** 2, bound), 0);
};
const bound = 100;

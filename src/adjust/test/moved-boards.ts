import { compose, degrees, invert, logRotation, norm } from "../../maths/pose.ts";
import { chiSquareQuantile } from "../../maths/statistics.ts";
import { type Adjusted, type AdjustOptions, adjust, type Internals } from "../adjust.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import type { NetworkProblem } from "../problem/problem.ts";
import { copyState, type State } from "../problem/state.ts";
import { fullCost } from "../solve/optimise.ts";
import { displacementGain } from "./displacement.ts";

/**
 * A board that was moved while the photos were taken. Its views then agree among themselves before
 * and after one moment, and with the rest of the bay at no common pose. The moment is looked for
 * in the stated order of the photos; the board is split in two and the whole bay adjusted again,
 * so that no average of the two places enters any result.
 */
export interface MovedBoard {
  readonly board: string;
  /** Last photo before and first photo after the move among those that show the board. */
  readonly lastBefore: string;
  readonly firstAfter: string;
  /** Distance between its two places, its standard uncertainty, and the angle between them. */
  readonly shiftMm: number;
  readonly shiftSdMm: number;
  readonly turnDeg: number;
  /** Key under which the earlier place is kept; the board's own key now means the later place. */
  readonly earlierKey: string;
  /** Drop of the weighted sum of squares by the split, chi-square with 6 if nothing had moved. */
  readonly improvement: number;
}

/** Probability of calling a board at rest moved, per board tried. Our own, no source. */
export const falseAlarm = 1e-6;
/** Fewest views on each side of a move; a single odd view is a misfit of that view, not a move. */
export const viewsEachSide = 2;

export interface Split {
  readonly board: string;
  /** Photos (keys) up to and including the last before the move. */
  readonly before: ReadonlySet<string>;
  readonly lastBefore: string;
  readonly firstAfter: string;
}

/** The best moment to split a board and what it gains over the best single wrong view of it. */
export const bestSplit = (
  internals: Internals,
  board: string,
): { split: Split; gain: number } | null => {
  const { model } = internals;
  const index = model.layout.boardIndex.get(board)!;
  const views = model.views.filter((v) => v.board === index).sort((a, b) => a.photo - b.photo);
  if (views.length < 2 * viewsEachSide) return null;
  let at = 0;
  let gain = 0;
  for (let k = viewsEachSide; k <= views.length - viewsEachSide; k++) {
    const value = displacementGain(internals, views.slice(k));
    if (value > gain) {
      gain = value;
      at = k;
    }
  }
  const single = Math.max(...views.map((view) => displacementGain(internals, [view])));
  if (at === 0 || gain < single) return null;
  const key = (v: ImageFactor) => v.observation.photo;
  const split = {
    board,
    before: new Set(views.slice(0, at).map(key)),
    lastBefore: key(views[at - 1]),
    firstAfter: key(views[at]),
  };
  return { split, gain };
};

/** What one split gains in another solution. */
const gainAt = (internals: Internals, { board, before }: Split): number => {
  const late = internals.model.views.filter(
    ({ observation }) => observation.board === board && !before.has(observation.photo),
  );
  return displacementGain(internals, late);
};

export const applySplit = (problem: NetworkProblem, split: Split): NetworkProblem => {
  const earlier = earlierKey(split);
  const board = problem.boards.find((b) => b.key === split.board)!;
  return {
    ...problem,
    boards: [...problem.boards, { ...board, key: earlier }],
    observations: problem.observations.map((o) =>
      o.board === split.board && split.before.has(o.photo) ? { ...o, board: earlier } : o,
    ),
  };
};

export const earlierKey = (split: Split): string => `${split.board} until ${split.lastBefore}`;

/** What a wrong statement about a board (a length, the floor) would gain as an explanation. */
export type RivalGain = (board: string) => number;

/** Solutions in which moves are looked for. */
export interface Grounds {
  /** Plain least squares, in which every view has its full weight. */
  readonly plain: Internals;
  /** The same without a statement that is in doubt: a move has to show there, too. */
  readonly doubtful: Internals | null;
}

/** Applies the one split among the suspect boards that the data demand most, or none. */
export const splitOneMovedBoard = (
  problem: NetworkProblem,
  adjusted: Adjusted,
  { plain: internals, doubtful }: Grounds,
  suspects: readonly string[],
  rivalGain: RivalGain,
  options: AdjustOptions = {},
): { problem: NetworkProblem; adjusted: Adjusted; moved: MovedBoard } | null => {
  const demanded = chiSquareQuantile(1 - falseAlarm, 6) * Math.max(1, adjusted.sigma0Squared);
  const candidates = suspects
    .flatMap((board) => bestSplit(internals, board) ?? [])
    .filter(({ split, gain }) => gain > Math.max(demanded, rivalGain(split.board)))
    .filter(({ split }) => !doubtful || gainAt(doubtful, split) > demanded)
    .sort((a, b) => b.gain - a.gain);
  for (const { split } of candidates) {
    const trial = applySplit(problem, split);
    const startState = splitState(adjusted, split.board);
    const outcome = adjust(trial, { ...options, startState });
    if (!outcome.ok) continue;
    const improvement = fullCost(internals.model, internals.state) - plainCost(outcome);
    if (improvement < demanded) continue;
    return { problem: trial, adjusted: outcome, moved: describeMove(outcome, split, improvement) };
  }
  return null;
};

/** State of the split problem: the earlier place starts where the board is now. */
const splitState = ({ internals }: Adjusted, board: string): State =>
  withBoardTwice(internals.state, internals.model.layout.boardIndex.get(board)!);

/** The state with one more board at the end, where the board of that index is. */
export const withBoardTwice = (from: State, index: number): State => {
  const state = copyState(from);
  state.boardPose.push(state.boardPose[index]);
  return {
    ...state,
    cellChange: Float64Array.of(...state.cellChange, state.cellChange[index]),
    stretch: Float64Array.of(...state.stretch, state.stretch[index]),
    bend: Float64Array.of(...state.bend, ...state.bend.subarray(3 * index, 3 * index + 3)),
  };
};

export const plainCost = ({ internals }: Adjusted): number =>
  fullCost(internals.model, internals.state);

export const describeMove = (adjusted: Adjusted, split: Split, improvement: number): MovedBoard => {
  const earlier = earlierKey(split);
  const propagated = adjusted.propagate([
    {
      key: "shift",
      evaluate: (s) => norm(compose(invert(s.pose(earlier)), s.pose(split.board)).t),
    },
  ]);
  const relative = compose(invert(adjusted.state.pose(earlier)), adjusted.state.pose(split.board));
  return {
    board: split.board,
    lastBefore: split.lastBefore,
    firstAfter: split.firstAfter,
    shiftMm: propagated.values[0],
    shiftSdMm: Math.sqrt(propagated.covariance[0]),
    turnDeg: degrees(norm(logRotation(relative.R))),
    earlierKey: earlier,
    improvement,
  };
};

/**
 * Two halves of the room's photos against each other: all distances between the centres of the tags.
 * Each half is adjusted alone, with its own lens; their distances are subtracted. How sure such a
 * difference is says one adjustment of both halves, in which every tag has two places and one print:
 * its size and its bend are alike in both, and would be counted twice by two separate intervals.
 */
import { type Adjusted, adjust } from "../../src/adjust/adjust.ts";
import type { NetworkProblem, StateView } from "../../src/adjust/problem/problem.ts";
import { afterKey, jointProblem, jointStart } from "../../src/job/epochs/joint.ts";
import { lensSize } from "../../src/lens/lens.ts";
import type { TagView } from "./bare-tags.ts";
import { adjustHalf, board, type Half, type HalfOptions, type RoomPhotos, scaled } from "./room.ts";

export interface SplitComparison {
  readonly pairs: number;
  readonly views: number;
  readonly longestM: number;
  /** Of the differences between the halves adjusted alone. */
  readonly rmsMm: number;
  /** The same where both halves share the prints' sizes and bends, and what was to be expected of it. */
  readonly sharedRmsMm: number;
  readonly expectedRmsMm: number;
  /** Share of these differences inside their stated 95 % intervals. */
  readonly coverage95: number;
  /** Fewest views of one tag in one half. */
  readonly fewestViews: number;
}

/** Both halves; `inFirstHalf` says where a photo (by its number) belongs. */
export function compareHalves(
  room: RoomPhotos,
  views: readonly TagView[],
  inFirstHalf: (photo: number) => boolean,
  options: HalfOptions = { motion: true },
): SplitComparison {
  const halves = [true, false].map((first) =>
    adjustHalf(
      room,
      views.filter(({ photo }) => inFirstHalf(room.names.indexOf(photo)) === first),
      options,
    ),
  );
  const viewsOf = (half: Half, id: number): number =>
    half.views.filter((view) => view.id === id).length;
  const shared = [...new Set(views.map(({ id }) => id))]
    .filter((id) => halves.every((half) => viewsOf(half, id) > 0))
    .sort((a, b) => a - b);
  const pairs = shared.flatMap((a, i) =>
    shared.slice(i + 1).map((b) => [board(a), board(b)] as const),
  );
  const [first, second] = halves.map(({ adjusted }) =>
    pairs.map(([a, b]) => apart(adjusted.state, a, b)),
  );
  const { values, variances } = differencesTogether(halves, shared.map(board), pairs);
  return {
    pairs: pairs.length,
    views: halves.reduce((sum, half) => sum + half.views.length, 0),
    longestM: Math.max(...first) / 1000,
    rmsMm: rms(first.map((v, i) => v - second[i])),
    sharedRmsMm: rms(values),
    expectedRmsMm: rms(variances.map(Math.sqrt)),
    coverage95: values.filter((v, i) => v ** 2 < 1.96 ** 2 * variances[i]).length / values.length,
    fewestViews: Math.min(...halves.flatMap((half) => shared.map((id) => viewsOf(half, id)))),
  };
}

const rms = (v: readonly number[]): number =>
  Math.sqrt(v.reduce((sum, x) => sum + x * x, 0) / v.length);

const apart = (state: Pick<StateView, "pose">, a: string, b: string): number => {
  const [from, to] = [state.pose(a).t, state.pose(b).t];
  return Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
};

/** Differences of distances, mm, and their variances, from one adjustment of both halves. */
function differencesTogether(
  [first, second]: readonly Half[],
  common: readonly string[],
  pairs: readonly (readonly [string, string])[],
): { readonly values: number[]; readonly variances: number[] } {
  const both = jointProblem(asWeighted(first), ownCamera(asWeighted(second)), common, {
    shiftMm: 1,
    turn: 0.001,
  });
  // One statement that a tag stayed joins the two nets; a second one would decide something.
  const problem = { ...both, chains: both.chains.slice(0, 1) };
  const startState = jointStart(problem, first.adjusted, second.adjusted, common);
  startState.lens.set(second.adjusted.internals.state.lens, lensSize);
  const together = adjust(problem, { robust: false, startState });
  if (!together.ok) throw new Error(together.remarks.map(({ message }) => message).join(" "));
  return propagated(together, pairs);
}

const propagated = (together: Adjusted, pairs: readonly (readonly [string, string])[]) => {
  const { values, covariance } = together.propagate(
    pairs.map(([a, b]) => ({
      key: `${a} to ${b}`,
      evaluate: (state) => apart(state, a, b) - apart(state, afterKey(a), afterKey(b)),
    })),
  );
  return {
    values: [...values],
    variances: pairs.map((_, i) => covariance[i * (pairs.length + 1)]),
  };
};

/** The half's problem with the weights that its views came out with, which then stay. */
const asWeighted = ({ problem, adjusted }: Half): NetworkProblem => ({
  ...problem,
  observations: problem.observations.map((seen, i) => ({
    ...seen,
    noise: scaled(seen.noise, 1 / Math.sqrt(Math.max(leastWeight, adjusted.internals.weights[i]))),
  })),
});
const leastWeight = 1e-6;

const ownCamera = (problem: NetworkProblem): NetworkProblem => ({
  ...problem,
  cameras: problem.cameras.map((camera) => ({ ...camera, key: `${camera.key} again` })),
  photos: problem.photos.map((photo) => ({ ...photo, camera: `${photo.camera} again` })),
});

import type { Adjusted } from "../../adjust/adjust.ts";
import { layOut } from "../../adjust/problem/layout.ts";
import { motionSize } from "../../adjust/problem/motion.ts";
import type { ChainStatement, NetworkProblem } from "../../adjust/problem/problem.ts";
import { priorState, type State } from "../../adjust/problem/state.ts";
import { absoluteOrientation } from "../../maths/absolute-orientation.ts";
import { compose, invert, type Pose } from "../../maths/pose.ts";

/**
 * One problem from the photos before and after the run: every board has two places, and everything
 * else (lens, print sizes, shape of each board, what the hand does) is one. Floor and measured
 * lengths are left out: they say nothing about movement and would only hide it.
 */
export const afterKey = (key: string): string => `${key} after the run`;

/** Standard deviations of the statement that a board stayed: too loose to hide a movement. */
export interface Tie {
  readonly shiftMm: number;
  readonly turn: number;
}
/**
 * The loosest first. Where photos are so sharp that rounding lets the loose one vanish beside them, the
 * next holds the two nets together; it still weighs less than a thousandth of what photos say.
 */
export const ties: readonly Tie[] = [
  { shiftMm: 50, turn: 0.1 },
  { shiftMm: 5, turn: 0.01 },
];

export const jointProblem = (
  before: NetworkProblem,
  after: NetworkProblem,
  common: readonly string[],
  loose: Tie = ties[0],
): NetworkProblem => ({
  cameras: byKey([...before.cameras, ...after.cameras]),
  photos: [...before.photos, ...after.photos],
  boards: [
    ...before.boards,
    ...after.boards.map((board) => ({ ...board, key: afterKey(board.key) })),
  ],
  prints: byKey([...before.prints, ...after.prints]),
  observations: [
    ...before.observations,
    ...after.observations.map((seen) => ({ ...seen, board: afterKey(seen.board) })),
  ],
  lengths: [],
  floor: [],
  frames: [],
  scalars: [],
  chains: common.map((key) => tie(key, loose)),
  samePrints: common.map((key) => ({ boards: [key, afterKey(key)] as const })),
});

/** A very loose statement that a board stayed: it joins the two nets and decides nothing. */
const tie = (key: string, { shiftMm, turn }: Tie): ChainStatement => ({
  key: `board ${key} near its place`,
  links: [
    { kind: "pose", key, inverse: true },
    { kind: "pose", key: afterKey(key) },
  ],
  sd: [turn, turn, turn, shiftMm, shiftMm, shiftMm],
  source: "other",
});

const byKey = <T extends { readonly key: string }>(statements: readonly T[]): T[] => [
  ...new Map(statements.map((statement) => [statement.key, statement])).values(),
];

/** Start of the joint adjustment from both sets adjusted alone, the later laid on the earlier. */
export const jointStart = (
  problem: NetworkProblem,
  first: Adjusted,
  second: Adjusted,
  common: readonly string[],
): State => {
  const state = priorState(layOut(problem));
  const beforeFromAfter = absoluteOrientation(
    common.map((key) => second.state.pose(key).t),
    common.map((key) => first.state.pose(key).t),
  );
  const still: Pose = { R: [1, 0, 0, 0, 1, 0, 0, 0, 1], t: [0, 0, 0] };
  const from = first.internals.state;
  state.lens.set(from.lens.subarray(0, Math.min(from.lens.length, state.lens.length)));
  from.lensModes.forEach((amplitudes, i) => {
    if (state.lensModes[i]?.length === amplitudes.length) state.lensModes[i].set(amplitudes);
  });
  state.printChange.set(from.printChange.subarray(0, state.printChange.length));
  const copy = ({ internals }: Adjusted, photosAt: number, boardsAt: number, laid: Pose): void => {
    const { state: own } = internals;
    own.photoPose.forEach((pose, i) => {
      state.photoPose[photosAt + i] = compose(pose, invert(laid));
    });
    own.boardPose.forEach((pose, i) => {
      state.boardPose[boardsAt + i] = compose(laid, pose);
    });
    state.photoChange.set(own.photoChange, 3 * photosAt);
    state.photoMotion.set(own.photoMotion, motionSize * photosAt);
    state.cellChange.set(own.cellChange, boardsAt);
    state.stretch.set(own.stretch, boardsAt);
    state.bend.set(own.bend, 3 * boardsAt);
  };
  copy(first, 0, 0, still);
  copy(second, from.photoPose.length, from.boardPose.length, beforeFromAfter);
  return state;
};

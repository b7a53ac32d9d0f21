import { mirrorPlane } from "../../maths/planar-pose.ts";
import { compose, invert } from "../../maths/pose.ts";
import type { State } from "../problem/state.ts";
import { cappedCost, type Item, poseOf, refineItem, setPose } from "./refine-block.ts";
import { coarseCap, type View } from "./start.ts";

/**
 * Looks for photos and boards that sit in the wrong one of two planar solutions: each is tried in
 * the mirrored pose, refined with everything else held, and left there if it fits better.
 * Changes `state` in place; returns how many moved. `stayed` lists items whose mirrored pose fits
 * nearly as well (the photos do not decide).
 */
export const turnOverWrongPoses = (
  state: State,
  views: readonly View[],
): { moved: number; undecided: Item[] } => {
  const undecided: Item[] = [];
  let moved = 0;
  const items: Item[] = [
    ...state.boardPose.map((_, index): Item => ({ kind: "board", index })),
    ...state.photoPose.map((_, index): Item => ({ kind: "photo", index })),
  ];
  for (const item of items) {
    const joined = views.filter((v) => v[item.kind] === item.index);
    if (joined.length === 0) continue;
    const factors = joined.map((v) => v.factor);
    const before = poseOf(state, item);
    const cost = cappedCost(factors, state, coarseCap);
    const largest = joined.reduce((a, b) => (b.extentPx > a.extentPx ? b : a));
    const mirrored = mirrorPlane(
      compose(state.photoPose[largest.photo], state.boardPose[largest.board]),
    );
    setPose(
      state,
      item,
      item.kind === "board"
        ? compose(invert(state.photoPose[largest.photo]), mirrored)
        : compose(mirrored, invert(state.boardPose[largest.board])),
    );
    const reached = refineItem(state, item, factors, coarseCap, 12);
    const same = sameTurn(before.R, poseOf(state, item).R);
    if (!same && reached < 0.98 * cost - 1e-3 * factors.length) {
      moved++;
      continue;
    }
    if (!same && reached < cost * 1.5 + 0.02 * factors.length) undecided.push(item);
    setPose(state, item, before);
  }
  return { moved, undecided };
};

const sameTurn = (a: ArrayLike<number>, b: ArrayLike<number>): boolean => {
  let trace = 0;
  for (let i = 0; i < 9; i++) trace += a[i] * b[i];
  return trace > 3 - 1e-4;
};

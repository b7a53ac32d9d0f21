import { mirrorPlane } from "../../maths/planar-pose.ts";
import { compose, invert } from "../../maths/pose.ts";
import type { State } from "../problem/state.ts";
import { cappedCost, type Item, poseOf, refineItem, setPose } from "./refine-block.ts";
import { coarseCap, type View } from "./start.ts";

/**
 * Limits of the search, on the capped cost (mean square of a view's whitened residuals, no unit).
 * Chosen on simulated bays, no source: a mirrored pose is taken where it fits better by more than
 * rounding and the unfinished start explain, and counts as undecided where it fits about as well.
 */
const betterShare = 0.98;
const leastGain = 1e-3;
const nearlyAsGood = 1.5;
const nearlyAsGoodGap = 0.02;
const mostSteps = 12;

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
    const reached = refineItem(state, item, factors, coarseCap, mostSteps);
    const same = sameTurn(before.R, poseOf(state, item).R);
    if (!same && reached < betterShare * cost - leastGain * factors.length) {
      moved++;
      continue;
    }
    if (!same && reached < nearlyAsGood * cost + nearlyAsGoodGap * factors.length)
      undecided.push(item);
    setPose(state, item, before);
  }
  return { moved, undecided };
};

const sameTurn = (a: ArrayLike<number>, b: ArrayLike<number>): boolean => {
  let trace = 0;
  for (let i = 0; i < 9; i++) trace += a[i] * b[i];
  return trace > 3 - 1e-4;
};

import { describe, expect, test } from "vitest";
import { layOut } from "../../../src/adjust/problem/layout.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { priorState, type State } from "../../../src/adjust/problem/state.ts";
import { turnOverWrongPoses } from "../../../src/adjust/start/recover.ts";
import { cappedCost } from "../../../src/adjust/start/refine-block.ts";
import { coarseCap, coarseViews, type View } from "../../../src/adjust/start/start.ts";
import { compose, expRotation, invert, matMul, type Pose, unit } from "../../../src/maths/pose.ts";
import { truePixelOf } from "../../oracle/camera.ts";
import { type Bay, gridPoints, lookAt, makeBay, testLens } from "./bay.ts";

/** Bay without noise, and the state in which every pose is the true one. */
const trueStart = (bay: Bay): { state: State; views: View[] } => {
  const { problem, truth } = bay;
  const layout = layOut(problem);
  const state = priorState(layout);
  problem.photos.forEach(({ key }, i) => {
    state.photoPose[i] = truth.photo.get(key)!;
  });
  problem.boards.forEach(({ key }, i) => {
    state.boardPose[i] = truth.board.get(key)!;
  });
  return { state, views: coarseViews(layout) };
};

const bayOf = (seed: number): Bay =>
  makeBay({ seed, photos: 8, boards: 8, noise: false, focalSd: 0, shiftSdPx: 0 });

const costOf = (views: readonly View[], state: State): number =>
  cappedCost(
    views.map((v) => v.factor),
    state,
    coarseCap,
  );

/**
 * The other planar solution by two half turns: of the board in its own plane, then of everything
 * about the line of sight to its middle (Schweighofer and Pinz 2006: the normal mirrored there).
 */
const otherSolution = (cameraFromBoard: Pose): Pose => {
  const sight = unit(cameraFromBoard.t);
  const halfTurn = expRotation([Math.PI * sight[0], Math.PI * sight[1], Math.PI * sight[2]]);
  const inPlane = matMul(cameraFromBoard.R, expRotation([0, 0, Math.PI]));
  return { R: matMul(halfTurn, inPlane), t: cameraFromBoard.t };
};

const largestOf = (views: readonly View[], kind: "photo" | "board", index: number): View =>
  views.filter((v) => v[kind] === index).reduce((a, b) => (b.extentPx > a.extentPx ? b : a));

/** Angle between two rotations, rad, and distance between two origins, mm. */
const apart = (a: Pose, b: Pose): { turn: number; shift: number } => {
  let trace = 0;
  for (let i = 0; i < 9; i++) trace += a.R[i] * b.R[i];
  return {
    turn: Math.acos(Math.min(1, (trace - 1) / 2)),
    shift: Math.hypot(a.t[0] - b.t[0], a.t[1] - b.t[1], a.t[2] - b.t[2]),
  };
};

describe("photos and boards in the wrong one of two planar solutions", () => {
  test("right ones are left exactly where they are", () => {
    for (const seed of [1, 2, 3]) {
      const { state, views } = trueStart(bayOf(seed));
      const before = { photo: state.photoPose.slice(), board: state.boardPose.slice() };
      const { moved } = turnOverWrongPoses(state, views);
      expect(moved).toBe(0);
      expect(state.photoPose).toEqual(before.photo);
      expect(state.boardPose).toEqual(before.board);
    }
  });

  test("a wrong photo is turned over: back at its true place, and the cost falls to nothing", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const { state, views } = trueStart(bay);
      const photo = 3;
      const truth = state.photoPose[photo];
      const board = state.boardPose[largestOf(views, "photo", photo).board];
      state.photoPose[photo] = compose(otherSolution(compose(truth, board)), invert(board));
      expect(apart(state.photoPose[photo], truth).turn).toBeGreaterThan(0.3);
      const wrong = costOf(views, state);
      // Boards are tried first: they must not follow the wrong photo.
      const boards = state.boardPose.slice();
      const { moved } = turnOverWrongPoses(state, views);
      expect(moved).toBe(1);
      expect(state.boardPose).toEqual(boards);
      expect(wrong).toBeGreaterThan(coarseCap / 2);
      expect(costOf(views, state)).toBeLessThan(1e-3 * wrong);
      const { turn, shift } = apart(state.photoPose[photo], truth);
      expect(turn).toBeLessThan(1e-3);
      expect(shift).toBeLessThan(2);
    }
  });

  test("a wrong board is turned over, the others stay", () => {
    for (const seed of [1, 2, 3]) {
      const { state, views } = trueStart(bayOf(seed));
      const board = 2;
      const truth = state.boardPose[board];
      const camera = state.photoPose[largestOf(views, "board", board).photo];
      state.boardPose[board] = compose(invert(camera), otherSolution(compose(camera, truth)));
      expect(apart(state.boardPose[board], truth).turn).toBeGreaterThan(0.3);
      const wrong = costOf(views, state);
      const { moved } = turnOverWrongPoses(state, views);
      expect(moved).toBe(1);
      expect(costOf(views, state)).toBeLessThan(1e-3 * wrong);
      expect(apart(state.boardPose[board], truth).turn).toBeLessThan(1e-3);
    }
  });

  test("one far board in one photo: not decided, so it is named and stays", () => {
    const board: Pose = { R: expRotation([0, 0, 0.4]), t: [0, 0, 0] };
    const camera = lookAt([3500, 0, 3500], [0, 0, 0], 0);
    const boardPoints = gridPoints(5);
    const pixels = new Float64Array(boardPoints.length);
    for (let i = 0; i < pixels.length; i += 2) {
      const at = truePixelOf(
        testLens,
        [camera, board],
        [2 * boardPoints[i], 2 * boardPoints[i + 1], 0],
      )!;
      pixels.set(at, i);
    }
    const { problem: whole } = bayOf(1);
    const problem: NetworkProblem = {
      ...whole,
      photos: [{ key: "far", camera: "phone" }],
      boards: [{ key: "small", cellMm: 2, cellSd: 0, print: null, bendSd: 0 }],
      observations: [
        {
          photo: "far",
          board: "small",
          boardPoints,
          pixels,
          noise: { kind: "isotropic", sigmaPx: 0.1 },
        },
      ],
    };
    const layout = layOut(problem);
    const state = priorState(layout);
    state.photoPose[0] = camera;
    state.boardPose[0] = board;
    const { moved, undecided } = turnOverWrongPoses(state, coarseViews(layout));
    expect(moved).toBe(0);
    expect(undecided.map((item) => item.kind).sort()).toEqual(["board", "photo"]);
    expect(state.photoPose[0]).toBe(camera);
  });

  test("a photo that shows nothing is passed over", () => {
    const { state, views } = trueStart(bayOf(1));
    const others = views.filter((v) => v.photo !== 0);
    expect(turnOverWrongPoses(state, others).moved).toBe(0);
  });
});

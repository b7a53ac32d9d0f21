import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { splitOneMovedBoard } from "../../../src/adjust/test/moved-boards.ts";
import { expRotation, type Pose, type Vec3 } from "../../../src/maths/pose.ts";
import { carried, truePixelOf } from "../../oracle/camera.ts";
import { type Bay, random, steadyBay, testLens } from "./bay.ts";

const sigmaPx = 0.1;
const plain = { robust: false } as const;
const noRival = () => 0;

const bayOf = (seed: number): Bay => steadyBay(seed, 12);

const viewsOf = (bay: Bay, board: string): string[] =>
  bay.problem.observations.filter((o) => o.board === board).map((o) => o.photo);

const mostSeen = (bay: Bay): string =>
  bay.problem.boards
    .map(({ key }) => key)
    .reduce((a, b) => (viewsOf(bay, b).length > viewsOf(bay, a).length ? b : a));

/** A move in the board's own frame. */
const move: Pose = { R: expRotation([0, 0, 0.02]), t: [6, -3, 2] };

/** The bay as it is seen with noise, `board` displaced by `by` in the photos of `late`. */
const seen = (bay: Bay, seed: number, board: string, late: readonly string[], by = move) => {
  const r = random(1000 + seed);
  const observations = bay.problem.observations.map((o) => {
    const poses = [bay.truth.photo.get(o.photo)!, bay.truth.board.get(o.board)!];
    if (o.board === board && late.includes(o.photo)) poses.push(by);
    const cell = bay.truth.cellMm.get(o.board)!;
    const pixels = new Float64Array(o.pixels.length);
    for (let i = 0; i < pixels.length; i += 2) {
      const point = [o.boardPoints[i] * cell, o.boardPoints[i + 1] * cell, 0];
      const at = truePixelOf(testLens, poses, point)!;
      pixels.set([at[0] + r.normal(sigmaPx), at[1] + r.normal(sigmaPx)], i);
    }
    return { ...o, pixels };
  });
  return { ...bay.problem, observations };
};

const adjusted = (problem: NetworkProblem): Adjusted => {
  const outcome = adjust(problem, plain);
  if (!outcome.ok) throw new Error(outcome.reason);
  return outcome;
};

const look = (problem: NetworkProblem, suspects: readonly string[], rival = noRival) => {
  const start = adjusted(problem);
  return splitOneMovedBoard(
    problem,
    start,
    { plain: start.internals, doubtful: null },
    suspects,
    rival,
    plain,
  );
};

const distance = (a: readonly number[], b: readonly number[]): number =>
  Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

describe("a board that was moved between photos", () => {
  test("is found, dated, and both its places are the true ones", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const board = mostSeen(bay);
      const views = viewsOf(bay, board);
      const k = views.length >> 1;
      const problem = seen(bay, seed, board, views.slice(k));
      const all = bay.problem.boards.map((b) => b.key);
      const found = look(problem, all);
      expect(found).not.toBeNull();
      const { moved, adjusted: after } = found!;
      expect(moved.board).toBe(board);
      expect(moved.lastBefore).toBe(views[k - 1]);
      expect(moved.firstAfter).toBe(views[k]);
      expect(moved.shiftSdMm).toBeLessThan(0.5);
      expect(Math.abs(moved.shiftMm - Math.hypot(...move.t))).toBeLessThan(4 * moved.shiftSdMm);
      expect(Math.abs(moved.turnDeg - (0.02 * 180) / Math.PI)).toBeLessThan(0.1);
      expect(after.sigma0Squared).toBeLessThan(1.3);
      // Distances to another board do not depend on the frame; each place has its own.
      const other = all.find((key) => key !== board)!;
      const truth = (place: readonly Pose[]): number =>
        distance(carried(place, [0, 0, 0]), bay.truth.board.get(other)!.t);
      const got = (key: string): number =>
        distance(after.state.pose(key).t, after.state.pose(other).t);
      const home = bay.truth.board.get(board)!;
      expect(Math.abs(got(moved.earlierKey) - truth([home]))).toBeLessThan(1.5);
      expect(Math.abs(got(board) - truth([home, move]))).toBeLessThan(1.5);
    }
  });

  test("is not found where nothing moved, though every board is suspected", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const problem = seen(bay, seed, "none", []);
      expect(
        look(
          problem,
          bay.problem.boards.map((b) => b.key),
        ),
      ).toBeNull();
    }
  });

  test("is the one that moved, not its neighbours", () => {
    const bay = bayOf(1);
    const board = mostSeen(bay);
    const views = viewsOf(bay, board);
    const problem = seen(bay, 1, board, views.slice(views.length >> 1));
    const all = bay.problem.boards.map((b) => b.key);
    expect(look(problem, [...all].reverse())?.moved.board).toBe(board);
    expect(look(problem, [])).toBeNull();
  });

  test("stays whole where another explanation gains more", () => {
    const bay = bayOf(1);
    const board = mostSeen(bay);
    const views = viewsOf(bay, board);
    const problem = seen(bay, 1, board, views.slice(views.length >> 1));
    const gain = look(problem, [board])!.moved.improvement;
    expect(look(problem, [board], () => 100 * gain)).toBeNull();
  });

  test("one odd view is a misfit of that view, not a move", () => {
    for (const seed of [1, 2]) {
      const bay = bayOf(seed);
      const board = mostSeen(bay);
      const views = viewsOf(bay, board);
      for (const odd of [views[views.length >> 1], views[0], views[views.length - 1]])
        expect(look(seen(bay, seed, board, [odd]), [board])).toBeNull();
    }
  });

  test("a move far below the noise is not called one", () => {
    const bay = bayOf(2);
    const board = mostSeen(bay);
    const views = viewsOf(bay, board);
    const tiny: Vec3 = [0.005, 0, 0];
    const by = { R: expRotation([0, 0, 0]), t: tiny };
    expect(look(seen(bay, 2, board, views.slice(views.length >> 1), by), [board])).toBeNull();
  });
});

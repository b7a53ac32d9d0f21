import { describe, expect, test } from "vitest";
import { type Adjusted, adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import { splitMovedBodies } from "../../../src/adjust/test/moved-bodies.ts";
import { partedBody } from "../../../src/adjust/test/parted-bodies.ts";
import { compose, expRotation, invert, type Pose, type Vec3 } from "../../../src/maths/pose.ts";
import { truePixelOf } from "../../oracle/camera.ts";
import { type Bay, random, steadyBay, testLens } from "./bay.ts";

const sigmaPx = 0.1;

const bayOf = (seed: number): Bay => steadyBay(seed, 18);

/** Boards that some photos of both halves show, the most often seen first. */
const bodyOf = (bay: Bay, count: number): string[] => {
  const views = (board: string) => bay.problem.observations.filter((o) => o.board === board).length;
  return bay.problem.boards
    .map(({ key }) => key)
    .sort((a, b) => views(b) - views(a))
    .slice(0, count);
};

const halfOf = (bay: Bay): number => bay.problem.photos.length >> 1;

/** Moves boards by one motion of the bay's frame, in the second half of the photos. */
const seen = (bay: Bay, seed: number, motionOf: (board: string) => Pose | null): NetworkProblem => {
  const r = random(1000 + seed);
  const late = new Set(bay.problem.photos.slice(halfOf(bay)).map(({ key }) => key));
  const observations = bay.problem.observations.map((o) => {
    const home = bay.truth.board.get(o.board)!;
    const motion = late.has(o.photo) ? motionOf(o.board) : null;
    const cell = bay.truth.cellMm.get(o.board)!;
    const poses = [bay.truth.photo.get(o.photo)!, motion ? compose(motion, home) : home];
    const pixels = new Float64Array(o.pixels.length);
    for (let i = 0; i < pixels.length; i += 2) {
      const point: Vec3 = [o.boardPoints[i] * cell, o.boardPoints[i + 1] * cell, 0];
      const at = truePixelOf(testLens, poses, point)!;
      pixels.set([at[0] + r.normal(sigmaPx), at[1] + r.normal(sigmaPx)], i);
    }
    return { ...o, pixels };
  });
  return { ...bay.problem, observations };
};

const adjusted = (problem: NetworkProblem): Adjusted => {
  const outcome = adjust(problem);
  if (!outcome.ok) throw new Error(outcome.reason);
  return outcome;
};

const look = (problem: NetworkProblem, boards: readonly string[]) =>
  splitMovedBodies(problem, adjusted(problem), [{ name: "car", boards }]);

const rolled: Pose = { R: expRotation([0, 0, 0.003]), t: [8, -5, 0] };

describe("a body of several boards that moved between photos", () => {
  test("is found as one move at its moment, and both places are the true ones", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const body = bodyOf(bay, 4);
      const problem = seen(bay, seed, (board) => (body.includes(board) ? rolled : null));
      const { moved, adjusted: after } = look(problem, body);
      expect(moved.map((m) => m.body)).toEqual(["car"]);
      const order = bay.problem.photos.map(({ key }) => key);
      expect(order.indexOf(moved[0].lastBefore)).toBeLessThan(halfOf(bay));
      expect(order.indexOf(moved[0].firstAfter)).toBeGreaterThanOrEqual(halfOf(bay));
      expect(after.sigma0Squared).toBeLessThan(1.3);
      for (const { board, shiftMm, shiftSdMm } of moved[0].boards) {
        const home = bay.truth.board.get(board)!;
        const away = compose(rolled, home);
        const truth = Math.hypot(...away.t.map((v, k) => v - home.t[k]));
        expect(Math.abs(shiftMm - truth)).toBeLessThan(4.5 * shiftSdMm);
      }
    }
  });

  test("is not found where nothing moved, nor where one of its boards moved alone", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      const body = bodyOf(bay, 4);
      const still = seen(bay, seed, () => null);
      expect(look(still, body).moved).toEqual([]);
      const slipped = seen(bay, seed, (board) => (board === body[0] ? rolled : null));
      expect(look(slipped, body).moved).toEqual([]);
    }
  });

  test("is no move of the body where its boards moved differently: a wheel was turned", () => {
    const bay = bayOf(2);
    const body = bodyOf(bay, 2);
    const turned = (board: string): Pose | null => {
      if (!body.includes(board)) return null;
      const home = bay.truth.board.get(board)!;
      const spin: Pose = { R: expRotation([0, 0, board === body[0] ? 0.05 : -0.05]), t: [0, 0, 0] };
      const there: Pose = { R: [1, 0, 0, 0, 1, 0, 0, 0, 1], t: home.t };
      return compose(compose(there, spin), invert(there));
    };
    expect(look(seen(bay, 2, turned), body).moved).toEqual([]);
  });

  test("is found by the distances of single photos where it moved far", () => {
    const bay = bayOf(1);
    const body = bodyOf(bay, 4);
    const far: Pose = { R: expRotation([0, 0, 0]), t: [700, 100, 0] };
    // No length goes to the body: it would be true of the earlier place only.
    const whole = seen(bay, 1, (board) => (body.includes(board) ? far : null));
    const problem = { ...whole, lengths: [] };
    const parted = partedBody(problem, [{ name: "car", boards: body }]);
    expect(parted?.moved[0].boards[0].shiftMm).toBeCloseTo(Math.hypot(700, 100), -1);
    // Dated to the photo: each one counts on its side.
    const order = bay.problem.photos.map(({ key }) => key);
    const showing = order.filter((photo) =>
      problem.observations.some((o) => o.photo === photo && body.includes(o.board)),
    );
    const early = showing.filter((photo) => order.indexOf(photo) < halfOf(bay));
    expect(parted?.moved[0].earlier).toEqual(early);
    expect(parted?.moved[0].firstAfter).toBe(showing[early.length]);
    expect(parted?.adjusted.downWeighted).toEqual([]);
    expect(
      partedBody(
        seen(bay, 1, () => null),
        [{ name: "car", boards: body }],
      ),
    ).toBeNull();
  });
});

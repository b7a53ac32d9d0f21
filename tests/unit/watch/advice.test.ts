import { describe, expect, test } from "vitest";
import { type LiveBoard, type LiveFrame, LiveGuide } from "../../../src/watch/advice.ts";

/** A tag as a square about (x, y), px of a frame of 1920 x 1080. */
const board = (id: number, x: number, y = 500, side = 80, burnt = 0): LiveBoard => ({
  id,
  corners: [x, y, x + side, y, x + side, y + side, x, y + side],
  burnt,
});
const frame = (at: number, boards: LiveBoard[]): LiveFrame => ({
  at,
  width: 1920,
  height: 1080,
  boards,
});
const three = [board(11, 200), board(12, 700), board(31, 1200)];
const none = new Map<number, number>();

const last = (frames: LiveFrame[], seen: ReadonlyMap<number, number> = none) => {
  const guide = new LiveGuide();
  return frames.map((one) => guide.push(one, seen, 3)).at(-1)!;
};
const still = (boards: LiveBoard[]) => [0, 200, 400, 600, 800].map((at) => frame(at, boards));

describe("advice while aiming", () => {
  test("a still, good view is ready after half a second and not before", () => {
    const guide = new LiveGuide();
    const ready = still(three).map((one) => guide.push(one, none, 3).ready);
    expect(ready).toEqual([false, false, false, false, true]);
    expect(last(still(three)).advice).toEqual({ code: "good" });
  });

  test("a moving hand is told to hold still, and never ready", () => {
    const frames = [0, 1, 2, 3, 4, 5].map((i) =>
      frame(
        i * 200,
        three.map(({ id }, k) => board(id, 200 + 500 * k + 20 * i)),
      ),
    );
    expect(last(frames)).toMatchObject({ advice: { code: "hold still" }, ready: false });
  });

  test("a board that is too small, too flat or too bright is named", () => {
    const small = [board(11, 200), board(12, 700), board(31, 1200, 500, 15)];
    expect(last(still(small)).advice).toEqual({ code: "closer", board: 31 });
    const flat = { id: 31, corners: [1200, 500, 1280, 500, 1280, 515, 1200, 515], burnt: 0 };
    expect(last(still([board(11, 200), board(12, 700), flat])).advice).toEqual({
      code: "flat",
      board: 31,
    });
    const bright = [board(11, 200), board(12, 700, 500, 80, 0.5), board(31, 1200)];
    expect(last(still(bright)).advice).toEqual({ code: "glare", board: 12 });
  });

  test("a board that glare has just swallowed is named", () => {
    const frames = [
      frame(0, [board(11, 200), board(12, 700, 500, 80, 0.2), board(31, 1200)]),
      frame(200, [board(11, 200), board(31, 1200)]),
    ];
    expect(last(frames).advice).toEqual({ code: "glare", board: 12 });
  });

  test("no board, too few boards", () => {
    expect(last([frame(0, [])]).advice).toEqual({ code: "none" });
    expect(last(still(three.slice(0, 2))).advice).toEqual({ code: "more boards", count: 2 });
  });

  test("boards that are in enough photos lead on to the one that is not", () => {
    const enough = new Map([
      [11, 3],
      [12, 4],
      [31, 3],
    ]);
    expect(last(still(three), enough)).toMatchObject({
      advice: { code: "nothing new" },
      ready: false,
    });
    expect(last(still(three), new Map([...enough, [32, 1]])).advice).toEqual({
      code: "wanted",
      board: 32,
    });
    expect(last(still(three), new Map([...enough, [31, 1]])).ready).toBe(true);
  });
});

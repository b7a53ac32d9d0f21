/** Watching from simulated measurements; rendered frames go the whole way in `npm run bench:watch`. */
import { describe, expect, test } from "vitest";
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import { decide } from "../../../src/watch/decide.ts";
import { WatchLog, watchLogSchema } from "../../../src/watch/log.ts";
import { movementOf, referenceOf } from "../../../src/watch/movement.ts";
import { usualSettings, Watch } from "../../../src/watch/watch.ts";
import { type Story, watchStory } from "../../tools/watch/simulate.ts";

/** A flat-on board of 6.2 px a cell with the scatter of rendered frames: 0.008 px a point. */
function view(id: number, x: number, y: number): BoardView {
  const boardPoints: number[] = [];
  const pixels: number[] = [];
  for (const v of [6, 2, -2, -6]) {
    for (const u of [-6, -2, 2, 6]) {
      boardPoints.push(u, v);
      pixels.push(x + 6.2 * u, y - 6.2 * v);
    }
  }
  const count = pixels.length;
  const sqrtInformation = new Float64Array(count * count);
  for (let i = 0; i < count; i++) sqrtInformation[i * count + i] = 1 / 0.008;
  return {
    id,
    boardPoints: Float64Array.from(boardPoints),
    pixels: Float64Array.from(pixels),
    noise: { kind: "full", rows: count, sqrtInformation },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: 6.2,
      obliquityDeg: 0,
      blurPx: 1,
      contrast: 150,
      coveredShare: 0,
      residualPx: 0.01,
    },
  };
}

const bay = [
  view(31, 500, 280),
  view(32, 680, 280),
  view(11, 200, 580),
  view(12, 900, 590),
  view(13, 560, 620),
];
const story: Story = { seconds: 60, seed: 5, noiseFactor: 2, hiddenShare: 0 };

describe("a movement in the picture", () => {
  test.each([
    [0.3, -0.2, 0, 0],
    [0, 0, 0.001, 0],
    [0.1, 0.1, -0.0005, 0.002],
  ])("shift %f %f, growth %f, turn %f come back", (dx, dy, growth, turn) => {
    const reference = referenceOf([bay[0]]);
    expect(reference.cellPx).toBeCloseTo(6.2, 9);
    const [cx, cy] = reference.centre;
    const pixels = bay[0].pixels.map((value, i) => {
      const [u, v] = [bay[0].pixels[i & ~1] - cx, bay[0].pixels[i | 1] - cy];
      return value + (i % 2 === 0 ? dx + growth * u - turn * v : dy + growth * v + turn * u);
    });
    const found = movementOf(reference, { ...bay[0], pixels })!;
    expect(found.dx).toBeCloseTo(dx, 9);
    expect(found.dy).toBeCloseTo(dy, 9);
    expect(found.growth).toBeCloseTo(growth, 9);
    expect(found.turn).toBeCloseTo(turn, 9);
  });
});

describe("the stand", () => {
  test("still for half an hour with people in the way: nothing moved", () => {
    const events = watchStory(bay, { ...story, seconds: 1800, hiddenShare: 0.2 });
    expect(events.filter(({ kind }) => kind === "moved" || kind === "begun anew")).toEqual([]);
    expect(events.filter(({ kind }) => kind === "watching")).toHaveLength(1);
  });

  test.each([
    ["0.5 mm to the right", [0.5, 0], "sideways"],
    ["0.5 mm to the left", [-0.5, 0], "sideways"],
    ["2 mm away", [0, 2], "depth"],
    ["2 mm nearer", [0, -2], "depth"],
  ] as const)("moved by %s: told within 3 s, with the size", (_, mm, by) => {
    for (let seed = 1; seed <= 20; seed++) {
      const events = watchStory(bay, { ...story, seed, seconds: 33, stand: { from: 30, mm } });
      const moved = events.filter((event) => event.kind === "moved");
      expect(moved.length).toBeGreaterThan(0);
      const first = moved[0];
      if (first.kind !== "moved") throw new Error("no movement");
      expect(first.by).toBe(by);
      expect(first.at).toBeGreaterThanOrEqual(30_000);
      expect(["stand", 31, 32]).toContain(first.body);
      // The mean of a window that began before the movement may be smaller.
      expect(Math.abs(first.sidewaysMm)).toBeLessThan(Math.abs(mm[0]) + 0.15);
    }
  });

  test("moved by less than the job allows: no alarm", () => {
    const events = watchStory(bay, { ...story, stand: { from: 30, mm: [0.15, 0] } });
    expect(events.filter(({ kind }) => kind === "moved")).toEqual([]);
  });

  test("a touched tripod is named as that and not as a movement", () => {
    const events = watchStory(bay, { ...story, bump: { at: 30, px: 3 } });
    expect(events.filter(({ kind }) => kind === "moved")).toEqual([]);
    const told = events.find(({ kind }) => kind === "phone moved");
    expect(told?.at).toBeGreaterThanOrEqual(30_000);
    expect(told?.kind === "phone moved" && Math.abs(told.px - 3)).toBeLessThan(1);
  });

  test("a movement together with a touched tripod is still seen", () => {
    const events = watchStory(bay, {
      ...story,
      bump: { at: 30, px: 3 },
      stand: { from: 30, mm: [1, 0] },
    });
    expect(events.some(({ kind }) => kind === "moved")).toBe(true);
  });
});

test("a board hidden while the watch begins starts in place with the others", () => {
  const watch = new Watch({ ...usualSettings, cellMm: () => 13, focalPx: 1440 });
  const sway = (second: number): number => 0.3 * Math.sin(second / 4);
  const push = (second: number, hidden: readonly number[]) =>
    watch.push({
      at: second * 1000,
      width: 1152,
      height: 704,
      boards: bay
        .filter(({ id }) => !hidden.includes(id))
        .map((board) => ({
          ...board,
          pixels: board.pixels.map((value, i) => value + (i % 2 === 0 ? sway(second) : 0)),
        })),
    });
  for (let second = 0; second < 12; second++) push(second, second < 4 ? [12] : []);
  const { phase, boards } = push(12, []);
  expect(phase).toBe("watching");
  for (const { mm } of boards) {
    for (const value of mm!) expect(Math.abs(value)).toBeLessThan(0.001);
  }
});

describe("several measurements together", () => {
  const step = (x: number, sd: number, lasting: number) => ({
    at: 0,
    mm: [x, 0, 0] as const,
    variance: [sd ** 2, sd ** 2, 1] as const,
    shared: [lasting ** 2, lasting ** 2, 1] as const,
    degrees: 600,
  });
  const limits = { sidewaysMm: 0.3, depthMm: 5, falseAlarmsPerHour: 0.05 };

  test("what lasts is doubted as much in six measurements as in one", () => {
    const found = decide(Array(6).fill(step(1, 0.01, 0.1)), limits, 1e-6)!;
    expect(found.sidewaysU).toBeGreaterThan(0.2);
    expect(found.sidewaysU).toBeLessThan(0.21);
  });

  test("a last one that is held well does not lend its doubt to those held badly", () => {
    const held = [...Array(5).fill(step(0.45, 0.1, 0.12)), step(0.3, 0.02, 0.01)];
    expect(decide(held, limits, 1e-6)).toBe(null);
  });
});

describe("the log", () => {
  test("stays bounded over a day and keeps the extremes", () => {
    const log = new WatchLog();
    for (let second = 0; second < 86_400; second++) {
      const x = second === 40_000 ? 5 : 0;
      log.add(second * 1000, {
        boards: [{ id: 31, mm: [x, 0, 0], band: [0.1, 0.1, 1] }],
        events: [],
      });
    }
    const file = log.file("2031-01-01T00:00:00Z", {
      sidewaysMm: 0.3,
      depthMm: 1.2,
      falseAlarmsPerHour: 0.05,
    });
    expect(watchLogSchema.safeParse(file).success).toBe(true);
    expect(file.courses[0].samples.length).toBeLessThanOrEqual(1024);
    expect(Math.max(...file.courses[0].samples.map(({ most }) => most[0]))).toBe(5);
    expect(file.measurements).toBe(86_400);
  });

  test("events beyond the limit are counted", () => {
    const log = new WatchLog();
    for (let i = 0; i < 500; i++) log.note({ kind: "begun anew", at: i });
    const file = log.file("2031-01-01T00:00:00Z", {
      sidewaysMm: 0.3,
      depthMm: 1.2,
      falseAlarmsPerHour: 0.05,
    });
    expect([file.events.length, file.eventsLeftOut]).toEqual([400, 100]);
  });
});

import { describe, expect, test } from "vitest";
import { radians } from "../../../src/maths/pose.ts";
import { planMoves } from "../../../src/placement/moves/moves.ts";
import type { Placement } from "../../../src/placement/moves/required.ts";
import type { TargetSetup } from "../../../src/placement/target/target.ts";
import { step, targetSetup } from "./scene.ts";

const required: Placement = { x: 1500, y: 0, z: 1200, yaw: 0, pitch: 0, roll: 0 };
const off = (change: Partial<Placement>): Placement => ({ ...required, ...change });
const missed = (...kinds: string[]) =>
  ["distance", "lateral offset", "height", "yaw", "pitch", "roll"].map((quantity) => ({
    quantity,
    verdict: kinds.includes(quantity) ? ("misses" as const) : ("meets" as const),
  }));
const plan = (measured: Placement, kinds: string[], target: TargetSetup = targetSetup) =>
  planMoves(measured, required, step, target, missed(...kinds), "ahead");

describe("moves in the order of the hands", () => {
  test("nothing to do when all meets, however far off inside the tolerance", () => {
    expect(plan(off({ x: 1503, yaw: radians(0.3) }), []).moves).toEqual([]);
  });

  test("turn, slide, raise, level", () => {
    const measured = off({
      x: 1512,
      y: 23,
      z: 1190,
      yaw: radians(-0.7),
      pitch: radians(1),
      roll: radians(-0.5),
    });
    const { moves } = plan(measured, [
      "distance",
      "lateral offset",
      "height",
      "yaw",
      "pitch",
      "roll",
    ]);
    expect(moves.map((m) => [m.order, m.kind, m.short])).toEqual([
      [1, "turn", "0.70° counter-clockwise"],
      [2, "slide", "23 mm right"],
      [3, "slide", "12 mm towards the car"],
      [4, "raise", "10 mm up"],
      [5, "level", "left end up 0.50°"],
      [6, "level", "face down 1.00°"],
    ]);
    expect(moves[1].text).toBe("Slide the stand 23.0 mm to the vehicle's right.");
  });

  test("behind the car, towards the car is forward", () => {
    const measured = off({ x: 1490 });
    const behind = planMoves(measured, required, step, targetSetup, missed("distance"), "behind");
    expect(behind.moves[0].short).toBe("10 mm towards the car");
    const beside = planMoves(measured, required, step, targetSetup, missed("distance"), "beside");
    expect(beside.moves[0].short).toBe("10 mm forward");
  });

  // Feet 400 mm left and right of a stand whose middle is 300 mm behind the face.
  const withFeet: TargetSetup = {
    ...targetSetup,
    feet: [
      { name: "left foot", inTargetMm: [-400, -1200, -300] },
      { name: "right foot", inTargetMm: [400, -1200, -300] },
    ],
  };

  test("turning about the feet carries the reference point, and the slide makes it good", () => {
    const measured = off({ yaw: radians(2) });
    const { moves, feet } = plan(measured, ["yaw"], withFeet);
    expect(moves.map((m) => m.kind)).toEqual(["turn", "slide"]);
    // The feet's middle is 300 mm ahead of the face; a turn by -2 degrees about it carries the
    // reference point to the vehicle's left by 300 sin 2 degrees.
    expect(Math.abs(moves[1].amount - 300 * Math.sin(radians(2)))).toBeLessThan(0.2);
    expect(moves[1].short).toBe("10 mm right");
    // In the end the reference point has not moved: the feet turned about it.
    expect(feet.map((f) => f.name)).toEqual(["left foot", "right foot"]);
    const [left, right] = feet;
    expect(Math.abs(left.aheadMm - 400 * Math.sin(radians(2)))).toBeLessThan(0.5);
    expect(Math.abs(right.aheadMm + 400 * Math.sin(radians(2)))).toBeLessThan(0.5);
    expect(moves[0].text).toContain("left foot 14 mm away from the car");
    expect(moves[0].text).toContain("right foot 14 mm towards the car");
  });

  test("each move counts from where the stand is when its turn comes", () => {
    const measured = off({ yaw: radians(2), x: 1520 });
    const { moves, feet } = plan(measured, ["yaw", "distance"], withFeet);
    // The feet of the turn are those of the turn alone; the slide says the rest, and together they
    // are what `feet` says from first to last.
    const [turn, ...slides] = moves;
    const left = turn.feet?.find(({ name }) => name === "left foot");
    const ahead = (parts: readonly { amountMm: number; way: string }[]): number =>
      parts.reduce(
        (sum, { amountMm, way }) =>
          sum +
          (way === "away from the car" ? amountMm : way === "towards the car" ? -amountMm : 0),
        0,
      );
    const slid = slides.reduce(
      (sum, { amount, way }) => sum + ahead([{ amountMm: amount, way }]),
      0,
    );
    expect(slides.every((move) => move.feet === undefined)).toBe(true);
    expect(left).toBeDefined();
    expect(Math.abs(ahead(left!.parts) + slid - feet[0].aheadMm)).toBeLessThan(0.6);
    expect(Math.abs(slid)).toBeGreaterThan(5);
  });

  test("without feet the ends of the target are named, of known width only", () => {
    const measured = off({ yaw: radians(1) });
    const sized = { ...targetSetup, widthMm: 600 };
    const { moves } = plan(measured, ["yaw"], sized);
    expect(moves[0].feet?.map(({ name }) => name)).toEqual(["left end", "right end"]);
    // 300 mm sin 1 degree = 5.2 mm.
    expect(moves[0].text).toContain("left end 5 mm away from the car");
    expect(moves[0].text).toContain("right end 5 mm towards the car");
  });
});

import { describe, expect, it } from "vitest";
import { featurePoints } from "../../../src/detect/print-fit/print-fit.ts";
import { applyHomography, fitHomography } from "../../../src/maths/homography.ts";
import type { TruePrint } from "../../tools/phone/bay.ts";
import { cornersInPhoto } from "../../tools/phone/corners.ts";
import { drawHand, type Hand, type Holding, still } from "../../tools/phone/hand.ts";
import type { TrueLens } from "../../tools/phone/lens.ts";
import { Chance, fromAxes, type Rigid, turn } from "../../tools/phone/maths.ts";
import { handRanges, phoneRanges } from "../../tools/phone/ranges.ts";
import type { Shot } from "../../tools/phone/shots.ts";

/**
 * Rows of one photo are read one after the other while the hand moves. A board is fitted with one
 * homography all the same; the adjustment predicts 16 of its points, each at its own row, and compares
 * the homography of these with the fitted one. What that leaves is traced here for the largest board of
 * the kit (18 mm a cell, A3) at 0.6 m, half of the frame high, with the slowest read-out.
 */
const lens: TrueLens = {
  width: 4032,
  height: 3024,
  focalPx: 3000,
  aspect: 1,
  centre: [2015.5, 1511.5],
  radial: [0, 0, 0],
  decentring: [0, 0],
  ripplePx: 0,
  rippleHalfWaves: 3,
  ripplePhase: 0,
  prismPx: [0, 0],
  focusDistortion: 0,
  focalMm: 5.6,
  openingMm: 1.5,
  redPx: 0,
  bluePx: 0,
  opticsBlurPx: 0.5,
};
const print: TruePrint = {
  id: 1,
  cellX: 18,
  cellY: 18,
  curvature: 0,
  bendAngle: 0,
  black: 0,
  white: 1,
};
/** The unsteadiest hand that the simulator draws. */
const holding = {
  driftDegPerS: handRanges.driftDegPerS[1],
  driftMmPerS: handRanges.driftMmPerS[1],
  tremorDeg: handRanges.tremorDeg[1],
  tremorMm: handRanges.tremorMm[1],
};
const shotWith = (hand: Hand): Shot => ({
  name: "shot",
  worldFromCamera: { q: [1, 0, 0, 0], p: [0, 0, 0] },
  hand,
  state: { focusMm: 1e12, focalError: 0, rest: [0, 0] },
  exposureS: 0.01,
  phone: {
    lens,
    readoutS: phoneRanges.readoutS[1],
    stabilisation: 0,
    restShiftSdPx: 0,
    holding,
  },
});

/** Facing the camera 0.6 m away (90 px a cell, half of the frame high), turned about an axis across. */
const boardAt = (tilt: number): Rigid => {
  const facing = fromAxes([1, 0, 0], [0, -1, 0]);
  const [w, x, y, z] = turn([tilt * 0.8, tilt * 0.6, 0]);
  const [a, b, c, d] = facing;
  return {
    q: [
      w * a - x * b - y * c - z * d,
      w * b + x * a + y * d - z * c,
      w * c - x * d + y * a + z * b,
      w * d + x * c - y * b + z * a,
    ],
    p: [40, 30, 600],
  };
};
const crossings = Array.from({ length: 15 * 15 }, (_, k) => [(k % 15) - 7, Math.floor(k / 15) - 7]);
const grid = Float64Array.from(crossings.flat());
const features = Float64Array.from(featurePoints.flat());

/** Root mean square over the 16 points that go to the network, px. */
const apart = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return Math.sqrt(sum / a.length);
};

const rms = (all: readonly number[]): number =>
  Math.sqrt(all.reduce((sum, x) => sum + x * x, 0) / all.length);

/** What many hands do to a board, px: how far they move it, and what is left of that in three ways. */
const moving = (tilt: number, holding: Holding) => {
  const board = boardAt(tilt);
  const chance = new Chance(12);
  const resting = cornersInPhoto(shotWith(still), print, board, features)!;
  const moved: number[] = [];
  const left: number[] = [];
  const unlike: number[] = [];
  for (let k = 0; k < 200; k++) {
    const shot = shotWith(drawHand(holding, chance));
    const seen = cornersInPhoto(shot, print, board, features)!;
    const fitted = fitHomography(grid, cornersInPhoto(shot, print, board, grid)!)!;
    const predicted = fitHomography(features, seen)!;
    const placed = (h: Float64Array) => featurePoints.flatMap(([x, y]) => applyHomography(h, x, y));
    moved.push(apart(seen, resting));
    left.push(apart(placed(fitted), seen));
    unlike.push(apart(placed(fitted), placed(predicted)));
  }
  return { moved: rms(moved), left: rms(left), unlike: rms(unlike) };
};

describe("a board that is read row by row", () => {
  const steady = { ...holding, tremorDeg: 0, tremorMm: 0 };

  it.each([
    ["steady", 0, steady],
    ["steady", 0.7, steady],
    ["trembling", 0, holding],
    ["trembling", 0.7, holding],
  ] as const)("in a %s hand, tilt %f rad", (_hand, tilt, how) => {
    const { moved, left, unlike } = moving(tilt, how);
    expect(moved).toBeGreaterThan(0.15);
    // A roll and a sway go with the square of the row, which no homography follows ..
    expect(left).toBeGreaterThan(0.005);
    expect(left).toBeLessThan(0.1 * moved);
    // .. but the homography that is fitted is the one of the points predicted at their own rows.
    expect(unlike).toBeLessThan(0.0025);
  });
});

import { describe, expect, it } from "vitest";
import { drawBay, type TrueBay, type TrueBoard } from "../../tools/phone/bay.ts";
import { still } from "../../tools/phone/hand.ts";
import { cornerRadius, seenAt, type TrueLens } from "../../tools/phone/lens.ts";
import { Chance, fromAxes } from "../../tools/phone/maths.ts";
import { type Shot, visibleBoards } from "../../tools/phone/shots.ts";

/** Strong barrel distortion: the radius of the picture has its largest value at r = 1. */
const folding: TrueLens = {
  width: 4032,
  height: 3024,
  focalPx: 3000,
  aspect: 1,
  centre: [2015.5, 1511.5],
  radial: [-1 / 3, 0, 0],
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
const shot: Shot = {
  name: "shot",
  worldFromCamera: { q: [1, 0, 0, 0], p: [0, 0, 0] },
  hand: still,
  state: { focusMm: 1e12, focalError: 0, rest: [0, 0] },
  exposureS: 0.01,
  phone: {
    lens: folding,
    readoutS: 0.02,
    stabilisation: 0,
    restShiftSdPx: 0,
    holding: { driftDegPerS: 0, driftMmPerS: 0, tremorDeg: 0, tremorMm: 0 },
  },
};
const [board] = drawBay(new Chance(1)).boards;
const distance = 2000;

/** A bay with one board that faces the camera, its centre at so many tangents to the right. */
const bayWith = (tangent: number): TrueBay => {
  const placed: TrueBoard = {
    ...board,
    curvature: 0,
    worldFromBoard: {
      // Towards the camera, so that only the field decides.
      q: fromAxes([1 / Math.hypot(1, tangent), 0, -tangent / Math.hypot(1, tangent)], [0, -1, 0]),
      p: [tangent * distance, 0, distance],
    },
  };
  const nowhere = { low: [9e5, 9e5, 9e5], high: [1e6, 1e6, 1e6] } as const;
  return { ...drawBay(new Chance(1)), boards: [placed], body: nowhere };
};

describe("boards that a photo shows", () => {
  it("are those inside the field", () => {
    for (const tangent of [0, 0.3, 0.5])
      expect(visibleBoards(bayWith(tangent), shot)).toHaveLength(1);
  });

  it("are none far outside, where the lens's formula folds back into the frame", () => {
    const folded = 1.6;
    const [x, y] = seenAt(folding, shot.state, folded, 0);
    expect(x).toBeGreaterThan(100);
    expect(x).toBeLessThan(folding.width - 100);
    expect(y).toBeCloseTo(folding.centre[1], 6);
    expect(folded).toBeGreaterThan(1.15 * cornerRadius(folding));
    expect(visibleBoards(bayWith(folded), shot)).toHaveLength(0);
  });
});

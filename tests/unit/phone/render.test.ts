import { describe, expect, it } from "vitest";
import { cellIsBlack, tagCellIsBlack } from "../../../src/boards/pattern.ts";
import { sheetMarkers, sheetSquareIsBlack } from "../../../src/boards/sheet.ts";
import type { TruePrint } from "../../tools/phone/bay.ts";
import { quantisation, throughJpeg } from "../../tools/phone/blocks.ts";
import { type Hand, still } from "../../tools/phone/hand.ts";
import type { TrueLens } from "../../tools/phone/lens.ts";
import { fromAxes, type Rigid } from "../../tools/phone/maths.ts";
import { patternOf } from "../../tools/phone/pattern.ts";
import { addPrint, type Light } from "../../tools/phone/render.ts";
import type { Shot } from "../../tools/phone/shots.ts";

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
  focalMm: 6,
  openingMm: 2,
  redPx: 0,
  bluePx: 0,
  opticsBlurPx: 0,
};
const shot = (hand: Hand, focusMm: number, exposureS: number, of = lens): Shot => ({
  name: "shot",
  worldFromCamera: { q: [1, 0, 0, 0], p: [0, 0, 0] },
  hand,
  state: { focusMm, focalError: 0, rest: [0, 0] },
  exposureS,
  phone: {
    lens: of,
    readoutS: 0.02,
    stabilisation: 0,
    restShiftSdPx: 0,
    holding: { driftDegPerS: 0, driftMmPerS: 0, tremorDeg: 0, tremorMm: 0 },
  },
});
/** One huge board: cells of 200 mm at 2 m are 300 px. */
const print: TruePrint = {
  id: 1,
  cellX: 200,
  cellY: 200,
  curvature: 0,
  bendAngle: 0,
  black: 0,
  white: 1,
};
const distance = 2000;
const around = 0.35;
/** Facing the camera, its centre on the axis: an upright edge of the checks at x = -6 cells. */
const facing = (spin = 0): Rigid => ({
  q: fromAxes([1, 0, 0], [0, -1, 0]),
  p: [6 * 200 + spin, 6.5 * 200, distance],
});

const region = { x: 1992, y: 1496, width: 48, height: 32 };
const lightOf = (of: Shot, worldFromBoard: Rigid): Light => {
  const plane = () => new Float32Array(region.width * region.height).fill(around);
  const light: Light = [plane(), plane(), plane()];
  addPrint(light, region, of, print, worldFromBoard, around);
  return light;
};

/** Mean over rows and place of the edge: profile across x. */
const profile = (light: Light): number[] =>
  Array.from({ length: region.width }, (_, x) => {
    let sum = 0;
    for (let y = 0; y < region.height; y++)
      for (let c = 0; c < 3; c++) sum += light[c][y * region.width + x];
    return sum / region.height / 3;
  });

/** Share of a disc of radius r to the left of x (its area by the circular segment). */
const discShare = (x: number, r: number): number => {
  if (x <= -r) return 0;
  if (x >= r) return 1;
  return 0.5 + (x * Math.sqrt(r * r - x * x) + r * r * Math.asin(x / r)) / (Math.PI * r * r);
};

/** Mean of f over a pixel. */
const overPixel = (f: (x: number) => number, x: number): number => {
  let sum = 0;
  for (let i = 0; i < 50; i++) sum += f(x + (i + 0.5) / 50 - 0.5);
  return sum / 50;
};

/** Mean of f over a normal distribution about x. */
const blurred = (f: (x: number) => number, sigma: number, x: number): number => {
  let [sum, weights] = [0, 0];
  for (let i = -40; i <= 40; i++) {
    const weight = Math.exp(-((i / 10) ** 2) / 2);
    sum += weight * f(x + (sigma * i) / 10);
    weights += weight;
  }
  return sum / weights;
};

describe("an upright edge", () => {
  // Left of board column 1 (x = -6 cells) one colour, right of it the other.
  const edgePx = 2015.5;

  it("out of focus is spread as the disc of the opening says", () => {
    const focusMm = 500;
    // Radius in px: f (px) x opening x |1 / z - 1 / d|, with the thin lens's longer f.
    const f = (3000 * focusMm) / (focusMm - 6);
    const r = f * 2 * Math.abs(1 / distance - 1 / focusMm);
    expect(r).toBeGreaterThan(8);
    const soft = { ...lens, opticsBlurPx: 0.4 };
    const seen = profile(lightOf(shot(still, focusMm, 0.01, soft), facing()));
    const left = seen[0];
    const right = seen[region.width - 1];
    expect(Math.abs(left - right)).toBeGreaterThan(0.9);
    seen.forEach((value, i) => {
      const disc = (x: number) => discShare(x - edgePx, r);
      const wanted = overPixel((x) => blurred(disc, 0.4, x), region.x + i);
      expect(Math.abs((value - left) / (right - left) - wanted)).toBeLessThan(0.01);
    });
    const place = seen.reduce((sum, v) => sum + (right - v) / (right - left), 0);
    expect(Math.abs(place - (edgePx - (region.x - 0.5)))).toBeLessThan(0.005);
  });

  it("moved during the exposure is a straight ramp as long as the way", () => {
    const speed = 600;
    const exposureS = 0.02;
    const wayPx = (3000 * speed * exposureS) / distance;
    const hand: Hand = { ...still, moving: [speed, 0, 0] };
    const seen = profile(
      lightOf(shot(hand, 1e9, exposureS, { ...lens, openingMm: 1e-9 }), facing()),
    );
    const [left, right] = [seen[0], seen[region.width - 1]];
    // Rows differ by the read-out: the ramp's middle is that of the region's middle row.
    const middleRow = region.y + (region.height - 1) / 2;
    const t = (middleRow / 3023 - 0.5) * 0.02;
    const middle = edgePx - (3000 * speed * t) / distance;
    seen.forEach((value, i) => {
      const wanted = overPixel(
        (x) => Math.max(0, Math.min(1, (x - middle) / wayPx + 0.5)),
        region.x + i,
      );
      expect((value - left) / (right - left)).toBeCloseTo(wanted, 2);
    });
  });

  it("sharp and at any part of a pixel keeps its place to 0.002 px", () => {
    const sharp = { ...lens, openingMm: 1e-9, opticsBlurPx: 0.5 };
    for (const shiftMm of [0, 0.13, 0.31, 0.47]) {
      const seen = profile(lightOf(shot(still, 1e9, 0.01, sharp), facing(shiftMm)));
      const [left, right] = [seen[0], seen[region.width - 1]];
      // The edge lies where the area under the profile says.
      const place = seen.reduce((sum, v) => sum + (right - v) / (right - left), 0);
      const wanted = edgePx + (3000 * shiftMm) / distance - (region.x - 0.5);
      expect(Math.abs(place - wanted)).toBeLessThan(0.002);
    }
  });
});

describe("a slanted edge with lateral colour", () => {
  it("has red and blue where their magnifications put them", () => {
    const colour = { ...lens, openingMm: 1e-9, opticsBlurPx: 0.5, redPx: 2, bluePx: -3 };
    const away: Rigid = { ...facing(), p: [6 * 200 + 600, 6.5 * 200, distance] };
    const at = { x: 2896, y: 1496, width: 48, height: 32 };
    const plane = () => new Float32Array(at.width * at.height).fill(around);
    const light: Light = [plane(), plane(), plane()];
    addPrint(light, at, shot(still, 1e9, 0.01, colour), print, away, around);
    const place = (c: number): number => {
      let sum = 0;
      for (let y = 0; y < at.height; y++) {
        const row = light[c].subarray(y * at.width, (y + 1) * at.width);
        const [left, right] = [row[0], row[at.width - 1]];
        sum += row.reduce((s, v) => s + (right - v) / (right - left), 0) / at.height;
      }
      return sum;
    };
    const corner = Math.hypot(4032, 3024) / 2;
    expect(place(1) - place(0)).toBeCloseTo((2 * 900) / corner, 2);
    expect(place(2) - place(0)).toBeCloseTo((-3 * 900) / corner, 2);
  });
});

describe("patterns", () => {
  const colour = (pattern: ReturnType<typeof patternOf>, x: number, y: number): number => {
    const i = pattern.linesX.filter((line) => line <= x).length;
    const j = pattern.linesY.filter((line) => line <= y).length;
    return pattern.values[j * pattern.columns + i];
  };

  it("are the product's boards, cell by cell", () => {
    for (const id of [1, 17, 32]) {
      const pattern = patternOf({ ...print, id }, around);
      for (let row = -1; row < 15; row++)
        for (let col = -1; col < 15; col++)
          expect(colour(pattern, col - 6.5, 6.5 - row)).toBe(cellIsBlack(id, row, col) ? 0 : 1);
    }
  });

  it("are the product's camera sheet, bit by bit", () => {
    const pattern = patternOf({ ...print, id: "sheet" }, around);
    for (let row = 0; row < 10; row++)
      for (let col = 0; col < 7; col++)
        if (sheetSquareIsBlack(row, col)) expect(colour(pattern, col - 3, 4.5 - row)).toBe(0);
    for (const marker of sheetMarkers)
      for (let r = 0; r < 8; r++)
        for (let c = 0; c < 8; c++) {
          const bit = 0.74 / 8;
          const x = marker.x + (c - 3.5) * bit;
          const y = marker.y - (r - 3.5) * bit;
          expect(colour(pattern, x, y)).toBe(tagCellIsBlack(marker.id, r, c) ? 0 : 1);
        }
  });
});

describe("JPEG blocks", () => {
  it("keep a flat block and quantise a cosine as the standard says", () => {
    const flat = new Float32Array(64).fill(128 + 37);
    throughJpeg(flat, 8, 8, 90);
    // The mean's coefficient is 8 x 37 = 296, in steps of 3 at quality 90 (16 x 20 / 100 = 3.2 -> 3).
    expect(quantisation(90)[0]).toBe(3);
    for (const value of flat) expect(value).toBeCloseTo(128 + (Math.round(296 / 3) * 3) / 8, 4);
    expect(quantisation(50)[7]).toBe(61);
    expect(quantisation(100).every((q) => q === 1)).toBe(true);
  });
});

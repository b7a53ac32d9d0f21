import { describe, expect, it } from "vitest";
import { project } from "../../../src/lens/lens.ts";
import { expRotation, matMul, transform, transpose } from "../../../src/maths/pose.ts";
import { drawBay, onPrint, trueChecks, withStandMoved } from "../../tools/phone/bay.ts";
import { cornersInPhoto, seenInPhoto } from "../../tools/phone/corners.ts";
import { type Hand, onCart, still } from "../../tools/phone/hand.ts";
import { drawLens, lookAlong, seenAt, type TrueLens } from "../../tools/phone/lens.ts";
import { apply, Chance, fromAxes, rotate, size, turn, type V3 } from "../../tools/phone/maths.ts";
import { drawSession, parts } from "../../tools/phone/session.ts";
import type { Phone, Shot } from "../../tools/phone/shots.ts";

/** A pinhole: no distortion, focused so far away that the focal length is that of infinity. */
const pinhole: TrueLens = {
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
const readoutS = 0.02;
const phone = (lens: TrueLens = pinhole, stabilisation = 0): Phone => ({
  lens,
  readoutS,
  stabilisation,
  restShiftSdPx: 0,
  holding: onCart,
});
const shot = (hand: Hand, of = phone(), focusMm = 1e12): Shot => ({
  name: "shot",
  worldFromCamera: { q: [1, 0, 0, 0], p: [0, 0, 0] },
  hand,
  state: { focusMm, focalError: 0, rest: [0, 0] },
  exposureS: 0.01,
  phone: of,
});

describe("a place seen while rows are read", () => {
  const [f, cx, cy, rows] = [3000, 2015.5, 1511.5, 3023];
  const place: V3 = [300, -400, 2000];
  const [X, Y, Z] = place;

  it("moves sideways with the row that sees it", () => {
    const speed = 500;
    const row = cy + (f * Y) / Z;
    const t = (row / rows - 0.5) * readoutS;
    const seen = seenInPhoto(shot({ ...still, moving: [speed, 0, 0] }), place)!;
    expect(seen[0]).toBeCloseTo(cx + (f * (X - speed * t)) / Z, 8);
    expect(seen[1]).toBeCloseTo(row, 8);
  });

  it("is stretched along the rows' own direction: the row solves a linear equation", () => {
    const speed = -300;
    // v = cy + f (Y - s (v / rows - 1/2) T) / Z
    const rate = (f * speed * readoutS) / Z;
    const v = (cy + (f * Y) / Z + rate / 2) / (1 + rate / rows);
    const seen = seenInPhoto(shot({ ...still, moving: [0, speed, 0] }), place)!;
    expect(seen[1]).toBeCloseTo(v, 8);
    expect(seen[0]).toBeCloseTo(cx + (f * X) / Z, 8);
  });

  it("swings with a turn about the optical axis: a tangent of the turned angle", () => {
    // On the vertical through the middle a turn by w t moves the place along a circle.
    const rate = 0.3;
    const radius = f * 0.25;
    const seen = seenInPhoto(shot({ ...still, turning: [0, 0, rate] }), [0, 500, 2000])!;
    const t = (seen[1] / rows - 0.5) * readoutS;
    expect(seen[0] - cx).toBeCloseTo(radius * Math.sin(rate * t), 7);
    expect(seen[1] - cy).toBeCloseTo(radius * Math.cos(rate * t), 7);
  });

  it("trembles with the sine of the tremor", () => {
    const quiet = { hz: 10, amplitude: 0, phase: 0 };
    const tremor = [quiet, quiet, quiet, { hz: 11, amplitude: 0.4, phase: 0.7 }, quiet, quiet];
    const row = cy + (f * Y) / Z;
    const t = (row / rows - 0.5) * readoutS;
    const moved = 0.4 * (Math.sin(2 * Math.PI * 11 * t + 0.7) - Math.sin(0.7));
    const seen = seenInPhoto(shot({ ...still, tremor }), place)!;
    expect(seen[0]).toBeCloseTo(cx + (f * (X - moved)) / Z, 8);
  });

  it("stays in the middle of the frame when the lens takes all of a turn away", () => {
    const turning: V3 = [0.1, -0.15, 0];
    const far: V3 = [0.05e6, 0.04e6, 1e6];
    const fixed = seenInPhoto(shot(still), far)!;
    const left = seenInPhoto(shot({ ...still, turning }, phone(pinhole, 1)), far)!;
    const bare = seenInPhoto(shot({ ...still, turning }), far)!;
    const off = (p: readonly number[]): number => Math.hypot(p[0] - fixed[0], p[1] - fixed[1]);
    expect(off(bare)).toBeGreaterThan(0.2);
    expect(off(left)).toBeLessThan(0.01 * off(bare));
  });
});

describe("the simulated lens", () => {
  it("without ripple and prism is a Brown lens, as the product projects it", () => {
    const radial = [0.05, -0.12, 0.04] as const;
    const decentring = [0.0005, -0.0003] as const;
    const lens = { ...pinhole, radial, decentring, aspect: 1.0002 };
    const w: V3 = [0.2, -0.4, 0.1];
    const p: V3 = [100, -50, 30];
    const camera = { ...shot(still, phone(lens)), worldFromCamera: { q: turn(w), p } };
    const R = matMul(expRotation([0, 0, 0]), expRotation(w));
    for (const place of [
      [900, 700, 2500],
      [-800, 200, 1800],
    ] as V3[]) {
      const seen = seenInPhoto(camera, place)!;
      const inCamera = transform({ R: transpose(R), t: [0, 0, 0] }, [
        place[0] - p[0],
        place[1] - p[1],
        place[2] - p[2],
      ]);
      const [k1, k2, k3] = radial;
      const [p1, p2] = decentring;
      const exact = project(
        { fx: 3000, fy: 3000.6, cx: 2015.5, cy: 1511.5, k1, k2, p1, p2, k3 },
        inCamera,
      )!;
      // The thin lens is focused at a finite distance: 5.6 mm against 10^12.
      expect(seen[0]).toBeCloseTo(exact[0], 6);
      expect(seen[1]).toBeCloseTo(exact[1], 6);
    }
  });

  it("looks along the direction that it shows at a pixel", () => {
    for (let seed = 1; seed <= 20; seed++) {
      const lens = drawLens(new Chance(seed));
      const state = { focusMm: 400, focalError: 0.001, rest: [3, -4] as const };
      for (const [u, v] of [
        [0, 0],
        [4031, 3023],
        [1000, 2500],
      ]) {
        const [x, y] = lookAlong(lens, state, u, v);
        const [a, b] = seenAt(lens, state, x, y);
        expect(Math.hypot(a - u, b - v)).toBeLessThan(1e-8);
      }
    }
  });

  it("lengthens its focal length as a thin lens does (figures: 1.21 % at 0.5 m for 6 mm)", () => {
    const lens = { ...pinhole, focalMm: 6 };
    const near = seenAt(lens, { focusMm: 500, focalError: 0, rest: [0, 0] }, 0.1, 0);
    expect((near[0] - 2015.5) / 300).toBeCloseTo(1.0121, 4);
  });
});

describe("the simulated bay", () => {
  it("bends and stretches a print as stated", () => {
    const bay = drawBay(new Chance(5));
    const print = { ...bay.boards[0], curvature: 1e-4, bendAngle: 0, cellX: 13.02, cellY: 12.98 };
    const [x, y, z] = onPrint(print, 7, 3);
    expect([x, y]).toEqual([7 * 13.02, 3 * 12.98]);
    expect(z).toBeCloseTo((1e-4 * (7 * 13.02) ** 2) / 2, 12);
  });

  it("knows its checks: a stand moved by 10 mm is 10 mm away, and turns nothing", () => {
    const bay = drawBay(new Chance(6));
    const before = trueChecks(bay);
    const shifted = trueChecks(withStandMoved(bay, [6, -8, 0]));
    const moved = Math.hypot(shifted.aheadMm - before.aheadMm, shifted.leftMm - before.leftMm);
    expect(moved).toBeCloseTo(10, 9);
    expect(shifted.yawDeg).toBeCloseTo(before.yawDeg, 12);
    expect(before.aheadMm).toBeGreaterThan(1300);
    expect(Math.abs(before.yawDeg)).toBeLessThan(4);
  });

  it("gives the same session for the same seed, and leaves parts out alone", () => {
    const all = drawSession(7);
    expect(drawSession(7)).toEqual(all);
    const plain = drawSession(7, { without: parts });
    expect(plain.bay.worldFromTarget).toEqual(all.bay.worldFromTarget);
    expect(plain.photos.map(({ worldFromCamera }) => worldFromCamera)).toEqual(
      all.photos.map(({ worldFromCamera }) => worldFromCamera),
    );
    for (const board of plain.bay.boards) expect(board.cellX).toBe(board.cellY);
    const [first] = plain.photos;
    const board = plain.bay.boards[0];
    const places = [0, 0, 6, 6];
    const seen = cornersInPhoto(first, board, board.worldFromBoard, places);
    expect(seen === null || seen.every(Number.isFinite)).toBe(true);
  });
});

describe("quaternions", () => {
  it("from axes are the rotation with these columns", () => {
    for (let seed = 1; seed < 50; seed++) {
      const c = new Chance(seed);
      const q = turn([c.normal(2), c.normal(2), c.normal(2)]);
      const back = fromAxes(rotate(q, [1, 0, 0]), rotate(q, [0, 1, 0]));
      const v: V3 = [c.normal(), c.normal(), c.normal()];
      const a = apply({ q, p: [0, 0, 0] }, v);
      const b = rotate(back, v);
      expect(size([a[0] - b[0], a[1] - b[1], a[2] - b[2]])).toBeLessThan(1e-12);
    }
  });
});

import { expect, test } from "vitest";
import { barLevel, faceReading, type Gravity } from "../../../src/watch/level.ts";
import { gaussian, seededRandom } from "../../tools/render-board.ts";

const radians = (deg: number): number => (deg * Math.PI) / 180;

/** Gravity of a phone on its long edge: inclination of the edge, lean of the screen, noise in m/s2. */
function samples(
  edgeDeg: number,
  leanDeg: number,
  seed: number,
  noise = 0.03,
  count = 180,
): Gravity[] {
  const random = seededRandom(seed);
  const [e, l] = [radians(edgeDeg), radians(leanDeg)];
  return Array.from({ length: count }, () => {
    const n = () => noise * gaussian(random);
    return [
      9.81 * Math.cos(e) * Math.cos(l) + n(),
      9.81 * Math.sin(e) + n(),
      9.81 * Math.cos(e) * Math.sin(l) + n(),
    ];
  });
}

const read = (given: Gravity[]) => {
  const face = faceReading(given);
  if (!face.ok) throw new Error(face.reason);
  return face.reading;
};

test("the phone's own offset cancels, whatever it leans", () => {
  for (const [bar, offset, lean] of [
    [0.4, 1.3, 5],
    [-0.2, -0.8, -10],
    [0, 2, 0],
  ]) {
    const level = barLevel(
      read(samples(bar + offset, lean, 1, 0.005)),
      read(samples(-bar + offset, -lean, 2, 0.005)),
    );
    expect(Math.abs(level.deg - bar)).toBeLessThan(0.02);
    expect(Math.abs(level.offsetDeg - offset)).toBeLessThan(0.02);
    expect(level.mmPerM).toBeCloseTo(1000 * Math.tan(radians(level.deg)), 9);
  }
});

test("the stated interval holds the truth in 95 % of cases or more", () => {
  const random = seededRandom(11);
  let held = 0;
  const trials = 2000;
  for (let i = 0; i < trials; i++) {
    const bar = 2 * random() - 1;
    const seat = () => 0.05 * gaussian(random);
    const faces = [bar + 1 + seat(), -bar + 1 + seat()].map((deg, k) =>
      read(samples(deg, 3, 100 + 2 * i + k, 0.02, 60)),
    );
    const level = barLevel(faces[0], faces[1]);
    if (Math.abs(level.deg - bar) <= level.degU) held++;
  }
  expect(held / trials).toBeGreaterThan(0.94);
  expect(held / trials).toBeLessThan(0.985);
});

test("a hand that shakes, a phone that lies flat, and too little time are refused", () => {
  const shaken = samples(0, 0, 3).map(([x, y, z], i): Gravity => [x, y + (i < 90 ? 0.3 : -0.3), z]);
  expect(faceReading(shaken)).toEqual({ ok: false, reason: "shaken" });
  const flat = samples(0, 0, 4).map(([x, y, z]): Gravity => [z, y, x]);
  expect(faceReading(flat)).toEqual({ ok: false, reason: "not on edge" });
  expect(faceReading(samples(0, 0, 5, 0.03, 10))).toEqual({ ok: false, reason: "too few" });
});

import { describe, expect, test } from "vitest";
import { findMovements } from "../../../src/job/epochs/movements.ts";
import { cross, type Vec3 } from "../../../src/maths/pose.ts";
import { random } from "../adjust/bay.ts";

const points: readonly Vec3[] = [
  [0, 850, 320],
  [0, -850, 320],
  [-2650, 850, 320],
  [-2650, -850, 320],
  [2500, -450, 1100],
  [2500, 450, 1100],
  [1200, 700, 0],
  [1200, -700, 0],
];
const keys = ["1", "2", "3", "4", "31", "32", "11", "12"];
const stand = [4, 5];
const car = [0, 1, 2, 3];

const motions = [0, 1, 2].flatMap((axis) => {
  const e: Vec3 = [axis === 0 ? 1 : 0, axis === 1 ? 1 : 0, axis === 2 ? 1 : 0];
  return [points.flatMap(() => [...e]), points.flatMap((p) => cross(e, p).map((v) => v / 1000))];
});

/** Differences of two epochs with noise `sd`, in a frame that moved as a whole. */
const epochs = (seed: number, sd: number, shift: (i: number) => Vec3) => {
  const r = random(seed);
  const n = 3 * points.length;
  const covariance = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    covariance[i * (n + 1)] = sd ** 2;
    for (const motion of motions)
      for (let k = 0; k < n; k++) covariance[i * n + k] += 25 * motion[i] * motion[k];
  }
  const differences = Float64Array.from(points.flatMap((_, i) => shift(i))).map(
    (v) => v + r.normal(sd),
  );
  for (const motion of motions) {
    const amount = r.normal(5);
    motion.forEach((v, i) => {
      differences[i] += amount * v;
    });
  }
  return { keys, differences, covariance, motions, bodies: [stand, car] };
};

const none: Vec3 = [0, 0, 0];
const jobs = 200;

describe("what moved between two epochs", () => {
  test("where nothing moved hardly anything is said to have moved", () => {
    let wrongly = 0;
    for (let seed = 1; seed <= jobs; seed++)
      wrongly += findMovements(epochs(seed, 0.4, () => none)).movements.filter(
        ({ moved }) => moved,
      ).length;
    expect(wrongly / jobs).toBeLessThan(0.03);
  });

  test("a stand bumped by 2 mm is found, its size inside its interval, and nothing else", () => {
    let [found, inside, others] = [0, 0, 0];
    for (let seed = 1; seed <= jobs; seed++) {
      const angle = seed;
      const bump: Vec3 = [2 * Math.cos(angle), 2 * Math.sin(angle), 0];
      const { movements } = findMovements(
        epochs(seed, 0.25, (i) => (stand.includes(i) ? bump : none)),
      );
      const ofStand = stand.map((i) => movements[i]);
      if (ofStand.every(({ moved }) => moved)) found++;
      inside += ofStand.filter(({ length, expanded }) => Math.abs(length - 2) <= expanded).length;
      others += movements.filter(({ moved }, i) => moved && !stand.includes(i)).length;
    }
    expect(found / jobs).toBeGreaterThan(0.97);
    expect(inside / (2 * jobs)).toBeGreaterThan(0.92);
    expect(others / jobs).toBeLessThan(0.03);
  });

  test("one floor board kicked aside is that board alone", () => {
    const { movements, explained } = findMovements(
      epochs(7, 0.3, (i) => (i === 6 ? [6, -4, 0] : none)),
    );
    expect(explained).toBe(true);
    expect(movements.filter(({ moved }) => moved).map(({ key }) => key)).toEqual(["11"]);
  });
});

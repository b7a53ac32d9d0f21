import { describe, expect, test } from "vitest";
import { adjust } from "../../../src/adjust/adjust.ts";
import type { NetworkProblem } from "../../../src/adjust/problem/problem.ts";
import {
  mixedPrintsRemark,
  partOfSizes,
  splitMixedPrints,
} from "../../../src/adjust/test/mixed-prints.ts";
import type { Vec3 } from "../../../src/maths/pose.ts";
import { truePixelOf } from "../../oracle/camera.ts";
import { type Bay, random, steadyBay, testLens } from "./bay.ts";

const sigmaPx = 0.1;

const bayOf = (seed: number): Bay => steadyBay(seed, 16, { cellSd: 1e-4, printSd: 5e-4 });

/** The bay as photos show it whose boards are printed at `scaleOf` and moved by `shiftOf` half-way. */
const seen = (
  { problem, truth }: Bay,
  seed: number,
  scaleOf: (place: number) => number,
  shiftOf: (place: number) => number = () => 0,
): NetworkProblem => {
  const r = random(3000 + seed);
  const places = new Map(problem.boards.map(({ key }, i) => [key, i]));
  const late = new Set(problem.photos.slice(problem.photos.length >> 1).map(({ key }) => key));
  const observations = problem.observations.map((o) => {
    const place = places.get(o.board)!;
    const home = truth.board.get(o.board)!;
    const [x, y, z] = home.t;
    const board = late.has(o.photo) ? { ...home, t: [x + shiftOf(place), y, z] as Vec3 } : home;
    const cell = truth.cellMm.get(o.board)! * scaleOf(place);
    const pixels = new Float64Array(o.pixels.length);
    for (let i = 0; i < pixels.length; i += 2) {
      const point: Vec3 = [o.boardPoints[i] * cell, o.boardPoints[i + 1] * cell, 0];
      const at = truePixelOf(testLens, [truth.photo.get(o.photo)!, board], point)!;
      pixels.set([at[0] + r.normal(sigmaPx), at[1] + r.normal(sigmaPx)], i);
    }
    return { ...o, pixels };
  });
  return { ...problem, observations };
};

const look = (problem: NetworkProblem) => {
  const outcome = adjust(problem);
  if (!outcome.ok) throw new Error(outcome.reason);
  return splitMixedPrints(problem, outcome);
};

describe("boards of another printer among the others", () => {
  test.each([
    ["two at 99.7 %", (place: number) => place < 2, 0.997],
    ["three at 100.4 %", (place: number) => [0, 2, 3].includes(place), 1.004],
    ["every other one at 99.7 %", (place: number) => place % 2 === 1, 0.997],
  ])("%s are named with their size, and nothing misfits any more", (_, odd, scale) => {
    for (const seed of [1, 2]) {
      const bay = bayOf(seed);
      const found = look(seen(bay, seed, (place) => (odd(place) ? scale : 1)));
      const { boards } = bay.problem;
      expect(boards.length).toBeGreaterThanOrEqual(6);
      const keys = boards.flatMap(({ key }, place) => (odd(place) ? [key] : []));
      const rest = boards.map(({ key }) => key).filter((key) => !keys.includes(key));
      const named = [...(found?.prints.boards ?? [])].sort();
      // Of two halves either may be called the other print: their ratio is what the photos tell.
      const ofTheRest = named.join() === [...rest].sort().join();
      expect(named).toEqual(ofTheRest ? [...rest].sort() : [...keys].sort());
      const ratio = ofTheRest ? 1 / scale : scale;
      expect(Math.abs(found!.prints.scale - ratio)).toBeLessThan(4 * found!.prints.scaleSd);
      expect(found!.prints.scaleSd).toBeLessThan(5e-4);
      expect(found!.adjusted.sigma0Squared).toBeLessThan(1.2);
    }
  });

  test("are not found where all are of one print, one is of another size, or some moved", () => {
    for (const seed of [1, 2, 3]) {
      const bay = bayOf(seed);
      expect(look(seen(bay, seed, () => 1))).toBeNull();
      expect(look(seen(bay, seed, (place) => (place === 3 ? 0.99 : 1)))).toBeNull();
      const moved = seen(
        bay,
        seed,
        () => 1,
        (place) => (place < 3 ? 6 : 0),
      );
      expect(look(moved)).toBeNull();
    }
  });

  test("are not made of sizes of one print, however they scatter; 600 draws", () => {
    const r = random(77);
    const n = 18;
    const sd = 2e-4;
    const v = Float64Array.from({ length: n * n }, (_, i) => (i % (n + 1) === 0 ? sd ** 2 : 0));
    let [byChance, found] = [0, 0];
    for (let draw = 0; draw < 600; draw++) {
      const scatter = [1, 2, 4][draw % 3];
      const y = Float64Array.from({ length: n }, () => r.normal(scatter * sd));
      if (partOfSizes(y, v)) byChance++;
      // Four of the boards are larger by fifteen of their uncertainties.
      const members = partOfSizes(
        Float64Array.from({ length: n }, (_, i) => r.normal(sd) + (i < 4 ? 15 * sd : 0)),
        v,
      )?.members;
      if (members && [...members].sort().join() === "0,1,2,3") found++;
    }
    expect(byChance).toBe(0);
    expect(found).toBeGreaterThan(594);
  });

  test("are told in plain words with what to do", () => {
    const { message, remedy } = mixedPrintsRemark({
      boards: ["32", "31", "31 until bay-04.jpg"],
      scale: 0.99712,
      scaleSd: 0.00015,
    });
    expect(message).toMatch(/^Boards 31, 32 are printed at 99\.71 % .* \(uncertain by 0\.03 %\)/);
    expect(remedy).toContain("Check these pages with the ruler");
  });
});

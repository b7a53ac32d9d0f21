import { describe, expect, test } from "vitest";
import { type Grouped, scatterOf, spreadOf } from "../../../src/acceptance/judge/scatter.ts";
import type { MeasuredRound } from "../../../src/acceptance/measure/measure-round.ts";
import { identity3, type Pose } from "../../../src/maths/pose.ts";
import { normalSource } from "../../tools/simulated-job.ts";

const boards = ["11", "12", "13", "14", "15"];
const placed = (i: number): Pose => ({ R: identity3, t: [1000 * i, 500 * (i % 2), 300 * (i % 3)] });

const round = (
  name: string,
  lengths: readonly number[],
  poses?: Map<string, Pose>,
): MeasuredRound =>
  ({
    name,
    lengthsMm: lengths,
    uncertaintiesMm: lengths.map(() => 0.1),
    ownVariances: lengths.map(() => 0.01),
    covariance: () => 0,
    poses: poses ?? new Map(boards.map((board, i) => [board, placed(i)])),
    shapes: [],
    photos: 10,
    varianceFactor: 1,
    remarks: [],
  }) as unknown as MeasuredRound;

describe("repeatability and reproducibility", () => {
  test("two rounds: half the mean square of their differences", () => {
    const groups: Grouped = [[round("a", [1000, 2000]), round("b", [1000.2, 1999.6])]];
    const { repeatability, reproducibility } = scatterOf(groups, 5);
    expect(repeatability?.sd).toBeCloseTo(Math.sqrt((0.2 ** 2 + 0.4 ** 2) / 4), 9);
    expect(reproducibility).toBeNull();
  });

  test("a standard deviation's interval, chi-squared", () => {
    // ISO 5725-2 and any table: for 10 degrees of freedom 20.483 and 3.247.
    const { lower, upper } = spreadOf(1, 10);
    expect(lower).toBeCloseTo(Math.sqrt(10 / 20.483), 3);
    expect(upper).toBeCloseTo(Math.sqrt(10 / 3.247), 3);
  });

  test("intervals of the repeatability hold the truth, and both components are right on average", () => {
    const normal = normalSource(5);
    const [within, between] = [0.3, 0.5];
    const trials = 2000;
    let held = 0;
    let squares = 0;
    let total = 0;
    for (let trial = 0; trial < trials; trial++) {
      const groups = ["a", "b", "c"].map((group) => {
        const own = Array.from({ length: 6 }, () => between * normal());
        return ["1", "2"].map((n) =>
          round(
            group + n,
            own.map((x) => 1000 + x + within * normal()),
          ),
        );
      });
      const { repeatability, reproducibility } = scatterOf(groups, 5);
      if (repeatability!.lower <= within && within <= repeatability!.upper) held++;
      squares += repeatability!.sd ** 2;
      total += reproducibility!.sd ** 2;
    }
    expect(held / trials).toBeGreaterThan(0.93);
    expect(held / trials).toBeLessThan(0.97);
    expect(squares / trials).toBeCloseTo(within ** 2, 2);
    expect(total / trials / (within ** 2 + between ** 2)).toBeGreaterThan(0.97);
    expect(total / trials / (within ** 2 + between ** 2)).toBeLessThan(1.03);
  });

  test("a board that was touched between the rounds is named, and only it", () => {
    const poses = new Map(boards.map((board, i) => [board, placed(i)]));
    const shifted = new Map(poses).set("13", { R: identity3, t: [2003, 0, 600] });
    const { remarks } = scatterOf([[round("a", [1000], poses), round("b", [1000], shifted)]], 5);
    expect(remarks.map(({ code, values }) => [code, values?.board])).toEqual([
      ["accept-board-moved", 13],
    ]);
    expect(scatterOf([[round("a", [1000]), round("b", [1000])]], 5).remarks).toEqual([]);
  });

  test("more scatter than a job states is said", () => {
    const lengths = [1000, 1100, 1200, 1300, 1400];
    const apart = lengths.map((mm, i) => mm + (i % 2 ? 0.9 : -0.9));
    const { remarks } = scatterOf([[round("a", lengths), round("b", apart)]], 5);
    expect(remarks.map(({ code }) => code)).toEqual(["accept-scatter"]);
  });
});

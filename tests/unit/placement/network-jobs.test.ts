import { describe, expect, test } from "vitest";
import { adjust } from "../../../src/adjust/adjust.ts";
import { evaluatePlacement } from "../../../src/placement/assemble.ts";
import { positionRemarks } from "../../../src/vehicle/position-checks.ts";
import { vehicleQuantities } from "../../../src/vehicle/quantities.ts";
import { sheet, step } from "./scene.ts";
import { type SimulationWish, simulateJob } from "./simulated-job.ts";

/** Whole adjustments of simulated photos; one or two seconds each. */
const solve = (wish: SimulationWish) => {
  const job = simulateJob(wish);
  const solution = adjust(job.problem);
  if (!solution.ok) throw new Error(solution.remarks.map((r) => r.message).join(" "));
  return { job, solution };
};

describe("two positions of the car", () => {
  const thrust = (positions: 1 | 2, wish: Partial<SimulationWish> = {}) => {
    const { job, solution } = solve({ seed: 11, positions, ...wish });
    const [quantity] = vehicleQuantities(job.setup.vehicle).filter(
      (q) => q.key === "vehicle:thrust angle",
    );
    const { values, covariance, budget } = solution.propagate([quantity]);
    return {
      error: values[0] - quantity.evaluate(job.truth),
      sd: Math.sqrt(covariance[0]),
      plates: (budget[0]["wheel plates"] ?? 0) / covariance[0],
    };
  };

  test("take the plates' run-out out of the thrust angle", () => {
    const [one, two] = [thrust(1), thrust(2)];
    // One position: two plates with 0.2 degrees of tilt, 0.2 / sqrt 2 = 0.141 degrees.
    expect(Math.abs(one.sd - 0.2 / Math.SQRT2)).toBeLessThan(0.005);
    expect(one.plates).toBeGreaterThan(0.97);
    expect(two.sd).toBeLessThan(0.02);
    expect(Math.abs(two.error)).toBeLessThan(3 * two.sd);
    expect(Math.abs(one.error)).toBeLessThan(3 * one.sd);
  }, 60_000);

  test("or, fitted a second time, average it: 0.2 degrees of two plates over two fittings", () => {
    const runs = [11, 12, 13, 14].map((seed) => thrust(2, { seed, refitted: true }));
    for (const { error, sd } of runs) {
      // 0.2 / sqrt 2 of two rear plates, over sqrt 2 of two fittings: 0.1 degrees.
      expect(Math.abs(sd - 0.1)).toBeLessThan(0.01);
      expect(Math.abs(error)).toBeLessThan(3 * sd);
    }
    const { job, solution } = solve({ seed: 11, positions: 2, refitted: true });
    expect(positionRemarks(solution, job.setup.vehicle, () => true)).toEqual([]);
  }, 120_000);

  test("a car rolled too little is told", () => {
    const { job, solution } = solve({ seed: 12, positions: 2, turnDeg: 35 });
    const remarks = positionRemarks(solution, job.setup.vehicle, () => true);
    expect(remarks.map((r) => [r.code, r.severity])).toEqual([["rolled-too-little", "warning"]]);
    expect(remarks[0].message).toMatch(/only 3\d degrees/);
  }, 60_000);

  test("a plate that slipped between the positions is told, with its wheel", () => {
    const slipped = solve({ seed: 13, positions: 2, slipDeg: { "rear left": 3 } });
    const remarks = positionRemarks(slipped.solution, slipped.job.setup.vehicle, () => true);
    expect(remarks.map((r) => r.code)).toContain("plate-sits-badly");
    expect(remarks.map((r) => r.about)).toContain("3");
    const sound = solve({ seed: 13, positions: 2 });
    expect(positionRemarks(sound.solution, sound.job.setup.vehicle, () => true)).toEqual([]);
  }, 60_000);
});

describe("findings of a whole evaluation", () => {
  test("swapped wheel boards end in an error, not in numbers that look right", () => {
    const { job, solution } = solve({ seed: 31, positions: 1 });
    const { wheels } = job.setup.vehicle;
    const swapped = {
      ...job.setup,
      vehicle: {
        ...job.setup.vehicle,
        wheels: { ...wheels, "rear left": wheels["rear right"], "rear right": wheels["rear left"] },
      },
    };
    const right = evaluatePlacement(solution, job.setup, sheet, step);
    const wrong = evaluatePlacement(solution, swapped, sheet, step);
    expect(right.remarks.filter((r) => r.severity === "error")).toEqual([]);
    expect(wrong.remarks.filter((r) => r.severity === "error").map((r) => r.code)).toEqual([
      "wheel-boards-swapped",
    ]);
  }, 60_000);
});

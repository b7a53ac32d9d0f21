/** Single-photo resection of published textbook data through the adjustment's own iteration. */
import { describe, expect, test } from "vitest";
import {
  degrees,
  expRotation,
  type Mat3,
  matMul,
  matVec,
  type Vec3,
} from "../../../src/maths/pose.ts";
import { solveScalars } from "./scalar-problem.ts";

interface Resection {
  readonly focal: number;
  /** x, y in the photo (mm), X, Y, Z on the ground. */
  readonly points: readonly (readonly [number, number, number, number, number])[];
  readonly start: readonly number[];
}

/** Photogrammetric turn: rows of M take ground directions to the photo (omega, phi, kappa). */
const photoFromGround = (omega: number, phi: number, kappa: number): Mat3 =>
  matMul(
    matMul(expRotation([0, 0, -kappa]), expRotation([0, -phi, 0])),
    expRotation([-omega, 0, 0]),
  );

const solve = ({ focal, points, start }: Resection) => {
  const solved = solveScalars(
    {
      start,
      rows: 2 * points.length,
      residuals: (x, r) => {
        const m = photoFromGround(x[0], x[1], x[2]);
        points.forEach(([u, v, X, Y, Z], i) => {
          const d: Vec3 = [X - x[3], Y - x[4], Z - x[5]];
          const [p, q, s] = matVec(m, d);
          r[2 * i] = (-focal * p) / s - u;
          r[2 * i + 1] = (-focal * q) / s - v;
        });
      },
    },
    0.01,
  );
  if (!solved) throw new Error("the resection was refused");
  return solved;
};

describe("resection", () => {
  test("Mikhail, Bethel & McGlone 2001, as worked in an open notebook: values and sum of squares", () => {
    // Ground coordinates without their common part (914000, 575000), as any large-coordinate job should.
    const outcome = solve({
      focal: 152.222,
      points: [
        [56.515, -78.969, -71.36, 198.44, 189.64],
        [1.242, 1.134, 270.77, 432.35, 191.26],
        [95.576, 97.171, 684.64, 22.09, 186.72],
        [-70.988, 92.733, 662.47, 738.3, 191.94],
        [0.651, -30.068, 137.97, 435.45, 190.69],
      ],
      start: [0, 0, -1.5, 250, 430, 800],
    });
    [-0.006507481, -0.008521803, -1.575322124].forEach((v, i) => {
      expect(Math.abs(outcome.values[i] - v)).toBeLessThan(2e-9);
    });
    [260.42186, 441.83555, 839.13044].forEach((v, i) => {
      expect(Math.abs(outcome.values[3 + i] - v)).toBeLessThan(2e-5);
    });
    expect(Math.abs(outcome.sumOfSquares / 7.51104879e-4 - 1)).toBeLessThan(1e-7);
  });

  test("Dewitt's example data: values with standard deviations (re-fit)", () => {
    const outcome = solve({
      focal: 152.916,
      points: [
        [86.421, -83.977, 1268.1022, 1455.0274, -14.3939],
        [-100.916, 92.582, 732.1811, 545.3437, -14.7009],
        [-98.322, -89.161, 1454.5532, 731.6659, -14.3509],
        [78.812, 98.123, 545.2449, 1268.2324, -14.6639],
        [-8.641, 5.63, 1000, 1000, -14.454],
      ],
      start: [0, 0, 1.8, 1000, 1000, 600],
    });
    const sd = (i: number) => outcome.sd[i];
    const expected: readonly [number, number, number, number][] = [
      [degrees(outcome.values[0]), -0.4109, degrees(sd(0)), 0.0014],
      [degrees(outcome.values[1]), 1.2108, degrees(sd(1)), 0.0014],
      [degrees(outcome.values[2]), 102.8003, degrees(sd(2)), 0.0006],
      [outcome.values[3], 1027.87, sd(3), 0.0197],
      [outcome.values[4], 1044.1143, sd(4), 0.0197],
      [outcome.values[5], 611.1973, sd(5), 0.0071],
    ];
    expected.forEach(([value, want, deviation, wantDeviation], i) => {
      expect(Math.abs(value - want), `unknown ${i}`).toBeLessThan(6e-5);
      expect(Math.abs(deviation - wantDeviation), `sd ${i}`).toBeLessThan(6e-5);
    });
    expect(Math.abs(Math.sqrt(outcome.sumOfSquares / 4) - 0.002823)).toBeLessThan(1e-6);
  });
});

import { describe, expect, test } from "vitest";
import { degrees, logRotation, matVec, norm, type Vec3 } from "../../../src/geometry/pose.ts";
import { alignPoints } from "../../../src/placement/align.ts";

/**
 * Three-dimensional conformal coordinate transformation, B. A. Dewitt's program 3DCONF (public
 * domain): arbitrary and control coordinates of six points. The answers are least-squares
 * arithmetic on these points.
 */
const pairs: readonly (readonly [Vec3, Vec3])[] = [
  [
    [390.35, 499.63, 469.43],
    [607.54, 501.63, 469.09],
  ],
  [
    [371.68, 630.84, 81.25],
    [589.98, 632.36, 82.81],
  ],
  [
    [425.65, 419.07, 82.49],
    [643.65, 421.28, 83.5],
  ],
  [
    [410.5, 438.31, 81.13],
    [628.58, 440.51, 82.27],
  ],
  [
    [448.22, 295.83, 97.79],
    [666.27, 298.16, 98.29],
  ],
  [
    [414.6, 709.39, 101.77],
    [632.59, 710.62, 103.01],
  ],
];
const a = pairs.map((p) => p[0]);
const b = pairs.map((p) => p[1]);
const probe: Vec3 = [611.37, 498.98, 470.45];
const near = (actual: readonly number[], expected: readonly number[], tolerance: number) => {
  expect(actual.length).toBe(expected.length);
  actual.forEach((v, i) => {
    expect(Math.abs(v - expected[i]), `${v} against ${expected[i]}`).toBeLessThan(tolerance);
  });
};

describe("absolute orientation of the published points", () => {
  test("rigid", () => {
    const { bFromA, scale, squares } = alignPoints(a, b);
    expect(scale).toBe(1);
    near(bFromA.t, [218.2844, 2.0612, -0.5611], 1e-4);
    near([squares], [3.200059], 1e-6);
    near([degrees(norm(logRotation(bFromA.R)))], [0.142406], 1e-6);
    const turned = matVec(bFromA.R, probe);
    near(
      turned.map((v, i) => v + bFromA.t[i]),
      [828.573, 500.594, 471.764],
      6e-4,
    );
  });

  test("similarity", () => {
    const { bFromA, scale, squares } = alignPoints(a, b, true);
    near([scale], [0.99673986], 1e-8);
    near(bFromA.t, [219.6204, 3.687, -0.0599], 1e-4);
    near([squares], [0.674088], 1e-6);
    const turned = matVec(bFromA.R, probe);
    near(
      turned.map((v, i) => scale * v + bFromA.t[i]),
      [827.919, 500.595, 470.725],
      6e-4,
    );
  });

  test("two points are not enough", () => {
    expect(() => alignPoints(a.slice(0, 2), b.slice(0, 2))).toThrow(RangeError);
  });
});

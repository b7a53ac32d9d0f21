import { describe, expect, test } from "vitest";
import { absoluteOrientation } from "../../../src/maths/absolute-orientation.ts";
import {
  degrees,
  expRotation,
  logRotation,
  norm,
  sub,
  transform,
  type Vec3,
} from "../../../src/maths/pose.ts";

/** Wolf and Dewitt, Elements of Photogrammetry, program 3DCONF (data in its public-domain source). */
const arbitrary: Vec3[] = [
  [390.35, 499.63, 469.43],
  [371.68, 630.84, 81.25],
  [425.65, 419.07, 82.49],
  [410.5, 438.31, 81.13],
  [448.22, 295.83, 97.79],
  [414.6, 709.39, 101.77],
];
const control: Vec3[] = [
  [607.54, 501.63, 469.09],
  [589.98, 632.36, 82.81],
  [643.65, 421.28, 83.5],
  [628.58, 440.51, 82.27],
  [666.27, 298.16, 98.29],
  [632.59, 710.62, 103.01],
];

describe("absoluteOrientation", () => {
  test("the textbook set: rigid fit (values re-fitted independently from the published data)", () => {
    const pose = absoluteOrientation(arbitrary, control);
    expect(Math.abs(pose.t[0] - 218.2844)).toBeLessThan(1e-3);
    expect(Math.abs(pose.t[1] - 2.0612)).toBeLessThan(1e-3);
    expect(Math.abs(pose.t[2] + 0.5611)).toBeLessThan(1e-3);
    expect(Math.abs(degrees(norm(logRotation(pose.R))) - 0.142406)).toBeLessThan(1e-5);
    const ssr = arbitrary.reduce(
      (sum, p, i) => sum + norm(sub(transform(pose, p), control[i])) ** 2,
      0,
    );
    expect(Math.abs(ssr - 3.200059)).toBeLessThan(1e-5);
    const point = transform(pose, [611.37, 498.98, 470.45]);
    expect(norm(sub(point, [828.573, 500.594, 471.764]))).toBeLessThan(2e-3);
  });

  test("half a turn is found too", () => {
    const truth = { R: expRotation([0, Math.PI, 0]), t: [3, -4, 5] as Vec3 };
    const pose = absoluteOrientation(
      arbitrary,
      arbitrary.map((p) => transform(truth, p)),
    );
    for (const p of arbitrary)
      expect(norm(sub(transform(pose, p), transform(truth, p)))).toBeLessThan(1e-9);
  });

  test("unequal lists are a programmer's error", () => {
    expect(() => absoluteOrientation(arbitrary, control.slice(1))).toThrow(RangeError);
  });
});

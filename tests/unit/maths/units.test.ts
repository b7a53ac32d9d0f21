import { expect, it } from "vitest";
import { betweenDirections } from "../../../src/maths/angles.ts";
import { degrees, radians } from "../../../src/maths/pose.ts";
import type { Millimetres, Pixels, Radians } from "../../../src/maths/units.ts";
import { rotationOf } from "../../../src/placement/target/target.ts";
import { camberOf } from "../../../src/vehicle/lines.ts";

/** The compiler is the test: each of these lines is an error, and one that is none fails `tsc`. */
it("a unit is not taken for another", () => {
  const lean: Radians = camberOf([0, 1, 0]);
  const length: Millimetres = 5;
  // @ts-expect-error radians are no degrees
  betweenDirections(lean, 0);
  // @ts-expect-error degrees are no radians
  rotationOf("rearward", degrees(lean), 0, 0);
  // @ts-expect-error radians are turned once
  radians(radians(1));
  // @ts-expect-error millimetres are no pixels
  const size: Pixels = length;
  expect(size).toBe(5);
  expect(betweenDirections(degrees(radians(350)), 10)).toBeCloseTo(20, 10);
});

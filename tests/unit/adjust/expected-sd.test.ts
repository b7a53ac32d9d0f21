import { expect, test } from "vitest";
import { expectedSd } from "../../../src/adjust/spreads/variance-component.ts";
import { Chance } from "../../tools/phone/maths.ts";

const usual = 2;

/** Posterior values and variances of `count` numbers of spread `sd`, seen with noise, prior `prior`. */
const posterior = (c: Chance, count: number, sd: number, noise: number, prior: number) => {
  const shrink = prior ** 2 / (prior ** 2 + noise ** 2);
  const values = Array.from({ length: count }, () => shrink * (c.normal(sd) + c.normal(noise)));
  return { values, variances: values.map(() => shrink * noise ** 2) };
};

test("many numbers give their spread back, whatever prior they were estimated with", () => {
  for (const prior of [0.5, 2, 20]) {
    const { values, variances } = posterior(new Chance(1), 400, 1.3, 0.5, prior);
    expect(Math.abs(expectedSd(values, variances, prior, usual) - 1.3)).toBeLessThan(0.15);
  }
});

test("numbers that are all zero leave next to no spread; a few bad ones leave doubt", () => {
  const many = posterior(new Chance(2), 42, 0, 0.5, usual);
  expect(expectedSd(many.values, many.variances, usual, usual)).toBeLessThan(0.15 * usual);
  const few = posterior(new Chance(3), 3, 0, 2, usual);
  expect(expectedSd(few.values, few.variances, usual, usual)).toBeGreaterThan(0.4 * usual);
});

test("numbers that the photos do not tell leave the usual spread", () => {
  const told = expectedSd([0, 0, 0], [4, 4, 4], 2, usual);
  expect(told).toBeGreaterThan(0.8 * usual);
  expect(told).toBeLessThan(2 * usual);
});

import { describe, expect, test } from "vitest";
import {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareSurvival,
  fisherCdf,
  fisherQuantile,
  normalCdf,
  normalQuantile,
  studentCdf,
  studentQuantile,
} from "../../../src/maths/statistics.ts";

const relative = (found: number, expected: number) => Math.abs(found / expected - 1);

/** Reference values: SciPy 1.x (scipy.stats), printed to 16 digits. */
const quantiles: readonly [string, number, number][] = [
  ["normal 0.975", normalQuantile(0.975), 1.959963984540054],
  ["normal 0.9995 (Baarda, 0.1 % two-sided)", normalQuantile(0.9995), 3.2905267314918945],
  ["normal 1e-12", normalQuantile(1e-12), -7.034483825301131],
  ["chi-square 0.95, 8", chiSquareQuantile(0.95, 8), 15.507313055865453],
  ["chi-square 0.001, 1", chiSquareQuantile(0.001, 1), 1.5707971492624921e-6],
  ["t 0.995, 16 (GUM H.1)", studentQuantile(0.995, 16), 2.920781622425122],
  ["t 0.975, 4", studentQuantile(0.975, 4), 2.7764451051977987],
  ["F 0.95, 6, 8 (two-epoch levelling)", fisherQuantile(0.95, 6, 8), 3.5805803197614616],
  ["F 0.95, 2, 8", fisherQuantile(0.95, 2, 8), 4.458970107524511],
];

describe("quantiles against SciPy", () => {
  for (const [name, found, expected] of quantiles)
    test(name, () => {
      expect(relative(found, expected)).toBeLessThan(2e-11);
    });
});

describe("tails keep their digits", () => {
  test("normal, far left (asymptotic series DLMF 7.12.1 for -38)", () => {
    expect(relative(normalCdf(-38), 2.8854289e-316)).toBeLessThan(1e-3);
    expect(relative(normalCdf(-10), 7.61985302416047e-24)).toBeLessThan(1e-12);
  });
  test("chi-square, far right: Q(1/2, 25) = erfc(5) (DLMF 7.11.2)", () => {
    expect(relative(chiSquareSurvival(50, 1), 1.537459794428035e-12)).toBeLessThan(1e-12);
  });
});

describe("each quantile inverts its distribution", () => {
  const inverses: [string, (p: number) => number][] = [
    ["normal", (p) => normalCdf(normalQuantile(p))],
    ["chi-square 3", (p) => chiSquareCdf(chiSquareQuantile(p, 3), 3)],
    ["chi-square 5000", (p) => chiSquareCdf(chiSquareQuantile(p, 5000), 5000)],
    ["t 2.5", (p) => studentCdf(studentQuantile(p, 2.5), 2.5)],
    [
      "t infinite",
      (p) => studentCdf(studentQuantile(p, Number.POSITIVE_INFINITY), Number.POSITIVE_INFINITY),
    ],
    ["F 3, 70", (p) => fisherCdf(fisherQuantile(p, 3, 70), 3, 70)],
  ];
  for (const [name, there] of inverses)
    test(name, () => {
      for (const p of [1e-6, 0.001, 0.3, 0.5, 0.77, 0.999])
        expect(relative(there(p), p)).toBeLessThan(1e-11);
    });
});

test("bad arguments give NaN, ends give infinities", () => {
  expect(normalQuantile(1.5)).toBeNaN();
  expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
  expect(chiSquareQuantile(1, 4)).toBe(Number.POSITIVE_INFINITY);
  expect(chiSquareCdf(Number.NaN, 4)).toBeNaN();
});

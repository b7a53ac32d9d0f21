import { describe, expect, test } from "vitest";
import { normalCdf, normalQuantile } from "../../../src/maths/statistics.ts";
import {
  acceptanceLimits,
  conformanceProbability,
  coverageFactorFor,
  defaultRule,
  globalRisk,
  specificRisk,
  statedRisk,
  uncertaintyThatProves,
  verdictOf,
} from "../../../src/placement/decide/conformance.ts";

const near = (actual: number, expected: number, tolerance: number) =>
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThanOrEqual(
    tolerance,
  );

describe("conformance probability", () => {
  // JCGM 106:2012, 7.4 (inputs as reprinted on metrologyrules.com, 2022-03; published to 2 digits).
  test("JCGM 106, 7.4: two-sided tolerance interval", () => {
    const p = conformanceProbability(13.6, 1.8, { lower: 12.5, upper: 16.3 });
    near(p, 0.66, 0.005);
    near(p, 0.6626, 5e-5);
  });

  // JCGM 106:2012 Zener diode example; inputs from memory, value by own arithmetic.
  test("JCGM 106, one upper limit", () => {
    near(conformanceProbability(-5.47, 0.05, { lower: null, upper: -5.4 }), 0.9192, 5e-5);
  });

  // JCGM 106:2012 speed example, inputs from memory: limit 100 km/h, relative u 2 %, 99.9 %.
  test("JCGM 106, threshold for 99.9 % above a limit", () => {
    const exceeds = (speed: number) =>
      1 - conformanceProbability(speed, 0.02 * speed, { lower: null, upper: 100 });
    expect(exceeds(106)).toBeLessThan(0.999);
    expect(exceeds(107)).toBeGreaterThan(0.999);
    // 106.59 is rounded to 0.005 km/h.
    near(exceeds(106.59), 0.999, 1e-5);
  });

  // Specific risks printed in the test suite of an open uncertainty calculator (suncal, Sandia
  // National Laboratories, test_risk.py).
  test("specific risk of N(10, 0.4) and N(10.5, 0.4) in [9, 11]", () => {
    near(specificRisk(10, 0.4, { lower: 9, upper: 11 }).consumer, 0.01242, 5e-6);
    near(specificRisk(10.5, 0.4, { lower: 9, upper: 11 }).consumer, 0.10574, 1e-5);
  });

  test("the two risks add up to one, and open limits never fail", () => {
    const risk = specificRisk(3, 1, { lower: 0, upper: 4 });
    near(risk.consumer + risk.producer, 1, 1e-15);
    expect(conformanceProbability(1e9, 1, { lower: 0, upper: null })).toBe(1);
    expect(conformanceProbability(4.0001, 0, { lower: null, upper: 4 })).toBe(0);
    expect(() => conformanceProbability(1, Number.NaN, { lower: 0, upper: 2 })).toThrow(RangeError);
  });
});

describe("guard band", () => {
  // ISO 14253-1 exercise: permissible error +-0.003, U 0.001 (k = 2): accept within +-0.002.
  const limits = { lower: -0.003, upper: 0.003 };
  const rule = { kind: "guard band", factor: 2 } as const;

  test("acceptance zone is the tolerance reduced by U at both limits", () => {
    const accept = acceptanceLimits(limits, 0.0005, 2);
    near(accept?.lower ?? Number.NaN, -0.002, 1e-15);
    near(accept?.upper ?? Number.NaN, 0.002, 1e-15);
  });

  test("0.0017 meets, 0.0025 is not proven, 0.0045 misses", () => {
    expect(verdictOf(0.0017, 0.0005, limits, rule)).toBe("meets");
    expect(verdictOf(0.0025, 0.0005, limits, rule)).toBe("not proven");
    expect(verdictOf(0.0035, 0.0005, limits, rule)).toBe("not proven");
    expect(verdictOf(0.0045, 0.0005, limits, rule)).toBe("misses");
    expect(verdictOf(-0.0045, 0.0005, limits, rule)).toBe("misses");
  });

  test("no acceptance zone is left when U is wider than the tolerance", () => {
    expect(acceptanceLimits(limits, 0.002, 2)).toBeNull();
    expect(verdictOf(0, 0.002, limits, rule)).toBe("not proven");
  });

  // Guard band of U with k = 2: specific risk at the acceptance limit 2.275 %, "below 2.5 %" in
  // ILAC-G8:09/2019.
  test("risk at the acceptance limit", () => {
    const atLimit = specificRisk(0.002, 0.0005, { lower: null, upper: 0.003 });
    near(atLimit.consumer, 0.02275, 5e-6);
  });

  // With both limits closed and nothing but one accepted value left (tolerance 2 g u), the true
  // value may lie beyond either of them: both tails of the normal distribution, 2 x 2.275 %.
  test("the stated risk bounds every accepted value, however narrow the tolerance", () => {
    const narrow = { lower: -0.001, upper: 0.001 };
    expect(verdictOf(0, 0.0005, narrow, rule)).toBe("meets");
    const worst = specificRisk(0, 0.0005, narrow).consumer;
    near(worst, 0.0455, 5e-5);
    expect(statedRisk(rule).consumer).toBeGreaterThan(worst - 1e-12);
    near(statedRisk(rule).consumer, 0.0455, 5e-5);
  });
});

describe("three words", () => {
  const limits = { lower: -5, upper: 5 };
  test("levels decide, and a wide uncertainty proves nothing", () => {
    expect(verdictOf(0, 1, limits, defaultRule)).toBe("meets");
    expect(verdictOf(9, 1, limits, defaultRule)).toBe("misses");
    expect(verdictOf(4.5, 1, limits, defaultRule)).toBe("not proven");
    expect(verdictOf(0, 20, limits, defaultRule)).toBe("not proven");
    const strict = { kind: "probability", meetsAt: 0.999, missesAt: 0.001 } as const;
    expect(verdictOf(2, 1.2, limits, defaultRule)).toBe("meets");
    expect(verdictOf(2, 1.2, limits, strict)).toBe("not proven");
  });

  test("one-sided 95 % is a distance of 1.645 u from the limit", () => {
    const z = normalQuantile(0.95);
    const upper = { lower: null, upper: 5 };
    expect(verdictOf(5 - z - 1e-6, 1, upper, defaultRule)).toBe("meets");
    expect(verdictOf(5 - z + 1e-6, 1, upper, defaultRule)).toBe("not proven");
    expect(verdictOf(5 + z + 1e-6, 1, upper, defaultRule)).toBe("misses");
  });

  test("the uncertainty that proves is just small enough", () => {
    const u = uncertaintyThatProves(3, limits, defaultRule);
    expect(verdictOf(3, u * 0.9999, limits, defaultRule)).toBe("meets");
    expect(verdictOf(3, u * 1.0001, limits, defaultRule)).toBe("not proven");
    expect(uncertaintyThatProves(6, limits, defaultRule)).toBe(0);
  });

  test("coverage factor of 95 %", () => near(coverageFactorFor(0.95), 1.959963984540054, 1e-12));
});

describe("global risk", () => {
  // Unconditional and conditional false acceptance at process spread = 4 u, no guard band, by
  // in-tolerance probability: suncal test_risk.py ("draft RP-19"), in per cent.
  const published: readonly (readonly [number, number, number])[] = [
    [0.6, 4.83860326, 8.26008199],
    [0.7, 3.92234109, 5.72322042],
    [0.8, 2.85583037, 3.63227145],
    [0.9, 1.59995312, 1.7988043],
    [0.95, 0.87100925, 0.92389664],
    [0.99, 0.19991684, 0.20243866],
  ];
  test.each(published)("in-tolerance probability %f", (probability, unconditional, conditional) => {
    const half = normalQuantile(0.5 + probability / 2);
    const limits = { lower: -half, upper: half };
    const u = 0.25;
    const risk = globalRisk({ mean: 0, sd: 1 }, u, limits, limits);
    near(100 * risk.consumer, unconditional, 1e-5);
    const seen = Math.hypot(1, u);
    const accepted = 2 * normalCdf(half / seen) - 1;
    near((100 * risk.consumer) / accepted, conditional, 1e-5);
  });

  // Deaver's figures as reprinted in the same test suite: limits in process standard deviations,
  // process spread over u, guard factor, false acceptance, false rejection.
  test.each([
    [2, 4, 1, 0.008, 0.015],
    [2.5, 4, 1, 0.0025, null],
    [2, 2, 0.91, 0.008, 0.066],
  ])("limits +-%f, ratio %f, guard factor %f", (half, ratio, guard, accepted, rejected) => {
    const limits = { lower: -half, upper: half };
    const acceptance = { lower: -half * guard, upper: half * guard };
    const risk = globalRisk({ mean: 0, sd: 1 }, 1 / ratio, limits, acceptance);
    // One unit of the last printed digit: 0.0025 stands where integration gives 0.002445.
    near(risk.consumer, accepted, accepted < 0.005 ? 1e-4 : 5e-4);
    if (rejected !== null) near(risk.producer, rejected, 5e-4);
  });

  test("a guard band lowers the consumer's and raises the producer's risk", () => {
    const limits = { lower: -2, upper: 2 };
    const bare = globalRisk({ mean: 0, sd: 1 }, 0.25, limits, limits);
    const guarded = globalRisk({ mean: 0, sd: 1 }, 0.25, limits, { lower: -1.6, upper: 1.6 });
    expect(guarded.consumer).toBeLessThan(bare.consumer / 3);
    expect(guarded.producer).toBeGreaterThan(bare.producer);
  });
});

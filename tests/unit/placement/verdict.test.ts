import { describe, expect, test } from "vitest";
import { sampleFunction } from "../../../src/placement/decide/sampled.ts";
import { decide, outcomeOf } from "../../../src/placement/decide/verdict.ts";
import type { Check } from "../../../src/placement/sheet/sheet.ts";
import { sheet, step } from "./scene.ts";

const check = (change: Partial<Check> = {}): Check =>
  ({
    kind: "lateral offset",
    id: "lateral",
    required: 0,
    lowerDeviation: -5,
    upperDeviation: 5,
    reference: "invented",
    ...change,
  }) as Check;
const budget = [
  { source: "wheel plates", share: 0.9 },
  { source: "image", share: 0.1 },
];
const on = (value: number, sd: number, change: Partial<Check> = {}, options = {}) =>
  decide(check(change), { value, sd, budget }, sheet, step, options);

describe("one decided check", () => {
  test("is complete and never without its expanded uncertainty", () => {
    const result = on(1.2, 0.5);
    expect(result.verdict).toBe("meets");
    expect(Math.abs(result.expandedUncertainty - 1.959964 * 0.5)).toBeLessThan(1e-6);
    expect(result.inWords).toBe("inside the tolerance, 1.2 mm left of its middle");
    expect(result.label).toBe("Offset to the left of the geometric centreline");
    expect([result.lower, result.upper]).toEqual([-5, 5]);
    expect(result.advice).toBeUndefined();
    expect(on(0.04, 0.5).inWords).toBe("as required");
  });

  test("not proven says what dominates, how sure it must be, and what to do", () => {
    const { verdict, advice } = on(3, 2);
    expect(verdict).toBe("not proven");
    expect(advice).toContain("90 % of its variance) is wheel plates");
    expect(advice).toContain("roll the car by about half a turn");
    expect(advice).toContain("that alone can be enough");
    // 2 mm below a limit: proven with u up to 2 / 1.645 = 1.22 mm.
    expect(advice).toContain("a standard uncertainty of 1.22 mm is needed, it is 2.00 mm");
  });

  test("outside but not proven to miss: move first", () => {
    const { verdict, advice } = on(6, 2);
    expect(verdict).toBe("not proven");
    expect(advice).toContain("make the move");
  });

  test("too wide for any place: says so", () => {
    expect(on(0, 4).advice).toContain("Even a value at the middle of the tolerance");
  });

  // Required 1200 at least: no value is too far inside, and the required one is the limit itself.
  test("one open limit: any value far enough inside would prove it", () => {
    const { verdict, advice, adviceSaid } = on(1205, 10, {
      required: 1200,
      lowerDeviation: 0,
      upperDeviation: null,
    });
    expect(verdict).toBe("not proven");
    expect(advice).toContain("A value farther inside the limit would prove it");
    expect(advice).not.toContain("middle");
    expect(adviceSaid?.map(({ code }) => code)).toContain("advice-inside");
    // 5 mm inside: proven with u up to 5 / 1.645 = 3.04 mm.
    expect(advice).toContain("a standard uncertainty of 3.04 mm is needed");
  });

  // -0 and +20: at the required value itself the chance is one half.
  test("a required value at its own limit is not where the stand should go", () => {
    const { verdict, advice } = on(1, 2, { lowerDeviation: 0, upperDeviation: 20 });
    expect(verdict).toBe("not proven");
    expect(advice).toContain("A value nearer to the middle of the tolerance would prove it");
  });

  test("open limits are null, levels and guard band are options", () => {
    const open = on(3, 1, { lowerDeviation: null });
    expect([open.lower, open.upper]).toEqual([null, 5]);
    expect(on(3, 1.2).verdict).toBe("meets");
    const strict = { rule: { kind: "probability", meetsAt: 0.99, missesAt: 0.01 } };
    expect(on(3, 1.2, {}, strict).verdict).toBe("not proven");
    expect(on(3, 1.2, {}, { rule: { kind: "guard band", factor: 1.65 } }).verdict).toBe("meets");
    expect(on(3, 1.3, {}, { rule: { kind: "guard band", factor: 1.65 } }).verdict).toBe(
      "not proven",
    );
  });

  test("the whole outcome", () => {
    const verdicts = (...v: ("meets" | "misses" | "not proven")[]) =>
      outcomeOf(v.map((verdict) => ({ verdict })));
    expect(verdicts("meets", "meets")).toBe("all meet");
    expect(verdicts("meets", "not proven", "misses")).toBe("some miss");
    expect(verdicts("meets", "not proven")).toBe("not proven");
    expect(verdicts()).toBe("not proven");
  });
});

describe("extremes by drawing (JCGM 101)", () => {
  // Range of two independent N(0, 1): mean 2 / sqrt(pi), variance 2 - 4 / pi (textbook).
  test("range of two normal numbers", () => {
    const { value, sd } = sampleFunction([0, 0], Float64Array.of(1, 0, 0, 1), (d) =>
      Math.abs(d[0] - d[1]),
    );
    expect(Math.abs(value - 2 / Math.sqrt(Math.PI))).toBeLessThan(0.04);
    expect(Math.abs(sd - Math.sqrt(2 - 4 / Math.PI))).toBeLessThan(0.04);
  });

  test("a linear function gets its mean and standard deviation, correlations included", () => {
    const covariance = Float64Array.of(4, 3, 3, 9);
    const { value, sd } = sampleFunction([10, 4], covariance, (d) => d[0] - d[1]);
    expect(Math.abs(value - 6)).toBeLessThan(0.15);
    expect(Math.abs(sd - Math.sqrt(4 + 9 - 6))).toBeLessThan(0.1);
  });
});

import { describe, expect, test } from "vitest";
import { defaultRule } from "../../../src/placement/decide/conformance.ts";
import { sdAsked, sdAskedAt } from "../../../src/plan/asked.ts";
import { weakPlaces } from "../../../src/plan/choice/hold.ts";

const check = { required: 0, lowerDeviation: -8, upperDeviation: 8 };
/** 95 % point of the standard normal distribution, one-sided: NIST/SEMATECH e-Handbook, 1.3.6.7.1. */
const z95 = 1.645;

describe("what is asked of a check", () => {
  test("a stand at the end of the inner half of its tolerance is proven", () => {
    expect(sdAsked(check, defaultRule)).toBeCloseTo(4 / z95, 2);
    expect(sdAsked(check, { kind: "guard band", factor: 2 })).toBeCloseTo(2, 3);
  });

  test("with one limit, a stand half-way to it; with none, anything does", () => {
    expect(sdAsked({ ...check, lowerDeviation: null }, defaultRule)).toBeCloseTo(4 / z95, 2);
    expect(sdAsked({ ...check, lowerDeviation: null, upperDeviation: null }, defaultRule)).toBe(
      Number.POSITIVE_INFINITY,
    );
  });

  test("far outside, no more is asked than what proves the miss; near a limit, no more than before", () => {
    expect(sdAskedAt(check, defaultRule, 24)).toBeCloseTo(16 / z95, 1);
    expect(sdAskedAt(check, defaultRule, 7.9)).toBeCloseTo(4 / z95, 2);
    expect(sdAskedAt(check, defaultRule, 0)).toBeGreaterThan(sdAsked(check, defaultRule));
  });
});

describe("a net of three photos in a row", () => {
  test("hangs on the middle one", () => {
    const row = [
      ["1", "2"],
      ["2", "3"],
      ["3", "4"],
    ].map((boards) => ({ boards }));
    expect(weakPlaces(row)).toBeGreaterThan(0);
  });
});

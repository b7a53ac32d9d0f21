import { describe, expect, test } from "vitest";
import { roundLength } from "../../../src/app/drawing/scale.ts";
import {
  asSixteenths,
  formatBoth,
  formatMeasured,
  formatQuantity,
  formatStated,
  formatUncertainty,
  fromDisplay,
  looksGrouped,
  parseNumber,
  toDisplay,
  type Units,
} from "../../../src/app/i18n/units.ts";

const near = (value: number | null, expected: number): void => {
  expect(value).not.toBeNull();
  expect(Math.abs(value! - expected)).toBeLessThan(1e-12);
};

describe("typed numbers", () => {
  test.each([
    ["12,5", 12.5],
    ["12.5", 12.5],
    ["-0,7", -0.7],
    ["−3", -3],
    ["+4", 4],
    [".5", 0.5],
    [" 2500 ", 2500],
    ["59 1/16", 59.0625],
    ["3/8", 0.375],
    ["-1 1/2", -1.5],
  ])("%s is read", (text, expected) => near(parseNumber(text), expected));

  test.each([["1.234,5"], ["1,234.5"], ["12 mm"], ["abc"], [""], ["1/0"], ["--2"], ["1e3"]])(
    "%s is refused",
    (text) => expect(parseNumber(text)).toBeNull(),
  );
});

test.each([
  ["2,500", "en", true],
  ["2,500", "es", false],
  ["2.500", "es", true],
  ["2.500", "en", false],
  ["0,500", "en", false],
  ["2,50", "en", false],
  ["2500", "en", false],
])("%s in %s: thousands or a fraction?", (text, locale, grouped) => {
  expect(looksGrouped(text, locale)).toBe(grouped);
});

describe("display units", () => {
  // International yard and pound agreement (1959): 1 in = 25.4 mm exactly.
  test("one inch is 25.4 mm", () => {
    const units = { length: "inch", angle: "deg" } as const;
    near(toDisplay(25.4, "length", units).value, 1);
    near(fromDisplay(2, "length", units), 50.8);
  });

  test("45 degrees are 1000 mm per metre, and back", () => {
    const units = { length: "mm", angle: "mm/m" } as const;
    expect(Math.abs(toDisplay(45, "angle", units).value - 1000)).toBeLessThan(1e-9);
    expect(Math.abs(fromDisplay(1000, "angle", units) - 45)).toBeLessThan(1e-9);
  });

  test("sixteenths are reduced", () => {
    expect(asSixteenths(59.0625)).toBe("59 1/16");
    expect(asSixteenths(0.5)).toBe("1/2");
    expect(asSixteenths(-1.25)).toBe("−1 1/4");
    expect(asSixteenths(0.01)).toBe("0");
    expect(asSixteenths(1.99)).toBe("2");
  });

  test("numbers follow the language, and zero has no sign", () => {
    const mm = { length: "mm", angle: "deg" } as const;
    expect(formatQuantity(23.44, "length", 1, mm, "en")).toBe("23.4 mm");
    expect(formatQuantity(23.44, "length", 1, mm, "es")).toBe("23,4 mm");
    expect(formatQuantity(-0.04, "length", 1, mm, "en")).toBe("0.0 mm");
    expect(formatQuantity(-0.7, "angle", 2, mm, "en")).toBe("−0.70°");
  });
});

/** Every way to show lengths and angles. */
const everyUnit = (["mm", "inch", "inch16"] as const).flatMap((length) =>
  (["deg", "mm/m"] as const).map((angle): Units => ({ length, angle })),
);

/** Digits other than zero somewhere: a reader does not take it for nothing. */
const saysSomething = (text: string): boolean => /[1-9]/.test(text);

describe("no wrong number looks right", () => {
  test("an uncertainty never reads as nothing, in any unit", () => {
    expect(everyUnit.length).toBe(6);
    for (const units of everyUnit) {
      for (const size of [30, 2, 0.4, 0.05, 0.03, 0.004, 0.0003, 1e-7]) {
        for (const locale of ["en", "es"]) {
          expect(formatUncertainty(size, "length", 1, units, locale)).toSatisfy(saysSomething);
          expect(formatUncertainty(size, "angle", 2, units, locale)).toSatisfy(saysSomething);
        }
      }
    }
  });

  test.each([
    ["mm", "deg", "1.7 mm", "0.03°"],
    ["inch", "mm/m", "0.067 in", "0.5 mm/m"],
    ["inch16", "deg", "0.067 in", "0.03°"],
  ] as const)("an uncertainty in %s and %s", (length, angle, ofLength, ofAngle) => {
    const units = { length, angle };
    expect(formatUncertainty(1.7, "length", 1, units, "en")).toBe(ofLength);
    expect(formatUncertainty(0.03, "angle", 2, units, "en")).toBe(ofAngle);
  });

  test("what is smaller than the last digit gets more of them, then a bound", () => {
    const mm = { length: "mm", angle: "deg" } as const;
    expect(formatUncertainty(0.04, "length", 1, mm, "en")).toBe("0.04 mm");
    expect(formatUncertainty(0.0041, "angle", 2, mm, "en")).toBe("0.004°");
    expect(formatUncertainty(1e-9, "length", 1, mm, "en")).toBe("<\u00a00.001 mm");
    expect(formatUncertainty(0, "length", 1, mm, "en")).toBe("0.0 mm");
  });

  // 2490, 2500 and 2510 mm are 98.0315, 98.4252 and 98.8189 in (1 in = 25.4 mm).
  test.each([
    [2490, "98.031 in"],
    [2500, "98.425 in"],
    [2510, "98.819 in"],
    [10, "0.394 in"],
    [25.4, "1 in"],
    [98.4 * 25.4, "98.4 in"],
  ])("a limit of %d mm in inches is not moved by rounding", (mm, text) => {
    expect(formatStated(mm, "length", { length: "inch", angle: "deg" }, "en")).toBe(text);
  });

  test("only what is a sixteenth is stated as one", () => {
    const sixteenths = { length: "inch16", angle: "deg" } as const;
    expect(formatStated(98.4375 * 25.4, "length", sixteenths, "en")).toBe("98 7/16 in");
    expect(formatStated(2500, "length", sixteenths, "en")).toBe("98.425 in");
    // 46.0630 in, by chance near 46 1/16.
    expect(formatStated(1170, "length", sixteenths, "en")).toBe("46.063 in");
    expect(formatUncertainty(1.59, "length", 1, sixteenths, "en")).toBe("0.063 in");
    expect(formatMeasured(13.016, "length", 3, sixteenths, "en")).toBe("0.5124 in");
    expect(formatBoth(23.55, "length", 1, sixteenths, "en")).toBe("15/16 in (0.927 in)");
    expect(formatBoth(25.4, "length", 1, sixteenths, "en")).toBe("1 in (1.000 in)");
    expect(formatQuantity(0.5, "length", 1, sixteenths, "en")).toBe("0.020 in");
    expect(formatBoth(0.5, "length", 1, sixteenths, "en")).toBe("0.020 in");
  });

  // tan(0.5 degrees) = 0.0087269.
  test("a limit of half a degree in mm per metre", () => {
    const slope = { length: "mm", angle: "mm/m" } as const;
    expect(formatStated(0.5, "angle", slope, "en")).toBe("8.73 mm/m");
    expect(formatStated(0, "angle", slope, "en")).toBe("0 mm/m");
  });

  test("a move in inches is good to a quarter of a millimetre", () => {
    expect(formatQuantity(22.6, "length", 0, { length: "inch", angle: "deg" }, "en")).toBe(
      "0.89 in",
    );
  });

  test("scale bars are round in the unit that they are labelled with", () => {
    expect(roundLength(2400, "mm")).toBe(2000);
    near(roundLength(2400, "inch"), 50 * 25.4);
    near(roundLength(15, "inch"), 0.5 * 25.4);
    near(roundLength(15, "inch16"), 0.5 * 25.4);
    near(roundLength(8, "inch16"), 0.25 * 25.4);
  });
});

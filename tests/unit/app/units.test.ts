import { describe, expect, test } from "vitest";
import {
  asSixteenths,
  formatQuantity,
  fromDisplay,
  parseNumber,
  toDisplay,
} from "../../../src/app/units.ts";

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

/** What hands type into number fields. International inch and foot by definition (1959 agreement). */
import { describe, expect, test } from "vitest";
import {
  looksInches,
  readTolerance,
  readTyped,
  readValueAndTolerance,
} from "../../../src/app/i18n/typed.ts";
import type { Units } from "../../../src/app/i18n/units.ts";

const mm: Units = { length: "mm", angle: "deg" };
const inch: Units = { length: "inch16", angle: "deg" };
const near = (value: number | null, expected: number): void => {
  expect(value).not.toBeNull();
  expect(Math.abs(value! - expected)).toBeLessThan(1e-9);
};
const inches = 25.4;

describe("lengths with their own unit", () => {
  test.each([
    ['98 7/16"', 98.4375 * inches],
    ["98 7/16 in", 98.4375 * inches],
    ["98-7/16 in", 98.4375 * inches],
    ["98 7/16”", 98.4375 * inches],
    ["98½″", 98.5 * inches],
    ["3/8 inch", 0.375 * inches],
    [`8' 2 7/16"`, (96 + 2.4375) * inches],
    ["8' 2-7/16\"", (96 + 2.4375) * inches],
    ["8 ft 2 in", 98 * inches],
    ["8'", 96 * inches],
    ["8’ 2”", 98 * inches],
    ["8'2", 98 * inches],
    ["7.48 pulg.", 7.48 * inches],
    ["2.5 m", 2500],
    ["2,5 m", 2500],
    ["250cm", 2500],
    ["2500 mm", 2500],
    ["−12 mm", -12],
  ])("%s", (text, expected) => {
    near(readTyped(text, "length", mm), expected);
    near(readTyped(text, "length", inch), expected);
  });

  test("a bare number is in the chosen unit", () => {
    near(readTyped("98-7/16", "length", inch), 98.4375 * inches);
    near(readTyped("98 7/16", "length", inch), 98.4375 * inches);
    near(readTyped("2500", "length", mm), 2500);
    near(readTyped("7/8", "length", inch), 0.875 * inches);
  });

  test.each([["2.5 km"], ["8' x"], ["±10"], ["1.234,5 mm"], ["5 °"], ["--3"], ["1/0 in"], ["m"]])(
    "%s is refused",
    (text) => expect(readTyped(text, "length", mm)).toBeNull(),
  );

  test("a fraction without a mark is questioned in millimetres only", () => {
    expect(looksInches("98 7/16", "length", mm)).toBe(true);
    expect(looksInches('98 7/16"', "length", mm)).toBe(false);
    expect(looksInches("98 7/16", "length", inch)).toBe(false);
  });
});

test("angles with their own unit", () => {
  near(readTyped("0.5°", "angle", mm), 0.5);
  near(readTyped("0º 30'", "angle", mm), 0.5);
  near(readTyped("1000 mm/m", "angle", mm), 45);
  expect(readTyped("5 mm", "angle", mm)).toBeNull();
});

test("tolerances lose their plus-minus sign", () => {
  near(readTolerance("±10", "length", mm), 10);
  near(readTolerance("+/- 1/4 in", "length", mm), 0.25 * inches);
  near(readTolerance("0,5", "angle", mm), 0.5);
  expect(readTolerance("-10", "length", mm)).toBeNull();
  expect(readValueAndTolerance("2400 ± 5", "length", mm)).toEqual({ value: 2400, tolerance: 5 });
  expect(readValueAndTolerance("2400", "length", mm)).toBeNull();
});

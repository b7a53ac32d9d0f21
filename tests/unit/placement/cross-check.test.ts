import { expect, test } from "vitest";
import { crossCheck } from "../../../src/placement/decide/cross-check.ts";

// En as in ISO/IEC 17043 annex B and ISO 13528, clause 9 (definition from memory); the example's
// arithmetic is our own: 10.003 +- 0.004 against 10.000 +- 0.002.
test("En number of the example", () => {
  const { en, agree } = crossCheck(
    { value: 10.003, expanded: 0.004 },
    { value: 10.0, expanded: 0.002 },
    "mm",
    "the tape",
  );
  expect(Math.abs(en - 0.6708)).toBeLessThan(5e-5);
  expect(agree).toBe(true);
});

test("disagreement is said plainly", () => {
  const result = crossCheck(
    { value: 1510, expanded: 2 },
    { value: 1500, expanded: 3 },
    "mm",
    "laser",
  );
  expect(result.agree).toBe(false);
  expect(result.sentence).toContain(
    "Does not agree with laser: 10.0 mm apart, more than the 3.6 mm",
  );
});

test("agreement says how far apart, and how far apart they may be", () => {
  const { sentence } = crossCheck(
    { value: 1501, expanded: 2 },
    { value: 1500, expanded: 3 },
    "mm",
    "laser",
  );
  expect(sentence).toContain("1.0 mm apart, within the 3.6 mm that both uncertainties allow");
});

test("two exact values cannot be compared", () => {
  expect(() =>
    crossCheck({ value: 1, expanded: 0 }, { value: 1, expanded: 0 }, "mm", "tape"),
  ).toThrow(RangeError);
});

import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { betweenDirections, wrapDegrees } from "../../../src/maths/angles.ts";
import { upperMedian } from "../../../src/maths/median.ts";
import { shownProbability } from "../../../src/say/probability.ts";
import { wrapText } from "../../../src/say/wrap-text.ts";

describe("angles", () => {
  it("stay the same direction and come within half a turn", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2000, max: 2000, noNaN: true }),
        fc.double({ min: -360, max: 360, noNaN: true }),
        (angle, near) => {
          const wrapped = wrapDegrees(angle, near);
          expect(Math.abs(wrapped - near)).toBeLessThanOrEqual(180 + 1e-9);
          const turns = (wrapped - angle) / 360;
          expect(turns).toBeCloseTo(Math.round(turns), 9);
        },
      ),
    );
  });

  it("differ by what lies between their directions", () => {
    expect(betweenDirections(350, 10)).toBeCloseTo(20, 12);
    expect(betweenDirections(-170, 170)).toBeCloseTo(20, 12);
    expect(betweenDirections(0, 180)).toBe(180);
    expect(betweenDirections(725, 0)).toBeCloseTo(5, 12);
  });
});

describe("medians", () => {
  it("take the middle value, of an even number the upper one, and leave the list alone", () => {
    const values = [10, 9, 100, 1];
    expect(upperMedian(values)).toBe(10);
    expect(values).toEqual([10, 9, 100, 1]);
    expect(upperMedian([3, 1, 2])).toBe(2);
    expect(upperMedian([])).toBeUndefined();
  });
});

describe("probabilities that are shown", () => {
  it("are never certain", () => {
    expect(shownProbability(1)).toEqual({ bound: "over", share: 0.999 });
    expect(shownProbability(0)).toEqual({ bound: "under", share: 0.001 });
    expect(shownProbability(0.999)).toEqual({ bound: null, share: 0.999 });
  });
});

describe("wrapped text", () => {
  it("keeps every word, within the width where words allow", () => {
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[a-z]{1,30}$/), { minLength: 1 }),
        fc.integer({ min: 10, max: 90 }),
        (words, width) => {
          const lines = wrapText(words.join(" "), "- ", "  ", width).split("\n");
          expect(lines.map((line) => line.slice(2)).join(" ")).toBe(words.join(" "));
          for (const line of lines)
            expect(line.length <= width || !line.slice(2).includes(" ")).toBe(true);
        },
      ),
    );
  });
});

import { expect, test } from "vitest";
import { limitsFor } from "../../../src/watch/limits.ts";

test("an alarm follows the smallest tolerance of the sheet, turns as they move the stand's boards", () => {
  expect(limitsFor({ lengthsMm: [5, 3], anglesDeg: [] })).toEqual({ sidewaysMm: 0.75, depthMm: 3 });
  // 0.4 degrees at 300 mm are 2.094 mm.
  const { sidewaysMm } = limitsFor({ lengthsMm: [5], anglesDeg: [0.4] });
  expect(sidewaysMm).toBeCloseTo(2.094 / 4, 3);
});

test("never below the watch's own noise, never above what only a knock does", () => {
  expect(limitsFor({ lengthsMm: [0.5], anglesDeg: [0.05] }).sidewaysMm).toBe(0.3);
  expect(limitsFor({ lengthsMm: [40], anglesDeg: [3] })).toEqual({ sidewaysMm: 2, depthMm: 8 });
  expect(limitsFor({ lengthsMm: [], anglesDeg: [] })).toEqual({ sidewaysMm: 2, depthMm: 8 });
});

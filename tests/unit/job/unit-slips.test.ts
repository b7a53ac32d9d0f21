import { expect, test } from "vitest";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { decideOutcome } from "../../../src/job/result/outcome.ts";
import { unitSlips } from "../../../src/job/solve/unit-slips.ts";

const [distance] = inventedResult.checks;
const check = (required: number, measured: number) => ({
  ...distance,
  ...{ required, measured, verdict: "misses" as const },
});

test.each([
  [98.4, 2500, "inches"],
  [250, 2490, "centimetres"],
  [2.5, 2507, "metres"],
])("%d asked and %d mm measured: the sheet may be in another unit", (required, measured, unit) => {
  const checks = [check(required, measured)];
  const remarks = unitSlips(checks);
  expect(remarks.map(({ values }) => values?.unit)).toEqual([unit]);
  expect(decideOutcome(checks, remarks).outcome).toBe("not proven");
});

test("a stand far from its place, a small offset and a check that meets are no slips", () => {
  expect(unitSlips([check(2500, 3900)])).toEqual([]);
  expect(unitSlips([check(2, 20)])).toEqual([]);
  expect(unitSlips([{ ...check(250, 2500), verdict: "meets" }])).toEqual([]);
  expect(unitSlips([{ ...check(250, 2500), unit: "deg" }])).toEqual([]);
});

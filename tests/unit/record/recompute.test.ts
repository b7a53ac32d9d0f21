/** What counts as the same number where a closed result is computed anew. */
import { expect, test } from "vitest";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import type { Result } from "../../../src/job/result/result.ts";
import { compareResults } from "../../../src/record/recompute.ts";

const changed = (change: (result: Result) => void): Result => {
  const copy = structuredClone(inventedResult) as Result;
  change(copy);
  return copy;
};
const differences = (change: (result: Result) => void) =>
  compareResults(inventedResult, changed(change)).different.map(({ path }) => path);

test("an equal result is the same, however long it took", () => {
  expect(differences(() => undefined)).toEqual([]);
  expect(compareResults(inventedResult, inventedResult).compared).toBeGreaterThan(50);
  expect(differences((result) => Object.assign(result, { measuredAt: "2030-01-01" }))).toEqual([]);
});

test("a check that moves by a thousandth of a millimetre is another, a rounding is not", () => {
  const by = (mm: number) => (result: Result) => {
    const [check] = result.checks;
    Object.assign(check, { measured: check.measured + mm });
  };
  const [{ id }] = inventedResult.checks;
  expect(differences(by(0.001 * Math.max(1, inventedResult.checks[0].measured / 100)))).toEqual([
    expect.stringContaining("/checks/"),
  ]);
  expect(id).not.toBe("");
  expect(differences(by(1e-5))).toEqual([]);
});

test("an uncertainty of the lens may end one in a hundred apart, two in a hundred are another", () => {
  const by = (share: number) => (result: Result) => {
    const sure = result.camera.standardUncertainty as Record<string, number>;
    sure.fx = Math.max(sure.fx ?? 0, 3) * share;
  };
  const base = changed(by(1));
  const compared = (share: number) => compareResults(base, changed(by(share))).different;
  expect(compared(1.009)).toEqual([]);
  expect(compared(1.02).map(({ path }) => path)).toEqual(["/camera/standardUncertainty/fx"]);
});

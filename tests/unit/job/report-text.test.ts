import { expect, test } from "vitest";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { reportText } from "../../../src/job/result/report-text.ts";

const meets = inventedResult.checks.map((check) => ({ ...check, verdict: "meets" as const }));
const firstLine = (outcome: typeof inventedResult.outcome): string =>
  reportText({ ...inventedResult, title: "Bay", checks: meets, outcome }).split("\n\n")[0];

// A stand that moved while photos were taken: every number meets, and yet nothing is proven.
test("a job that is not proven although its numbers meet says so first", () => {
  expect(meets.length).toBeGreaterThan(1);
  expect(firstLine("not proven").replace(/\s+/g, " ")).toContain(": Not proven. ");
  expect(firstLine("all meet")).toContain(`All ${meets.length} checks meet.`);
});

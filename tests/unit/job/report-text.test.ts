import { expect, test } from "vitest";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { reportText } from "../../../src/job/result/report-text.ts";

const meets = inventedResult.checks.map((check) => ({ ...check, verdict: "meets" as const }));
const firstLine = (outcome: typeof inventedResult.outcome): string =>
  reportText({ ...inventedResult, title: "Bay", checks: meets, outcome, heldBack: [] }).split(
    "\n\n",
  )[0];

const doubt = {
  code: "unsteady",
  severity: "error",
  message: "Board 31 (stand and target 1) moved while the photos were taken.",
  remedy: "Fix it.",
} as const;
const heldBack = (byNumber: "meets" | "misses"): string => {
  const checks = meets.map((check) => ({ ...check, verdict: "not proven" as const, byNumber }));
  const result = { ...inventedResult, title: "Bay", outcome: "not proven" as const };
  return reportText({ ...result, checks, heldBack: [doubt] }).replace(/\s+/g, " ");
};

// A stand that moved while photos were taken: every number meets, and yet nothing is proven.
test("a job that is not proven although its numbers meet says so first", () => {
  expect(meets.length).toBeGreaterThan(1);
  expect(heldBack("meets")).toContain("lie inside, but something stands against them: - Board 31");
  expect(heldBack("meets")).toContain("doubtful; the number alone says: meets");
  expect(firstLine("all meet")).toContain(`All ${meets.length} checks meet.`);
});

test("a miss that is held back is told as doubtful, and its moves, too", () => {
  const text = heldBack("misses");
  expect(text).toContain(`: Not proven. By the numbers alone ${meets.length} of ${meets.length}`);
  expect(text).not.toContain("To mend it");
  expect(text).toContain("Doubtful, put right first what stands against the numbers.");
  expect(text).not.toMatch(/MISSES|MEETS/);
});

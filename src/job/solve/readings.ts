import { crossCheck } from "../../placement/decide/cross-check.ts";
import type { CheckResult } from "../../placement/decide/verdict.ts";
import { expandTiltSteps, type PlacementSheet } from "../../placement/sheet/sheet.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";

/** The user's own readings beside ours; readings that belong to another step are left out. */
export const crossChecks = (job: JobFile, checks: readonly CheckResult[]): Result["crossChecks"] =>
  job.readings.flatMap(({ check: id, value, expanded, by }) => {
    const check = checks.find((candidate) => candidate.id === id);
    if (!check) return [];
    const ours = { value: check.measured, expanded: check.expandedUncertainty };
    return [
      { check: id, by, value, expanded, ...crossCheck(ours, { value, expanded }, check.unit, by) },
    ];
  });

/** Readings by other means that contradict a check: one of the two is wrong, and nobody knows which. */
export const readingsThatDisagree = (readings: NonNullable<Result["crossChecks"]>): Remark[] =>
  readings
    .filter(({ agree }) => !agree)
    .map(({ check, by, sentence, said }) => ({
      code: "reading-disagrees",
      values: { by, what: said ? [said] : [] },
      severity: "warning",
      message: sentence,
      remedy: "Take the reading again, and look for what both have in common: origin, side, unit.",
      about: check,
    }));

/** Readings of checks that no step of the sheet has: a slip in the id would drop them silently. */
export const readingsWithoutCheck = (job: JobFile, sheet: PlacementSheet): Remark[] => {
  const known = new Set(
    sheet.steps.flatMap(expandTiltSteps).flatMap(({ checks }) => checks.map(({ id }) => id)),
  );
  return job.readings
    .filter(({ check }) => !known.has(check))
    .map(({ check, by }) => ({
      code: "reading-without-check",
      values: { check, by },
      severity: "warning",
      message: `The reading by ${by} belongs to a check "${check}", which the placement sheet does not have.`,
      remedy: "Correct the check's id, or take the reading out.",
      about: check,
    }));
};

import type { CheckResult, Result } from "../../job/result/result.ts";
import type { JobRecord } from "../store/database/schema.ts";

/**
 * What the checks said before the stand was moved, beside what they say now: whether it moved at all,
 * and which way. Kept in the job when a new set-up begins.
 */
export type BeforeMove = NonNullable<JobRecord["placement"]["was"]>;

export const beforeMove = (result: Result): BeforeMove => ({
  measuredAt: result.measuredAt,
  checks: result.checks.map(({ id, measured, expandedUncertainty, verdict }) => ({
    ...{ id, measured, expandedUncertainty, verdict },
  })),
});

export interface WasIs {
  readonly check: CheckResult;
  readonly was: BeforeMove["checks"][number];
  /** Signed, in the check's unit. */
  readonly change: number;
  /** True where the change is more than both measurements leave open. */
  readonly seen: boolean;
}

/**
 * Both measurements share car, floor and prints, so that the square root of the sum of squares is
 * more than the change is really unsure by: a change that is called seen was made.
 */
export const wasAndIs = (was: BeforeMove, now: Result): WasIs[] =>
  now.checks.flatMap((check) => {
    const before = was.checks.find(({ id }) => id === check.id);
    if (!before) {
      return [];
    }
    const change = check.measured - before.measured;
    const unsure = Math.hypot(check.expandedUncertainty, before.expandedUncertainty);
    return [{ check, was: before, change, seen: Math.abs(change) > unsure }];
  });

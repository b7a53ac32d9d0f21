import { outcomeOf } from "../../placement/decide/verdict.ts";
import type { StoredRemark } from "../../say/remark.ts";
import { consequenceOf } from "./consequences.ts";
import type { CheckResult, Result } from "./result.ts";

/**
 * The only place where an outcome is made: checks decide by their numbers, and with a doubt that no
 * interval includes (see consequences.ts) nothing is proven. That holds for a miss, too: a wrong
 * "misses" makes a technician move a stand that stands right. Result document, exit status, screens,
 * job list and printed record read what this gives.
 */
export interface Decision<C, R extends StoredRemark> {
  readonly outcome: Result["outcome"];
  /** The checks with the verdict that counts; what the number alone would say stays beside it. */
  readonly checks: readonly C[];
  /** The remarks that hold the verdict back; their sentences are the reasons. */
  readonly heldBack: readonly R[];
}

export const decideOutcome = <
  C extends Pick<CheckResult, "verdict" | "byNumber">,
  R extends StoredRemark,
>(
  checks: readonly C[],
  remarks: readonly R[],
): Decision<C, R> => {
  const heldBack = remarks.filter(({ code }) => {
    const consequence = consequenceOf(code);
    return consequence === "holds back" || consequence === "refuses";
  });
  if (heldBack.length === 0) return { outcome: outcomeOf(checks), checks, heldBack };
  const doubtful = checks.map((check) => ({
    ...check,
    verdict: "not proven" as const,
    byNumber: numberSays(check),
  }));
  return { outcome: "not proven", checks: doubtful, heldBack };
};

const numberSays = ({ verdict, byNumber }: Pick<CheckResult, "verdict" | "byNumber">) =>
  byNumber ?? verdict;

/** What a doubtful number alone would say, where that is more than "not proven". */
export const doubtfulVerdict = ({ byNumber }: Pick<CheckResult, "byNumber">) =>
  byNumber === undefined || byNumber === "not proven" ? null : byNumber;

/** True where a doubt keeps the verdict back, whatever the numbers say. */
export const isHeldBack = ({ heldBack, outcome }: Pick<Result, "heldBack" | "outcome">): boolean =>
  outcome === "not proven" && heldBack.length > 0;

/** What the numbers alone would say; doubtful where `isHeldBack`. */
export const outcomeByNumbers = ({ checks }: Pick<Result, "checks">): Result["outcome"] =>
  outcomeOf(checks.map((check) => ({ verdict: numberSays(check) })));

/** Exit status of a measurement: 0 only where everything meets and nothing holds it back. */
export const exitStatusOf = ({ outcome }: Pick<Result, "outcome">): 0 | 1 =>
  outcome === "all meet" ? 0 : 1;

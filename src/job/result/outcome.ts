import { outcomeOf } from "../../placement/decide/verdict.ts";
import type { StoredRemark } from "../../say/remark.ts";
import { consequenceOf } from "./consequences.ts";
import type { CheckResult, Result } from "./result.ts";

/**
 * The only place where an outcome is made: checks decide by their numbers, and every doubt that no
 * interval includes (see consequences.ts) prevents the outcome "all meet". Result document, exit
 * status, screens, job list and printed record read what this gives.
 */
export interface Decision<R extends StoredRemark = StoredRemark> {
  readonly outcome: Result["outcome"];
  /** The remarks that hold the verdict back; their sentences are the reasons. */
  readonly heldBack: readonly R[];
}

export const decideOutcome = <R extends StoredRemark>(
  checks: readonly Pick<CheckResult, "verdict">[],
  remarks: readonly R[],
): Decision<R> => {
  const heldBack = remarks.filter(({ code }) => {
    const consequence = consequenceOf(code);
    return consequence === "holds back" || consequence === "refuses";
  });
  const byNumbers = outcomeOf(checks);
  return {
    outcome: byNumbers === "all meet" && heldBack.length > 0 ? "not proven" : byNumbers,
    heldBack,
  };
};

/** True where the numbers of all checks meet and only a doubt keeps the verdict back. */
export const isHeldBack = ({ checks, outcome }: Pick<Result, "checks" | "outcome">): boolean =>
  outcome === "not proven" && outcomeOf(checks) === "all meet";

/** Exit status of a measurement: 0 only where everything meets and nothing holds it back. */
export const exitStatusOf = ({ outcome }: Pick<Result, "outcome">): 0 | 1 =>
  outcome === "all meet" ? 0 : 1;

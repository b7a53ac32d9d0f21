import { jobFileSchema } from "../../job/file/job-file.ts";
import { type DecisionRule, defaultRule } from "../../placement/decide/conformance.ts";
import { sdAsked } from "../../plan/asked.ts";
import { activePhotos, type JobState, presentResult } from "../state/job-state.ts";

/**
 * Whether the photos are enough: every check is decided, or sure enough that a stand in the inner
 * half of its tolerance would be proven (then the stand is to be moved, not photographed again), or
 * no photos make it surer. Null where there is no result to tell.
 */
export function photosProve(state: JobState): boolean | null {
  const result = presentResult(state)?.result;
  if (!result) {
    return null;
  }
  const rule = ruleOf(state);
  const sure = result.checks.every(
    ({ verdict, required, lower, upper, standardUncertainty }) =>
      verdict !== "not proven" ||
      standardUncertainty <=
        sdAsked(
          {
            required,
            lowerDeviation: lower === null ? null : lower - required,
            upperDeviation: upper === null ? null : upper - required,
          },
          rule,
        ),
  );
  return sure || photosHelpNoMore(state);
}

/** True where the plan for these very photos asks for none. */
function photosHelpNoMore(state: JobState): boolean {
  const answer = state.plan?.answer;
  const shown = activePhotos(state, "boards").filter(({ epoch }) => epoch === "before").length;
  return answer?.ok === true && answer.plan.enough && answer.plan.taken >= Math.min(shown, 1);
}

const { levels: levelsSchema } = jobFileSchema.shape;

function ruleOf({ record }: JobState): DecisionRule {
  const parsed = levelsSchema.safeParse(record.boards.statements.levels);
  if (!parsed.success) {
    return defaultRule;
  }
  const { meets, misses, guardBandFactor } = parsed.data;
  return guardBandFactor === undefined
    ? { kind: "probability", meetsAt: meets, missesAt: misses }
    : { kind: "guard band", factor: guardBandFactor };
}

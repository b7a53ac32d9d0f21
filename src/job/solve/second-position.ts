import type { Remark } from "../result/remark-codes.ts";
import type { CheckResult } from "../result/result.ts";
import type { SolveAnswer, SolveInput } from "../run/run.ts";

/** The job as it was before the car was rolled or its wheels turned; null where it never was. */
export const firstPositionOnly = (input: SolveInput): SolveInput | null => {
  const [, ...others] = input.job.positions;
  if (others.length === 0) return null;
  const later = new Set(others.flatMap(({ photos }) => photos));
  return {
    ...input,
    job: { ...input.job, positions: [] },
    outcomes: input.outcomes.filter(
      (outcome) => !later.has(outcome.ok ? outcome.findings.name : outcome.name),
    ),
  };
};

/**
 * What the run-out compensation brought: the check that it changed most against its own uncertainty
 * before, with both values and both expanded uncertainties. Nothing where the first position alone
 * gives no result, since then there is no before.
 */
export const positionBrought = (
  before: SolveAnswer | null,
  checks: readonly CheckResult[],
): Remark[] => {
  if (!before?.ok) return [];
  const pairs = checks.flatMap((is) => {
    const was = before.result.checks.find(({ id }) => id === is.id);
    return was ? [{ was, is, gain: gainOf(was, is) }] : [];
  });
  const [most] = pairs.sort((a, b) => b.gain - a.gain);
  return most ? [brought(most.was, most.is)] : [];
};

/** Change of the value, or what the interval lost, over the interval before. */
const gainOf = (was: CheckResult, is: CheckResult): number =>
  Math.max(
    Math.abs(is.measured - was.measured),
    Math.abs(was.expandedUncertainty - is.expandedUncertainty),
  ) / was.expandedUncertainty;

const words = (value: number, unit: "mm" | "deg"): string =>
  unit === "mm" ? `${value.toFixed(1)} mm` : `${value.toFixed(2)} degrees`;

const brought = (was: CheckResult, is: CheckResult): Remark => ({
  code: "second-position-brought",
  values: {
    check: is.labelSaid ? [is.labelSaid] : [{ code: "as-named", values: { name: is.label } }],
    was: was.measured,
    is: is.measured,
    unsure: was.expandedUncertainty,
    sure: is.expandedUncertainty,
    unit: is.unit,
  },
  severity: "info",
  message:
    `Run-out compensation: "${is.label}" was ${words(was.measured, is.unit)} ± ` +
    `${words(was.expandedUncertainty, is.unit)} by the first position alone and is ` +
    `${words(is.measured, is.unit)} ± ${words(is.expandedUncertainty, is.unit)} with all positions.`,
  remedy: "",
  about: is.id,
});

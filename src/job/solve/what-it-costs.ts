import { type Adjusted, readjustWithout } from "../../adjust/adjust.ts";
import type { StateView } from "../../adjust/problem/problem.ts";
import { viewOf } from "../../adjust/problem/state.ts";
import type { Suspect } from "../../adjust/test/describe.ts";
import type { Diagnosis } from "../../adjust/test/diagnosis.ts";
import type { SharedMisfit } from "../../adjust/test/shared-misfit.ts";
import { evaluateCheck, type StepContext } from "../../placement/checks/checks.ts";
import type { CheckResult } from "../../placement/decide/verdict.ts";
import type { RemarkCost } from "../../say/remark.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * What a contradiction costs the checks: each is measured again without it. News for a technician is
 * what moves a check, not what misses by hundredths of a pixel; and a check that one doubtful
 * statement moves by more than its whole interval is not proven.
 */
export interface Weighing {
  readonly diagnosis: Diagnosis;
  /** The adjustment that was diagnosed. */
  readonly adjusted: Adjusted;
  readonly context: StepContext;
  readonly checks: readonly CheckResult[];
}

/** A view that fits better than this is no news unless it moves a check. */
const smallPx = 0.05;
/** A check moved by less than this share of its interval is not moved. */
const smallShare = 0.25;
/** A misfit so many times the stated noise is systematic, and no common factor describes it. */
const largeFactor = 5;

/** The diagnosis's remarks, each suspect with its cost; small ones that cost nothing are left out. */
export const weighedRemarks = (weighing: Weighing): Remark[] => {
  const { diagnosis } = weighing;
  const general = diagnosis.remarks.filter(
    (remark) => !diagnosis.suspects.some((suspect) => suspect.remark === remark),
  );
  const shared = diagnosis.shared ? [sharedRemark(diagnosis.shared, weighing)] : [];
  return [...shared, ...general, ...suspectRemarks(weighing)];
};

const suspectRemarks = (weighing: Weighing): Remark[] => {
  const { suspects } = weighing.diagnosis;
  if (suspects.length === 0) return [];
  const all = new Set(suspects.flatMap(({ factors }) => factors));
  const base = valuesWithout(weighing, all);
  return suspects.flatMap((suspect) => {
    const cost = base && costOf(weighing, suspect, all, base);
    const small = suspect.residualPx !== null && suspect.residualPx < smallPx;
    if (small && !cost) return [];
    const remark = cost ? { ...suspect.remark, cost } : suspect.remark;
    return cost && cost.share > mostShare(suspect)
      ? [dependsRemark(suspect.remark, cost, weighing), remark]
      : [remark];
  });
};

/**
 * A check moved by more than its whole interval is not proven. A statement off by so many times what
 * was stated is not unsure but wrong, and still pulls: half an interval is too much of it.
 */
const mostShare = ({ remark: { values } }: Suspect): number =>
  typeof values?.off === "number" && values.off >= grosslyOff ? 0.5 : 1;
/** In stated standard uncertainties. Our own, no source. */
const grosslyOff = 20;

/** Values of all checks in a state. */
const valuesIn = ({ context }: Weighing, state: StateView): number[] =>
  context.step.checks.map((check) => evaluateCheck(state, context, check));

const valuesWithout = (weighing: Weighing, factors: ReadonlySet<number>): number[] | null => {
  const { adjusted } = weighing;
  const again = readjustWithout(adjusted, factors, adjusted.internals.state);
  return again && valuesIn(weighing, viewOf(again.model.layout, again.state));
};

/** A view that counts for less than this does nothing to any check. */
const lightWeight = 0.5;

/** What taking the suspect in changes, where all other suspects are left out. */
const costOf = (
  weighing: Weighing,
  { factors }: Suspect,
  all: ReadonlySet<number>,
  base: readonly number[],
): RemarkCost | null => {
  const { weights, model } = weighing.adjusted.internals;
  const light = factors.every((i) => i < model.views.length && weights[i] < lightWeight);
  if (light || factors.length === 0) return null;
  const own = new Set(factors);
  const others = new Set([...all].filter((factor) => !own.has(factor)));
  const taken = valuesWithout(weighing, others);
  return taken && largestCost(weighing.checks, base, taken);
};

/** The check that moves most against its own interval; null where none moves to speak of. */
const largestCost = (
  checks: readonly CheckResult[],
  before: readonly number[],
  after: readonly number[],
): RemarkCost | null => {
  const costs = checks.map((check, i): RemarkCost => {
    const amount = Math.abs(after[i] - before[i]);
    const share = amount / Math.max(check.expandedUncertainty, 1e-9);
    const { id, label, labelSaid: said, unit } = check;
    return { check: id, label, ...(said ? { said } : {}), amount, unit, share };
  });
  const largest = costs.reduce((a, b) => (b.share > a.share ? b : a), costs[0]);
  return largest && largest.share >= smallShare ? largest : null;
};

const amountWords = ({ amount, unit }: RemarkCost): string =>
  unit === "mm" ? `${amount.toFixed(1)} mm` : `${amount.toFixed(2)} degrees`;

const dependsRemark = (suspect: Remark, cost: RemarkCost, { checks }: Weighing): Remark => {
  const check = checks.find(({ id }) => id === cost.check)!;
  return {
    code: "check-depends",
    values: {
      check: check.labelSaid
        ? [check.labelSaid]
        : [{ code: "as-named", values: { name: check.label } }],
      amount: cost.amount,
      unit: cost.unit,
      what: [{ code: suspect.code, values: { about: suspect.about ?? "", ...suspect.values } }],
    },
    severity: "warning",
    message: `"${check.label}" changes by ${amountWords(cost)} with one thing that contradicts the rest. ${suspect.message}`,
    remedy: suspect.remedy,
    about: check.id,
    cost,
  };
};

const causeWords: Readonly<Record<SharedMisfit["cause"], { why: string; remedy: string }>> = {
  motion: {
    why: "the phone moved faster than hands do while the pictures were read out",
    remedy: "Stand still, hold the phone with both hands, wait a moment before each photo.",
  },
  lens: {
    why: "the lens is not the one of the camera step",
    remedy: "Do the camera step again with this phone at this zoom, and measure again.",
  },
  print: {
    why: "the boards are not printed at the size that the print check gave",
    remedy: "Measure the check bars on the boards again; boards of another print need their own.",
  },
  focus: {
    why: "the camera changed from photo to photo more than this phone did before: another camera mode, zoom or crop",
    remedy: "Set the camera app as in the camera step, without zoom, and take the photos again.",
  },
  unknown: {
    why: "it is in most photos, and none of lens, print, focus and hand explains it",
    remedy:
      "Check that the boards are flat and lie still, and that the photos are the phone's originals.",
  },
};

const sharedRemark = (shared: SharedMisfit, weighing: Weighing): Remark => {
  const { factor, cause, freed } = shared;
  const now = valuesIn(weighing, weighing.adjusted.state);
  const cost = freed && largestCost(weighing.checks, now, valuesIn(weighing, freed));
  const { why, remedy } = causeWords[cause];
  const effect = cost
    ? ` Without it "${cost.label}" would be ${amountWords(cost)} other.`
    : " All intervals are wider for it.";
  return {
    code: factor > largeFactor ? "misfit-large" : "misfit-shared",
    values: {
      cause,
      factor,
      costs: cost ? "yes" : "no",
      amount: cost?.amount ?? 0,
      unit: cost?.unit ?? "mm",
    },
    severity: "warning",
    message: `The photos fit ${factor.toFixed(1)} times worse than sharp prints do, and they share one cause: ${why}.${effect}`,
    remedy,
    ...(cost ? { cost } : {}),
  };
};

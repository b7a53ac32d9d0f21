import type { Said } from "../../say/remark.ts";
import { type Check, limitsOf, type PlacementSheet, type Step, unitOf } from "../sheet/sheet.ts";
import { type LabelCode, labelOf, labelSaid, placeInWords } from "../words/words.ts";
import { type AdviceCode, adviceFor } from "./advice.ts";
import {
  conformanceProbability,
  coverageFactorFor,
  type DecisionRule,
  defaultRule,
  specificRisk,
  type Verdict,
  verdictOf,
} from "./conformance.ts";
import type { Measured } from "./measured.ts";

/** Level of the expanded uncertainty where the job states none. */
const usualLevel = 0.95;

/** One decided check, as the result document carries it. Open limits are null. */
export interface CheckResult {
  readonly id: string;
  readonly label: string;
  /** The label as data, absent where the sheet has its own words. */
  readonly labelSaid?: Said<LabelCode>;
  readonly quantity: string;
  readonly unit: "mm" | "deg";
  readonly required: number;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly measured: number;
  readonly standardUncertainty: number;
  readonly expandedUncertainty: number;
  readonly coverageFactor: number;
  readonly probability: number;
  readonly verdict: Verdict;
  /** Where the value stands, in words: "inside the tolerance, 7.5 mm ahead of its middle". */
  readonly inWords: string;
  readonly reference: string;
  readonly budget: { source: string; share: number }[];
  /** By the camera's key; the result document turns keys into phones. */
  readonly lensShares: Readonly<Record<string, number>>;
  /** Chance of being wrong when this check is accepted, and when it is rejected. */
  readonly risk: { readonly consumer: number; readonly producer: number };
  readonly advice?: string;
  readonly adviceSaid?: Said<AdviceCode>[];
}

export interface DecideOptions {
  readonly rule?: DecisionRule;
  /** Two-sided level of the expanded uncertainty. Default 0.95. */
  readonly level?: number;
}

/** Decides one check from its measured value, standard uncertainty and budget. */
export const decide = (
  check: Check,
  measured: Measured,
  sheet: Pick<PlacementSheet, "origin" | "axis" | "heightReference"> & {
    readonly source?: string;
  },
  step: Step,
  options: DecideOptions = {},
): CheckResult => {
  const rule = options.rule ?? defaultRule;
  const unit = unitOf(check.kind);
  const limits = limitsOf(check);
  const { value, sd } = measured;
  const verdict = verdictOf(value, sd, limits, rule);
  const k = coverageFactorFor(options.level ?? usualLevel);
  return {
    id: check.id,
    label: labelOf(check, sheet),
    labelSaid: labelSaid(check, sheet),
    quantity: check.kind,
    unit,
    required: check.required,
    lower: limits.lower,
    upper: limits.upper,
    measured: value,
    standardUncertainty: sd,
    expandedUncertainty: k * sd,
    coverageFactor: k,
    probability: conformanceProbability(value, sd, limits),
    verdict,
    inWords: placeInWords(check, value, limits, unit, step.target.facing),
    reference: check.reference.trim() || (sheet.source ?? ""),
    budget: measured.budget.map((s) => ({ ...s })),
    lensShares: measured.lenses ?? {},
    risk: specificRisk(value, sd, limits),
    ...(verdict === "not proven" ? adviceFor(value, sd, limits, rule, measured.budget, unit) : {}),
  };
};

/** The whole outcome: a single miss counts before anything that is not proven. */
export const outcomeOf = (
  checks: readonly { readonly verdict: Verdict }[],
): "all meet" | "some miss" | "not proven" =>
  checks.some((c) => c.verdict === "misses")
    ? "some miss"
    : checks.length === 0 || checks.some((c) => c.verdict === "not proven")
      ? "not proven"
      : "all meet";

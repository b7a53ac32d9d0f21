import type { Source } from "../../adjust/problem/problem.ts";
import type { Said } from "../../say/remark.ts";
import type { CheckUnit } from "../sheet/sheet.ts";
import { type DecisionRule, type Limits, uncertaintyThatProves } from "./conformance.ts";

/**
 * What to do about a check that is not proven: name what dominates the uncertainty, how small it
 * would have to become, and whether mending that one share would do.
 */
export interface Share {
  readonly source: string;
  readonly share: number;
}

const mends: Readonly<Record<Source, string>> = {
  image: "take more photos, nearer and from more sides, with car boards and stand boards together",
  lens: "do the camera step again with more photos of the camera sheet, filling the picture",
  "focus and stabilisation":
    "take more photos from different places; each averages the phone's own focus and shift",
  "hand motion": "hold the phone still with both hands, leaning on something, and take more photos",
  "print scale": "measure the check bars of the prints with a steel rule, or add a longer length",
  "board flatness": "glue the boards to something flat and state it",
  "length reference": "measure a longer length between two boards, with a better tape or twice",
  floor: "put more floor boards by the wheels and under the target",
  "wheel plates":
    "roll the car by about half a turn of the wheels and photograph the wheel plates again",
  "target offset": "teach the target again, with a pointer board on its reference point",
  other: "mark the dropped points again with a finer plumb bob",
};

/** The remedy for one source of uncertainty, as an instruction without a capital or full stop. */
const mendOf = (source: string): string =>
  mends[source as Source] ?? "measure again by another way";

export type AdviceCode =
  | `mend: ${Source}`
  | "advice-because"
  | "advice-outside"
  | "advice-nearer"
  | "advice-inside"
  | "advice-cannot"
  | "advice-enough"
  | "advice-not-enough"
  | "advice-needed";

/** The advice in English, and the same as data for other languages. */
export interface Advice {
  readonly advice: string;
  readonly adviceSaid: Said<AdviceCode>[];
}

/**
 * What would prove a check that is "not proven" at its measured value and standard uncertainty
 * (same unit as the limits). `budget`: shares of the variance, largest first.
 */
export const adviceFor = (
  value: number,
  sd: number,
  limits: Limits,
  rule: DecisionRule,
  budget: readonly Share[],
  unit: CheckUnit,
): Advice => {
  const because = becauseOf(budget[0]);
  const outside =
    (limits.lower !== null && value < limits.lower) ||
    (limits.upper !== null && value > limits.upper);
  if (outside) {
    const move =
      "The measured value is outside the tolerance: make the move, then shoot the stand again.";
    return {
      advice: `${because.advice}${move}`,
      adviceSaid: [...because.adviceSaid, { code: "advice-outside" }],
    };
  }
  const place = placeThatProves(value, sd, limits, rule);
  const remedy = remedyFor(sd, place.needed, budget[0], unit);
  return {
    advice: `${because.advice}${place.sentence} ${remedy.advice}.`,
    adviceSaid: [...because.adviceSaid, { code: place.code }, ...remedy.adviceSaid],
  };
};

/** Whether another value would do with this uncertainty, and which uncertainty this one needs. */
const placeThatProves = (
  value: number,
  sd: number,
  limits: Limits,
  rule: DecisionRule,
): { code: AdviceCode; sentence: string; needed: number } => {
  const { lower, upper } = limits;
  const here = uncertaintyThatProves(value, limits, rule);
  if (lower === null || upper === null)
    return {
      code: "advice-inside",
      sentence: "A value farther inside the limit would prove it, or",
      needed: here,
    };
  const atMiddle = uncertaintyThatProves((lower + upper) / 2, limits, rule);
  return sd <= atMiddle
    ? {
        code: "advice-nearer",
        sentence: "A value nearer to the middle of the tolerance would prove it, or",
        needed: here,
      }
    : {
        code: "advice-cannot",
        sentence:
          "Even a value at the middle of the tolerance could not be proven with this uncertainty;",
        needed: atMiddle,
      };
};

const becauseOf = (largest: Share | undefined): Advice =>
  largest
    ? {
        advice:
          `Most of the uncertainty (${Math.round(largest.share * 100)} % of its variance) is ` +
          `${largest.source}. `,
        adviceSaid: [
          { code: "advice-because", values: { share: largest.share, source: largest.source } },
        ],
      }
    : { advice: "", adviceSaid: [] };

const remedyFor = (
  sd: number,
  needed: number,
  largest: Share | undefined,
  unit: CheckUnit,
): Advice => {
  const standard = `a standard uncertainty of ${fine(needed, unit)} is needed, it is ${fine(sd, unit)}`;
  const neededSaid: Said<AdviceCode> = { code: "advice-needed", values: { needed, sd, unit } };
  if (!largest) return { advice: standard, adviceSaid: [neededSaid] };
  const enough = sd * Math.sqrt(Math.max(0, 1 - largest.share)) <= needed;
  const words = enough
    ? "that alone can be enough"
    : "that alone is not enough, the next largest share must fall too";
  return {
    advice: `${mendOf(largest.source)} (${words}; ${standard})`,
    adviceSaid: [
      { code: `mend: ${largest.source as Source}` },
      { code: enough ? "advice-enough" : "advice-not-enough" },
      neededSaid,
    ],
  };
};

/** One digit more than a value gets: small uncertainties must not read as zero. */
const fine = (value: number, unit: CheckUnit): string =>
  unit === "mm" ? `${value.toFixed(2)} mm` : `${value.toFixed(3)} degrees`;

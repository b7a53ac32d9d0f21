import type { Source } from "../network/problem.ts";
import { type DecisionRule, type Limits, uncertaintyThatProves } from "./conformance.ts";
import type { CheckUnit } from "./sheet.ts";

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
export const mendOf = (source: string): string =>
  mends[source as Source] ?? "measure again by another way";

export const adviceFor = (
  value: number,
  sd: number,
  limits: Limits,
  rule: DecisionRule,
  budget: readonly Share[],
  unit: CheckUnit,
): string => {
  const largest = budget[0];
  const because = largest
    ? `Most of the uncertainty (${Math.round(largest.share * 100)} % of its variance) is ` +
      `${largest.source}. `
    : "";
  const outside =
    (limits.lower !== null && value < limits.lower) ||
    (limits.upper !== null && value > limits.upper);
  if (outside) {
    return (
      `${because}The measured value is outside the tolerance: make the move, then shoot the ` +
      "stand again."
    );
  }
  const needed = uncertaintyThatProves(value, limits, rule);
  const centre = centreOf(limits, value);
  const atCentre = uncertaintyThatProves(centre, limits, rule);
  if (sd <= atCentre) {
    return (
      `${because}Moving the stand nearer to the required value would prove it, or ` +
      `${remedyClause(sd, needed, largest, unit)}.`
    );
  }
  return (
    `${because}Even a stand at the middle of the tolerance could not be proven with this ` +
    `uncertainty; ${remedyClause(sd, atCentre, largest, unit)}.`
  );
};

const centreOf = ({ lower, upper }: Limits, fallback: number): number =>
  lower === null || upper === null ? fallback : (lower + upper) / 2;

const remedyClause = (
  sd: number,
  needed: number,
  largest: Share | undefined,
  unit: CheckUnit,
): string => {
  const standard = `a standard uncertainty of ${fine(needed, unit)} is needed, it is ${fine(sd, unit)}`;
  if (!largest) return standard;
  const left = sd * Math.sqrt(Math.max(0, 1 - largest.share));
  const enough =
    left <= needed
      ? "that alone can be enough"
      : "that alone is not enough, the next largest share must fall too";
  return `${mendOf(largest.source)} (${enough}; ${standard})`;
};

/** One digit more than a value gets: small uncertainties must not read as zero. */
const fine = (value: number, unit: CheckUnit): string =>
  unit === "mm" ? `${value.toFixed(2)} mm` : `${value.toFixed(3)} degrees`;

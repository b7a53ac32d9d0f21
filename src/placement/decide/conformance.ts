import { normalCdf, normalQuantile } from "../../maths/statistics.ts";

/** Where the search for an uncertainty starts and ends, mm or degrees, and its steps of bisection. */
const search = { from: 1e-9, to: 1e9, steps: 60 } as const;
/** Process standard deviations over which the global risk is integrated, and Simpson's steps. */
const integral = { reach: 9, steps: 4000 } as const;

/**
 * Conformity under measurement uncertainty (JCGM 106:2012). With the measured value y, its standard
 * uncertainty u and no other knowledge, the true value is N(y, u^2); the conformance probability is
 * the part of it inside the tolerance (JCGM 106, 7.3 and 7.4).
 *
 * Limits may be open (null).
 */
export interface Limits {
  readonly lower: number | null;
  readonly upper: number | null;
}

/**
 * Probability that the true value lies within the limits, 0 to 1; all arguments in one unit. With
 * sd = 0 the value itself decides. Throws where the standard uncertainty is negative or no number.
 */
export const conformanceProbability = (value: number, sd: number, limits: Limits): number => {
  if (sd < 0 || !Number.isFinite(sd))
    throw new RangeError("The standard uncertainty is not valid.");
  if (sd === 0) {
    const low = limits.lower === null || value >= limits.lower;
    const high = limits.upper === null || value <= limits.upper;
    return low && high ? 1 : 0;
  }
  const above = limits.upper === null ? 0 : normalCdf((value - limits.upper) / sd);
  const below = limits.lower === null ? 0 : normalCdf((limits.lower - value) / sd);
  return Math.min(1, Math.max(0, 1 - above - below));
};

export type Verdict = "meets" | "misses" | "not proven";

/** How a verdict is reached; levels and guard band can be set per job. */
export type DecisionRule =
  | {
      readonly kind: "probability";
      /** Conformance probability from which it meets, and up to which it misses. */
      readonly meetsAt: number;
      readonly missesAt: number;
    }
  | {
      /**
       * Guard band on both sides of each limit (ISO 14253-1): meets inside the tolerance reduced by
       * g u, misses outside the tolerance widened by g u. `factor` g: 1.65 for one-sided 95 %, 2
       * for the older choice of the expanded uncertainty.
       */
      readonly kind: "guard band";
      readonly factor: number;
    };

/** Meets at 95 % or more, misses at 5 % or less. Common practice, no source. */
export const defaultRule: DecisionRule = { kind: "probability", meetsAt: 0.95, missesAt: 0.05 };

/** Acceptance limits of a guard band: the tolerance reduced by g u. Null where none is left. */
export const acceptanceLimits = (limits: Limits, sd: number, factor: number): Limits | null => {
  const lower = limits.lower === null ? null : limits.lower + factor * sd;
  const upper = limits.upper === null ? null : limits.upper - factor * sd;
  return lower !== null && upper !== null && lower > upper ? null : { lower, upper };
};

const inside = (value: number, limits: Limits): boolean =>
  (limits.lower === null || value >= limits.lower) &&
  (limits.upper === null || value <= limits.upper);

/** Decides a measured value with its standard uncertainty by a rule; all in one unit. */
export const verdictOf = (
  value: number,
  sd: number,
  limits: Limits,
  rule: DecisionRule,
): Verdict => {
  if (rule.kind === "probability") {
    const p = conformanceProbability(value, sd, limits);
    return p >= rule.meetsAt ? "meets" : p <= rule.missesAt ? "misses" : "not proven";
  }
  const accept = acceptanceLimits(limits, sd, rule.factor);
  if (accept && inside(value, accept)) return "meets";
  const widened = acceptanceLimits(limits, sd, -rule.factor);
  return widened && inside(value, widened) ? "not proven" : "misses";
};

/**
 * Largest standard uncertainty with which a true deviation at the measured value would be proven to
 * meet; 0 when the value is outside. Found by bisection: the probability falls as u grows.
 */
export const uncertaintyThatProves = (
  value: number,
  limits: Limits,
  rule: DecisionRule,
): number => {
  if (!inside(value, limits)) return 0;
  const proves = (sd: number) => verdictOf(value, sd, limits, rule) === "meets";
  let high: number = search.from;
  while (proves(high) && high < search.to) high *= 2;
  let low = high / 2;
  if (!proves(low)) return 0;
  for (let k = 0; k < search.steps; k++) {
    const mid = (low + high) / 2;
    if (proves(mid)) low = mid;
    else high = mid;
  }
  return low;
};

/** Specific risks at this value (JCGM 106, 9.3): of being wrong when accepting, when rejecting. */
export interface SpecificRisk {
  /** Consumer's: the target is out of tolerance although it is said to meet. */
  readonly consumer: number;
  /** Producer's: the target is in tolerance although it is said to miss. */
  readonly producer: number;
}

/** The risks of accepting and of rejecting at this value, 0 to 1. */
export const specificRisk = (value: number, sd: number, limits: Limits): SpecificRisk => {
  const p = conformanceProbability(value, sd, limits);
  return { consumer: 1 - p, producer: p };
};

/**
 * The highest specific risks that a rule can lead to: what a "meets" and a "misses" may be wrong by
 * at most. A guard band g u leaves the normal tail beyond g at each limit (JCGM 106, 8.3.2); a
 * tolerance of just 2 g u has both tails around the one value that is accepted.
 */
export const statedRisk = (rule: DecisionRule): { consumer: number; producer: number } =>
  rule.kind === "probability"
    ? { consumer: 1 - rule.meetsAt, producer: rule.missesAt }
    : { consumer: 2 * normalCdf(-rule.factor), producer: normalCdf(-rule.factor) };

/** Coverage factor of a normal distribution for a two-sided level, 1.96 for 0.95. */
export const coverageFactorFor = (level: number): number => normalQuantile(0.5 + level / 2);

/**
 * Global risks (JCGM 106, 9.5) when placements scatter as N(processMean, processSd^2) about the
 * nominal value and are measured with u: the share that is accepted although out of tolerance
 * (consumer's), and rejected although within (producer's). Simpson's rule over the true value.
 */
export const globalRisk = (
  process: { readonly mean: number; readonly sd: number },
  sd: number,
  limits: { readonly lower: number; readonly upper: number },
  acceptance: { readonly lower: number; readonly upper: number },
): { consumer: number; producer: number } => {
  const density = (x: number) => {
    const z = (x - process.mean) / process.sd;
    return Math.exp(-0.5 * z * z) / (process.sd * Math.sqrt(2 * Math.PI));
  };
  const accepted = (x: number) =>
    normalCdf((acceptance.upper - x) / sd) - normalCdf((acceptance.lower - x) / sd);
  const reach = integral.reach * process.sd;
  const from = Math.min(process.mean - reach, limits.lower);
  const to = Math.max(process.mean + reach, limits.upper);
  return {
    consumer:
      simpson((x) => density(x) * accepted(x), from, limits.lower) +
      simpson((x) => density(x) * accepted(x), limits.upper, to),
    producer: simpson((x) => density(x) * (1 - accepted(x)), limits.lower, limits.upper),
  };
};

const simpson = (
  f: (x: number) => number,
  from: number,
  to: number,
  steps: number = integral.steps,
): number => {
  const h = (to - from) / steps;
  let sum = f(from) + f(to);
  for (let k = 1; k < steps; k++) sum += (k % 2 === 1 ? 4 : 2) * f(from + k * h);
  return (sum * h) / 3;
};

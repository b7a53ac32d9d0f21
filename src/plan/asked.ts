import {
  type DecisionRule,
  type Limits,
  uncertaintyThatProves,
  verdictOf,
} from "../placement/decide/conformance.ts";
import type { Check } from "../placement/sheet/sheet.ts";
import { limitsOf } from "../placement/sheet/sheet.ts";

/** What a check asks for; deviations are null where that side is open. */
type Asking = Pick<Check, "required" | "lowerDeviation" | "upperDeviation">;

/**
 * Largest standard uncertainty with which a check can be proven while the stand stands anywhere in
 * the inner half of its tolerance: a technician gets it there by hand. Infinity where the sheet
 * leaves so much room that any measurement does.
 */
export const sdAsked = (check: Asking, rule: DecisionRule): number => {
  const limits = limitsOf(check);
  const value = innerHalfEnd(check.required, limits);
  return value === null ? Number.POSITIVE_INFINITY : uncertaintyThatProves(value, limits, rule);
};

/** The end of the inner half of a tolerance; with one limit, half-way from the required value to it. */
const innerHalfEnd = (required: number, { lower, upper }: Limits): number | null => {
  if (lower !== null && upper !== null) return (lower + 3 * upper) / 4;
  const limit = lower ?? upper;
  return limit === null || limit === required ? null : (required + limit) / 2;
};

/** The same once a value is measured: less is asked where this value is decided already. */
export const sdAskedAt = (check: Asking, rule: DecisionRule, value: number): number =>
  Math.max(sdAsked(check, rule), sdThatDecides(value, limitsOf(check), rule));

/** Largest standard uncertainty with which this value is proven to meet, or to miss. */
const sdThatDecides = (value: number, limits: Limits, rule: DecisionRule): number => {
  const proves = uncertaintyThatProves(value, limits, rule);
  if (proves > 0) return proves;
  const decides = (sd: number) => verdictOf(value, sd, limits, rule) === "misses";
  // Far beyond the distance to the limit everything spreads so widely that little of it is inside.
  const outside = Math.max((limits.lower ?? value) - value, value - (limits.upper ?? value));
  let [low, high] = [0, outside];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (decides(middle)) low = middle;
    else high = middle;
  }
  return low;
};

import {
  type DecisionRule,
  type Limits,
  uncertaintyThatProves,
  verdictOf,
} from "../placement/decide/conformance.ts";
import type { Check } from "../placement/sheet/sheet.ts";
import { limitsOf } from "../placement/sheet/sheet.ts";

/**
 * Largest standard uncertainty with which a check can be proven while the stand stands anywhere in
 * the inner half of its tolerance: a technician gets it there by hand. Infinity where the sheet
 * leaves so much room that any measurement does.
 */
export const sdAsked = (check: Check, rule: DecisionRule): number => {
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
export const sdAskedAt = (check: Check, rule: DecisionRule, value: number): number =>
  Math.max(sdAsked(check, rule), sdThatDecides(value, limitsOf(check), rule));

/** Largest standard uncertainty with which this value is proven to meet, or to miss. */
const sdThatDecides = (value: number, limits: Limits, rule: DecisionRule): number => {
  const proves = uncertaintyThatProves(value, limits, rule);
  if (proves > 0) return proves;
  const decides = (sd: number) => verdictOf(value, sd, limits, rule) === "misses";
  let [low, high] = [0, 1e4];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (decides(middle)) low = middle;
    else high = middle;
  }
  return low;
};

/** Whether the number of photos is all right as far as this check goes: nothing else may be asked. */
export const isDecided = (
  check: Check,
  rule: DecisionRule,
  { value, sd }: { readonly value: number; readonly sd: number },
): boolean => sd <= sdAskedAt(check, rule, value) * (1 + 1e-9);

import type { Said } from "../../say/remark.ts";
import { amount } from "../words/words.ts";

export type CrossCode = "cross-agree" | "cross-disagree";

/**
 * Comparing one of our values with a reading by other means, typed in with its own uncertainty.
 *
 * En = (x - X) / sqrt(U_x^2 + U_X^2) with expanded uncertainties (k = 2 or 95 %); the two agree
 * where |En| <= 1 (ISO/IEC 17043 annex B; ISO 13528, clause 9).
 */
export interface Reading {
  readonly value: number;
  /** Expanded uncertainty, about 95 %, same unit. */
  readonly expanded: number;
}

export interface CrossCheck {
  readonly en: number;
  readonly agree: boolean;
  readonly sentence: string;
  readonly said: Said<CrossCode>;
}

/**
 * Compares our value with a reading by `by` (tape, laser), both in `unit`. Throws where neither has
 * an uncertainty.
 */
export const crossCheck = (
  measured: Reading,
  other: Reading,
  unit: "mm" | "deg",
  by: string,
): CrossCheck => {
  const together = Math.hypot(measured.expanded, other.expanded);
  if (!(together > 0)) {
    throw new RangeError("A cross-check needs an uncertainty on at least one side.");
  }
  const en = (measured.value - other.value) / together;
  const agree = Math.abs(en) <= 1;
  const gap = amount(measured.value - other.value, unit);
  const room = amount(together, unit);
  return {
    en,
    agree,
    said: {
      code: agree ? "cross-agree" : "cross-disagree",
      values: { by, gap: Math.abs(measured.value - other.value), room: together, unit, en },
    },
    sentence: agree
      ? `Agrees with ${by}: ${gap} apart, within the ${room} that both uncertainties allow ` +
        `(En ${en.toFixed(2)}).`
      : `Does not agree with ${by}: ${gap} apart, more than the ${room} that both uncertainties ` +
        `allow (En ${en.toFixed(2)}). One of the two is wrong or surer than it should be; measure ` +
        "both again.",
  };
};

import { type LengthUnit, mmPerInch } from "../i18n/units.ts";

/** Numbers behind the drawings: where things fall on paper, and rounding that people expect. */

export interface Range {
  readonly low: number;
  readonly high: number;
}

/** Smallest range that holds all finite values, widened by a share on both sides. */
export function rangeOf(values: readonly number[], margin: number): Range {
  const finite = values.filter(Number.isFinite);
  const low = Math.min(...finite);
  const high = Math.max(...finite);
  const pad = (high - low || 1) * margin;
  return { low: low - pad, high: high + pad };
}

/** Largest of 1, 2, 5 x 10^n that is not above `value`. */
export function roundStep(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const lead = value / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}

/** Length for a scale bar, mm: round in the unit that it is labelled with, not above `lengthMm`. */
export function roundLength(lengthMm: number, unit: LengthUnit): number {
  if (unit === "mm") {
    return roundStep(lengthMm);
  }
  const inches = lengthMm / mmPerInch;
  // Below an inch a rule is divided by halves.
  const halves = unit === "inch16" && inches < 1 ? 2 ** Math.floor(Math.log2(inches)) : null;
  return (halves ?? roundStep(inches)) * mmPerInch;
}

/** Half axes (1 sigma) and turn of the ellipse of a 2 x 2 covariance, turn from the first axis. */
export function ellipseOf(covariance: readonly number[]): {
  readonly major: number;
  readonly minor: number;
  readonly turn: number;
} {
  const [a, b, , d] = covariance;
  const mean = (a + d) / 2;
  const spread = Math.hypot((a - d) / 2, b);
  return {
    major: Math.sqrt(Math.max(0, mean + spread)),
    minor: Math.sqrt(Math.max(0, mean - spread)),
    turn: 0.5 * Math.atan2(2 * b, a - d),
  };
}

/** sqrt of the 95 % point of chi-square with two degrees of freedom (-2 ln 0.05). */
export const ellipse95 = Math.sqrt(-2 * Math.log(0.05));

import { sayableProbability } from "../placement/words.ts";

/**
 * Numbers as people read and type them. Inside the app everything is millimetres and degrees; this
 * module turns them into the chosen display units and back.
 */

export type LengthUnit = "mm" | "inch" | "inch16";
export type AngleUnit = "deg" | "mm/m";
export type Quantity = "length" | "angle" | "plain";

export interface Units {
  readonly length: LengthUnit;
  readonly angle: AngleUnit;
}

/** International inch, exact by definition (1959 agreement). */
const mmPerInch = 25.4;

/** Display value and unit symbol of a length in mm or an angle in degrees. */
export function toDisplay(
  value: number,
  quantity: Quantity,
  units: Units,
): { readonly value: number; readonly symbol: string } {
  if (quantity === "length") {
    return units.length === "mm"
      ? { value, symbol: "mm" }
      : { value: value / mmPerInch, symbol: "in" };
  }
  if (quantity === "angle") {
    return units.angle === "deg"
      ? { value, symbol: "°" }
      : { value: Math.tan((value * Math.PI) / 180) * 1000, symbol: "mm/m" };
  }
  return { value, symbol: "" };
}

/** Inverse of {@link toDisplay}: what was typed in the display unit, in mm or degrees. */
export function fromDisplay(value: number, quantity: Quantity, units: Units): number {
  if (quantity === "length" && units.length !== "mm") {
    return value * mmPerInch;
  }
  if (quantity === "angle" && units.angle === "mm/m") {
    return (Math.atan(value / 1000) * 180) / Math.PI;
  }
  return value;
}

/**
 * Reads a typed number with a decimal comma or point, a leading sign and inch fractions such as
 * `59 1/16` or `3/8`. Grouping marks are refused, because 1.234 and 1,234 mean different things to
 * different people. Returns null for an empty or unreadable entry.
 */
export function parseNumber(text: string): number | null {
  const tidy = text.trim().replace(/−/g, "-").replace(/\s+/g, " ");
  const fraction = /^([+-]?)(?:(\d+) )?(\d+)\/(\d+)$/.exec(tidy);
  if (fraction) {
    const [, sign, whole, top, bottom] = fraction;
    const size = Number(whole ?? 0) + Number(top) / Number(bottom);
    return Number.isFinite(size) ? (sign === "-" ? -size : size) : null;
  }
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(tidy)) {
    return null;
  }
  return Number(tidy.replace(",", "."));
}

/** Nearest sixteenth of an inch as `59 1/16`, `3/8` or `0`. */
export function asSixteenths(inches: number): string {
  const sixteenths = Math.round(Math.abs(inches) * 16);
  const sign = inches < 0 && sixteenths > 0 ? "−" : "";
  const whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16;
  let bottom = 16;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  if (top === 0) {
    return `${sign}${whole}`;
  }
  return `${sign}${whole > 0 ? `${whole} ` : ""}${top}/${bottom}`;
}

/** Number formatting for one language. */
export function formatNumber(value: number, decimals: number, locale: string): string {
  const text = new Intl.NumberFormat(locale, {
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
    useGrouping: false,
  }).format(value);
  return text.replace("-", "−").replace(/^−(0([.,]0*)?)$/, "$1");
}

/**
 * A measured value with its unit. `decimals` counts for mm and degrees; inches get two more
 * (0.01 mm is 0.0004 in) and mm per metre one fewer (0.01 degrees is 0.17 mm per metre).
 */
export function formatQuantity(
  value: number,
  quantity: Quantity,
  decimals: number,
  units: Units,
  locale: string,
): string {
  const shown = toDisplay(value, quantity, units);
  if (quantity === "length" && units.length === "inch16") {
    return `${asSixteenths(shown.value)} in`;
  }
  const extra = shown.symbol === "in" ? (decimals === 0 ? 1 : 2) : shown.symbol === "mm/m" ? -1 : 0;
  const digits = Math.min(4, Math.max(0, decimals + extra));
  const gap = shown.symbol === "°" || shown.symbol === "" ? "" : " ";
  return `${formatNumber(shown.value, digits, locale)}${gap}${shown.symbol}`;
}

/** A probability in percent, in the language's own form: "> 99.9 %", "93.4 %". */
export function formatProbability(probability: number, locale: string): string {
  const percent = new Intl.NumberFormat(locale, { style: "percent", maximumFractionDigits: 1 });
  const { bound, share } = sayableProbability(probability);
  return `${bound ? { over: "> ", under: "< " }[bound] : ""}${percent.format(share)}`;
}

import type { Degrees, Millimetres } from "../../maths/units.ts";
import { shownProbability } from "../../say/probability.ts";

/**
 * Numbers as people read and type them. Inside the app everything is millimetres and degrees; this
 * module turns them into the chosen display units and back.
 */

export type LengthUnit = "mm" | "inch" | "inch16";
export type AngleUnit = "deg" | "mm/m";
export type Quantity = "length" | "angle" | "plain";

/** What is shown with a unit: the engine's radians and pixels are turned into these before. */
export type Shown = Millimetres | Degrees;

export interface Units {
  readonly length: LengthUnit;
  readonly angle: AngleUnit;
}

/** International inch, exact by definition (1959 agreement). */
export const mmPerInch = 25.4;

/** Display value and unit symbol of a length in mm or an angle in degrees. */
export function toDisplay(
  value: Shown,
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

/**
 * True for an entry such as `2,500` where this language would write two thousand five hundred so: it
 * is read as two and a half, and that has to be said.
 */
export function looksGrouped(text: string, locale: string): boolean {
  const grouping = new Intl.NumberFormat(locale, { useGrouping: true })
    .formatToParts(1234567)
    .find((part) => part.type === "group")?.value;
  const entry = /^[+\-−]?[1-9]\d{0,2}([.,])\d{3}$/.exec(text.trim());
  return entry !== null && entry[1] === grouping;
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

/** Half a sixteenth of an inch: what is smaller would be rounded to nothing. */
const halfSixteenth = 1 / 32;
/** What was typed in sixteenths comes back from millimetres within this, inch. */
const sixteenthTolerance = 1e-6;

/** Decimals in the chosen unit for `decimals` in mm or degrees. */
function digitsFor(decimals: number, symbol: string): number {
  // 0.01 in is a quarter of a millimetre; 0.01 degrees are 0.17 mm per metre.
  const extra = symbol === "in" ? 2 : symbol === "mm/m" ? -1 : 0;
  return Math.min(4, Math.max(0, decimals + extra));
}

function withUnit(value: number, digits: number, symbol: string, locale: string): string {
  const gap = symbol === "\u00b0" || symbol === "" ? "" : " ";
  return `${formatNumber(value, digits, locale)}${gap}${symbol}`;
}

const isSixteenths = (inches: number): boolean =>
  Math.abs(inches - Math.round(inches * 16) / 16) < sixteenthTolerance;

/**
 * An amount that a hand sets, with its unit. `decimals` counts for mm and degrees. Sixteenths of an
 * inch are rounded to the nearest; what would become nothing by that is shown in decimals.
 */
export function formatQuantity(
  value: Shown,
  quantity: Quantity,
  decimals: number,
  units: Units,
  locale: string,
): string {
  const shown = toDisplay(value, quantity, units);
  const vanishes = shown.value !== 0 && Math.abs(shown.value) < halfSixteenth;
  if (quantity === "length" && units.length === "inch16" && !vanishes) {
    return `${asSixteenths(shown.value)} in`;
  }
  return withUnit(shown.value, digitsFor(decimals, shown.symbol), shown.symbol, locale);
}

/** A measured value: decimals in every unit, for a sixteenth of an inch is coarser than the measurement. */
export function formatMeasured(
  value: Shown,
  quantity: Quantity,
  decimals: number,
  units: Units,
  locale: string,
): string {
  const shown = toDisplay(value, quantity, units);
  return withUnit(shown.value, digitsFor(decimals, shown.symbol), shown.symbol, locale);
}

/** Beyond these a small number is only said to be smaller. */
const mostExtraDigits = 2;

/** An uncertainty, as {@link formatMeasured}, with more decimals where it would read as nothing. */
export function formatUncertainty(
  value: Shown,
  quantity: Quantity,
  decimals: number,
  units: Units,
  locale: string,
): string {
  const { value: shown, symbol } = toDisplay(value, quantity, units);
  const usual = digitsFor(decimals, symbol);
  const size = Math.abs(shown);
  if (size === 0 || size >= 0.5 * 10 ** -usual) {
    return formatMeasured(value, quantity, decimals, units, locale);
  }
  const digits = Math.min(usual + mostExtraDigits, Math.ceil(-Math.log10(2 * size)));
  return size < 0.5 * 10 ** -digits
    ? `<\u00a0${withUnit(10 ** -digits, digits, symbol, locale)}`
    : withUnit(shown, digits, symbol, locale);
}

/**
 * A number that somebody stated, for instance a limit: with the decimals that it was typed with, and
 * with enough of them where it was typed in another unit.
 */
export function formatStated(
  value: Shown,
  quantity: Quantity,
  units: Units,
  locale: string,
): string {
  const shown = toDisplay(value, quantity, units);
  if (quantity === "length" && units.length === "inch16" && isSixteenths(shown.value)) {
    return `${asSixteenths(shown.value)} in`;
  }
  const most = shown.symbol === "mm/m" ? 2 : 3;
  const digits = [0, 1, 2].find((count) => isRound(shown.value, count)) ?? most;
  return withUnit(shown.value, Math.min(digits, most), shown.symbol, locale);
}

const fileUnits: Units = { length: "mm", angle: "deg" };

/**
 * As {@link formatStated}, with the number as files hold it behind it where another unit is chosen:
 * `0.197 in (5 mm)`. A limit converted alone would no longer be the limit that was stated.
 */
export function formatStatedBoth(
  value: Shown,
  quantity: Quantity,
  units: Units,
  locale: string,
): string {
  const chosen = formatStated(value, quantity, units, locale);
  const inFile = formatStated(value, quantity, fileUnits, locale);
  return chosen === inFile ? chosen : `${chosen} (${inFile})`;
}

/** True where no more decimals were typed; what went through another unit comes back a little off. */
const isRound = (value: number, digits: number): boolean =>
  Math.abs(value - Number(value.toFixed(digits))) < 1e-9 * Math.max(1, Math.abs(value));

/** An amount for the hand with the measured value behind it: `98 3/4 in (98.720 in)`. */
export function formatBoth(
  value: Shown,
  quantity: Quantity,
  decimals: number,
  units: Units,
  locale: string,
): string {
  const hand = formatQuantity(value, quantity, decimals, units, locale);
  const measured = formatMeasured(value, quantity, decimals, units, locale);
  return hand === measured ? hand : `${hand} (${measured})`;
}

/** A share of 1 in percent, with a space before the sign in every language (ISO 80000-1). */
export function formatPercent(share: number, decimals: number, locale: string): string {
  const text = new Intl.NumberFormat(locale, {
    maximumFractionDigits: decimals,
    useGrouping: false,
  }).format(100 * share);
  return `${text}\u00a0%`;
}

/** A probability in percent, in the language's own form: "> 99.9 %", "93.4 %". */
export function formatProbability(probability: number, locale: string): string {
  const { bound, share } = shownProbability(probability);
  const sign = bound ? { over: ">\u00a0", under: "<\u00a0" }[bound] : "";
  return `${sign}${formatPercent(share, 1, locale)}`;
}

/** The distance at which a share of error is given: 4 m, in the chosen unit. */
export const farMm = 4000;
export const farWords = (units: Units, locale: string): string =>
  units.length === "mm"
    ? `${farMm / 1000}\u00a0m`
    : `${formatNumber(farMm / (12 * mmPerInch), 1, locale)}\u00a0ft`;

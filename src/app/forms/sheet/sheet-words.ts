import { type CheckDraft, limitOnly, toleranceWay } from "../../../placement/sheet/draft.ts";
import { limitsOf, unitOf } from "../../../placement/sheet/sheet.ts";
import type { AppContextValue } from "../../context/app-context.ts";
import type { Quantity } from "../../i18n/units.ts";
import { sidesOf } from "../../i18n/words.ts";

/** Words for the numbers of a sheet: sides instead of signs, tolerances as a maker's page has them. */
type Words = Pick<AppContextValue, "t" | "showStated">;

export const quantityOfCheck = (check: Pick<CheckDraft, "kind">): Quantity =>
  unitOf(check.kind) === "mm" ? "length" : "angle";

/** A, B, C … as balloons on a drawing; after Z come AA, AB. */
export const letterOf = (at: number): string =>
  at < 26
    ? String.fromCharCode(65 + at)
    : `${letterOf(Math.floor(at / 26) - 1)}${letterOf(at % 26)}`;

/** "140 mm right", "0 mm", "2500 mm": the required value alone. */
export function valueInWords(check: CheckDraft, { t, showStated }: Words): string {
  if (check.required === null) {
    return t("sheet.valueMissing");
  }
  const quantity = quantityOfCheck(check);
  const pair = sheetSides(check.kind, t);
  const amount = showStated(Math.abs(check.required), quantity);
  if (!pair || check.required === 0) {
    return pair ? amount : showStated(check.required, quantity);
  }
  return `${amount} ${check.required > 0 ? pair.positive : pair.negative}`;
}

/** The whole number with its tolerance: "2500 mm ± 10 mm", "at most 12 mm". */
export function checkWords(check: CheckDraft, words: Words): string {
  const { t, showStated } = words;
  const quantity = quantityOfCheck(check);
  const way = toleranceWay(check);
  const value = valueInWords(check, words);
  if (check.required === null) {
    return value;
  }
  const { lower, upper } = limitsOf({ ...check, required: check.required });
  const only = limitOnly[check.kind];
  if (only && way === only) {
    const limit = (only === "at most" ? upper : lower) ?? 0;
    return t(only === "at most" ? "sheet.atMost" : "sheet.atLeast", {
      amount: showStated(limit, quantity),
    });
  }
  switch (way) {
    case null:
      return `${value}, ${t("sheet.toleranceMissing")}`;
    case "plus-minus":
      return `${value} ± ${showStated(check.upperDeviation ?? 0, quantity)}`;
    case "two sides":
      return `${value} ${t("sheet.plusAndMinus", {
        more: showStated(check.upperDeviation ?? 0, quantity),
        less: showStated(-(check.lowerDeviation ?? 0), quantity),
      })}`;
    case "at most":
      return `${value}, ${t("sheet.atMost", { amount: showStated(upper ?? 0, quantity) })}`;
    case "at least":
      return `${value}, ${t("sheet.atLeast", { amount: showStated(lower ?? 0, quantity) })}`;
  }
}

/** Kinds whose sign is asked for as a side; distances only get one where they may lie behind. */
export function sheetSides(
  kind: CheckDraft["kind"],
  t: AppContextValue["t"],
): { readonly positive: string; readonly negative: string } | null {
  switch (kind) {
    case "distance":
    case "mat corner along":
      return { positive: t("side.ahead"), negative: t("side.behind") };
    case "floor slope":
      return { positive: t("side.rising"), negative: t("side.falling") };
    default:
      return sidesOf(kind, t);
  }
}

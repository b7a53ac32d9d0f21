import type { AppContextValue } from "../context/app-context.ts";

/** What a paper needs of the app: words, numbers and dates in the reader's language and units. */
export type PaperWords = Pick<
  AppContextValue,
  | "t"
  | "locale"
  | "units"
  | "show"
  | "showMeasured"
  | "showUncertainty"
  | "showBoth"
  | "showStated"
  | "say"
  | "sayRemark"
>;

/** Date and time in the zone of the record, with the zone's name: "15 Jan 2026, 12:00 GMT+1"; short without. */
export function whenIn(
  iso: string,
  timeZone: string,
  locale: string,
  { short = false }: { readonly short?: boolean } = {},
): string {
  const style = short
    ? ({ dateStyle: "short", timeStyle: "medium" } as const)
    : ({ dateStyle: "medium", timeStyle: "long" } as const);
  try {
    return new Intl.DateTimeFormat(locale, { ...style, timeZone }).format(new Date(iso));
  } catch {
    // A zone that this device does not know.
    return iso;
  }
}

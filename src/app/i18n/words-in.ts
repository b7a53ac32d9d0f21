import type { Settings } from "../store/database/schema.ts";
import { sayingsIn } from "./speech.ts";
import { fill, type Spoken, type Translate } from "./translate.ts";
import {
  formatBoth,
  formatMeasured,
  formatQuantity,
  formatStated,
  formatUncertainty,
  type Quantity,
} from "./units.ts";

/** Words, numbers and units of one reader; screens and papers speak with them. */
export function wordsIn(
  spoken: Spoken,
  chosen: Pick<Settings, "length" | "angle">,
  locale: string,
) {
  const units = { length: chosen.length, angle: chosen.angle };
  const t: Translate = (key, parameters) => fill(spoken.texts[key], parameters);
  const showBy =
    (format: typeof formatQuantity) => (amount: number, quantity: Quantity, decimals: number) =>
      format(amount, quantity, decimals, units, locale);
  const showUncertainty = showBy(formatUncertainty);
  return {
    t,
    locale,
    units,
    show: showBy(formatQuantity),
    showMeasured: showBy(formatMeasured),
    showUncertainty,
    showBoth: showBy(formatBoth),
    showStated: (amount: number, quantity: Quantity) =>
      formatStated(amount, quantity, units, locale),
    ...sayingsIn(spoken, t, locale, units, showUncertainty),
  };
}

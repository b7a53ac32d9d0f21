import { fromDisplay, mmPerInch, parseNumber, type Quantity, type Units } from "./units.ts";

/**
 * Reads what a hand types into a number field: plain numbers in the chosen unit, and numbers that
 * carry their own unit or mark, for instance 98 7/16", 98-7/16, 8' 2 7/16", 2.5 m or 0° 30'.
 */

/** A foot is twelve inches (international yard and pound agreement, 1959). */
const inchesPerFoot = 12;

const vulgar: Readonly<Record<string, string>> = {
  "½": "1/2",
  "¼": "1/4",
  "¾": "3/4",
  "⅛": "1/8",
  "⅜": "3/8",
  "⅝": "5/8",
  "⅞": "7/8",
};

/** One spelling for every mark, minus and space that keyboards produce. */
const tidied = (text: string): string =>
  text
    .trim()
    .replace(/[½¼¾⅛⅜⅝⅞]/g, (mark) => ` ${vulgar[mark]}`)
    .replace(/−/g, "-")
    .replace(/[’‘′´]/g, "'")
    .replace(/[”“″]|''/g, '"')
    .replace(/º/g, "°")
    .replace(/\s+/g, " ")
    .replace(/(\d)-(\d+\/\d+)/g, "$1 $2")
    .trim();

const inchMark = String.raw`\s?(?:"|in(?:ch(?:es)?)?\.?|pulg(?:adas?)?\.?)`;
const footMark = String.raw`\s?(?:'|ft\.?|f(?:oo|ee)t|pies?)`;
const amount = String.raw`\d[\d.,]*(?: \d+\/\d+)?|\d+\/\d+|[.,]\d+`;
const feet = new RegExp(
  `^(\\d[\\d.,]*)${footMark}(?:\\s?-?\\s?(${amount})(?:${inchMark})?)?$`,
  "i",
);
const inches = new RegExp(`^(${amount})${inchMark}$`, "i");
const metric = /^(\d[\d.,]*|[.,]\d+)\s?(mm|cm|m)$/i;
const mmOf: Readonly<Record<string, number>> = { mm: 1, cm: 10, m: 1000 };
const angle = /^(\d[\d.,]*|[.,]\d+)\s?(°|deg|degrees?|grados?|mm\/m)$/i;
const minutes = /^(\d+)\s?°\s?(\d[\d.,]*)\s?'$/;

/** Millimetres, degrees or a plain number; null for an empty or unreadable entry. */
export function readTyped(text: string, quantity: Quantity, units: Units): number | null {
  const tidy = tidied(text);
  const sign = tidy.startsWith("-") ? -1 : 1;
  const size = tidy.replace(/^[+-]\s?/, "");
  if (/^[+-]/.test(size)) {
    return null;
  }
  const marked =
    quantity === "length"
      ? lengthWithUnit(size)
      : quantity === "angle"
        ? angleWithUnit(size, units)
        : null;
  if (marked !== null) {
    return sign * marked;
  }
  const plain = parseNumber(size);
  return plain === null ? null : sign * fromDisplay(plain, quantity, units);
}

function lengthWithUnit(size: string): number | null {
  const inFeet = feet.exec(size);
  if (inFeet) {
    const whole = parseNumber(inFeet[1]);
    const rest = inFeet[2] === undefined ? 0 : parseNumber(inFeet[2]);
    return whole === null || rest === null ? null : (whole * inchesPerFoot + rest) * mmPerInch;
  }
  const inInches = inches.exec(size);
  if (inInches) {
    const value = parseNumber(inInches[1]);
    return value === null ? null : value * mmPerInch;
  }
  const inMetres = metric.exec(size);
  const value = inMetres ? parseNumber(inMetres[1]) : null;
  return inMetres && value !== null ? value * mmOf[inMetres[2].toLowerCase()] : null;
}

function angleWithUnit(size: string, units: Units): number | null {
  const parts = minutes.exec(size);
  if (parts) {
    const part = parseNumber(parts[2]);
    return part === null ? null : Number(parts[1]) + part / 60;
  }
  const marked = angle.exec(size);
  const value = marked ? parseNumber(marked[1]) : null;
  if (!marked || value === null) {
    return null;
  }
  const unit = marked[2].toLowerCase() === "mm/m" ? "mm/m" : "deg";
  return fromDisplay(value, "angle", { ...units, angle: unit });
}

/** A tolerance: the same without its sign, since "±10", "+/-10" and "10" mean one thing. */
export function readTolerance(text: string, quantity: Quantity, units: Units): number | null {
  const read = readTyped(text.trim().replace(/^(±|\+\s?\/?\s?[-−])\s?/, ""), quantity, units);
  return read === null || read < 0 ? null : read;
}

/** "2400 ± 5" in one field: a value and its tolerance. Null where it is not of that form. */
export function readValueAndTolerance(
  text: string,
  quantity: Quantity,
  units: Units,
): { readonly value: number; readonly tolerance: number } | null {
  const parts = /^(.+?)\s*(?:±|\+\s?\/\s?[-−])\s*(.+)$/.exec(text.trim());
  const value = parts ? readTyped(parts[1], quantity, units) : null;
  const tolerance = parts ? readTolerance(parts[2], quantity, units) : null;
  return value === null || tolerance === null ? null : { value, tolerance };
}

/** True for a fraction without a mark where millimetres are chosen: it was probably meant in inches. */
export const looksInches = (text: string, quantity: Quantity, units: Units): boolean =>
  quantity === "length" && units.length === "mm" && /\d\/\d+$/.test(tidied(text));

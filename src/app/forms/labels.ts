import { useApp } from "../context/app-context.ts";
import { en } from "../i18n/en/english.ts";
import { wordFor } from "../i18n/speech.ts";
import type { TextKey } from "../i18n/translate.ts";
import type { Quantity } from "../i18n/units.ts";
import type { JsonSchema } from "./json-schema.ts";
import type { Group } from "./node-props.ts";

/** Names, hints, units and summaries of fields that come from a schema. */

/** Kinds of checks whose numbers are angles. */
export const degreeKinds: ReadonlySet<string> = new Set([
  "yaw",
  "pitch",
  "roll",
  "bearing",
  "parallel",
  "floor slope",
]);

/** What names an entry: its own title, name, label, kind or id. */
export function titleOf(entry: unknown): string | null {
  if (typeof entry !== "object" || entry === null) {
    return null;
  }
  const group = entry as Group;
  for (const name of ["title", "label", "name", "id", "kind", "board"]) {
    if (group[name] !== undefined && group[name] !== "") {
      return String(group[name]);
    }
  }
  return null;
}

/** What a closed group says in short: its kind and numbers. */
export function useSummary(): (value: unknown) => string {
  const { t, showStated } = useApp();
  return (value) => {
    if (typeof value !== "object" || value === null) {
      return "";
    }
    const { kind, required, lowerDeviation, upperDeviation } = value as Group;
    const quantity: Quantity = degreeKinds.has(String(kind)) ? "angle" : "length";
    const number = (item: unknown) => (typeof item === "number" ? showStated(item, quantity) : "–");
    return [
      typeof kind === "string" ? wordFor(kind, t) : "",
      required === undefined
        ? ""
        : `${number(required)} (${number(lowerDeviation)} … ${number(upperDeviation)})`,
    ]
      .filter(Boolean)
      .join(" ");
  };
}

/** Names end in their unit: `standOffMm`, `tiltSdDeg`. */
export function quantityFor(name: string, hint: Quantity | null): Quantity {
  if (/mm$/i.test(name)) {
    return "length";
  }
  if (/deg$/i.test(name) || /^about[XYZ]$/.test(name)) {
    return "angle";
  }
  return hint && /^(required|lowerDeviation|upperDeviation|pitch)$/.test(name) ? hint : "plain";
}

/** Deviations, turns and coordinates: a keypad without a minus needs a key for it. */
export const mayBeNegative = (name: string): boolean =>
  /^(required|lowerDeviation|upperDeviation|pitch)$/.test(name) || /^about[XYZ]$/.test(name);

const has = (key: string): key is TextKey => key in en;

/** A field's name in the chosen language; new fields fall back to their name in plain words. */
export function useLabel(name: string): string {
  const { t } = useApp();
  const key = `field.${name}`;
  return has(key) ? t(key) : inWords(name);
}

/** The schema's own description, in the chosen language. */
export function useHint(schema: JsonSchema): string | undefined {
  const { sayHint } = useApp();
  return schema.description === undefined ? undefined : sayHint(schema.description);
}

/** `standOffSdMm` -> "Stand off sd". */
function inWords(name: string): string {
  const words = name
    .replace(/(Mm|Deg)$/, "")
    .replace(/([A-Z])/g, " $1")
    .toLowerCase();
  return words.charAt(0).toUpperCase() + words.slice(1);
}

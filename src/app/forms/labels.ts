import { useApp } from "../app-context.ts";
import { en } from "../i18n/en.ts";
import type { TextKey } from "../i18n/translate.ts";
import type { Quantity } from "../units.ts";
import type { JsonSchema } from "./json-schema.ts";

/** Names, hints, units and summaries of fields that come from a schema. */

type Group = Readonly<Record<string, unknown>>;

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

export function summaryOf(value: unknown): string {
  if (typeof value !== "object" || value === null) {
    return "";
  }
  const { kind, required, lowerDeviation, upperDeviation } = value as Group;
  return [kind, required, required !== undefined ? `(${lowerDeviation} … ${upperDeviation})` : ""]
    .filter((part) => part !== undefined && part !== "")
    .join(" ");
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

const has = (key: string): key is TextKey => key in en;

/** A field's name in the chosen language; new fields fall back to their name in plain words. */
export function useLabel(name: string): string {
  const { t } = useApp();
  const key = `field.${name}`;
  return has(key) ? t(key) : inWords(name);
}

/** The schema's own descriptions are English. */
export function useHint(schema: JsonSchema): string | undefined {
  const { locale } = useApp();
  return locale.startsWith("en") ? schema.description : undefined;
}

/** `standOffSdMm` -> "Stand off sd". */
function inWords(name: string): string {
  const words = name
    .replace(/(Mm|Deg)$/, "")
    .replace(/([A-Z])/g, " $1")
    .toLowerCase();
  return words.charAt(0).toUpperCase() + words.slice(1);
}

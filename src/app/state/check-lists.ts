import type { TextKey } from "../i18n/translate.ts";
import type { CheckState } from "../store/database/schema.ts";

/** Check lists of the stages. All of it is common practice without a source, and marked so. */
export const carChecks = [
  "procedure",
  "preScan",
  "tyres",
  "load",
  "suspension",
  "steering",
  "alignment",
  "sensor",
  "doors",
  "battery",
  "chocks",
] as const;

export const bayChecks = ["floor", "space", "metal", "pattern", "light", "stand"] as const;

export const recordChecks = ["nothingMoved", "postScan", "roadTest", "copy"] as const;

export type CheckName =
  | (typeof carChecks)[number]
  | (typeof bayChecks)[number]
  | (typeof recordChecks)[number];

export const checkKey = (name: CheckName): TextKey => `check.${name}`;

/** How many checks of a list are neither done nor marked as not applying. */
export function openCount(
  names: readonly CheckName[],
  states: Readonly<Record<string, CheckState>>,
): number {
  return names.filter((name) => (states[name]?.state ?? "open") === "open").length;
}

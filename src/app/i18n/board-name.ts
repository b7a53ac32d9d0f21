import { roleOf } from "../../boards/kit.ts";
import { sheetId } from "../../boards/sheet.ts";
import type { Translate } from "./translate.ts";

const roleKeys = {
  "wheel plate": "role.wheel",
  "floor point": "role.floor",
  stand: "role.stand",
  pointer: "role.pointer",
  "length bar": "role.bar",
} as const;

/** A role in words, also one that a job gave. */
export const roleName = (kind: string, t: Translate): string =>
  kind in roleKeys ? t(roleKeys[kind as keyof typeof roleKeys]) : kind;

/** What a board is for, from its id; null where the kit has no such board. */
export function boardRole(id: number, t: Translate): string | null {
  const role = roleOf(id);
  if (!role) {
    return null;
  }
  const wheel = role.kind === "wheel plate" ? `, ${t(`wheel.${role.wheel}`)}` : "";
  return `${t(roleKeys[role.kind])}${wheel}`;
}

/** "12 · floor point". */
export function boardName(id: number, t: Translate): string {
  if (id === sheetId) {
    return t("role.sheet");
  }
  const role = boardRole(id, t);
  return role ? `${id} · ${role}` : String(id);
}

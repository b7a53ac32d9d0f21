/**
 * Seals: hashes of the parts of a document, so that a change can be named ("the plate", "the check
 * distance") and not only noticed. They are the leaves of a hash tree of one level: the document's
 * own hash covers the seals, the seals cover the parts.
 */
import { canonicalText, type Json, type JsonObject } from "./canonical.ts";
import { hashOf, type Sha256 } from "./sha256.ts";

/** Parts longer than this, in characters of canonical JSON, are sealed member by member. */
const longestPart = 2000;

/** The document, its sections and their fields are sealed one by one, however short. */
const outerLevels = 3;

/** Path of a part (names and list places joined by "/") -> hash of its canonical JSON. */
export type Seals = Readonly<Record<string, Sha256>>;

/** RFC 6901 (JSON Pointer): "~" and "/" inside a name are written "~0" and "~1". */
const escaped = (name: string): string => name.replaceAll("~", "~0").replaceAll("/", "~1");
const unescaped = (name: string): string => name.replaceAll("~1", "/").replaceAll("~0", "~");

const isBranch = (value: Json): value is JsonObject | readonly Json[] =>
  typeof value === "object" && value !== null;

const membersOf = (value: JsonObject | readonly Json[]): [string, Json][] =>
  Array.isArray(value)
    ? value.map((item, i) => [String(i), item])
    : Object.entries(value as JsonObject);

/** Seals of a document; `value` must be plain JSON. */
export function sealsOf(value: Json): Seals {
  const seals: Record<string, Sha256> = {};
  const seal = (part: Json, path: string): void => {
    const text = canonicalText(part);
    const isOuter = path.split("/").length <= outerLevels;
    if (isBranch(part) && membersOf(part).length > 0 && (isOuter || text.length > longestPart)) {
      for (const [name, member] of membersOf(part)) seal(member, `${path}/${escaped(name)}`);
    } else seals[path] = hashOf(new TextEncoder().encode(text));
  };
  seal(value, "");
  return seals;
}

/** The part at a path, undefined where there is none. */
export function partAt(value: Json, path: string): Json | undefined {
  let part: Json | undefined = value;
  for (const name of path.split("/").slice(1).map(unescaped)) {
    if (part === undefined || !isBranch(part) || !Object.hasOwn(part, name)) return undefined;
    part = (part as Record<string, Json>)[name];
  }
  return part;
}

export interface BrokenSeal {
  readonly path: string;
  readonly how: "changed" | "missing" | "added";
}

/** Which parts are not as they were sealed; empty where all are. */
export function brokenSeals(value: Json, seals: Seals): BrokenSeal[] {
  const broken: BrokenSeal[] = Object.entries(seals).flatMap(([path, sealed]): BrokenSeal[] => {
    const part = partAt(value, path);
    if (part === undefined) return [{ path, how: "missing" }];
    const intact = hashOf(new TextEncoder().encode(canonicalText(part))) === sealed;
    return intact ? [] : [{ path, how: "changed" }];
  });
  return [...broken, ...unsealed(value, seals).map((path) => ({ path, how: "added" as const }))];
}

/** Paths of parts that no seal covers. */
function unsealed(value: Json, seals: Seals): string[] {
  const found: string[] = [];
  const branches = new Set(Object.keys(seals).flatMap(ancestorsOf));
  const look = (part: Json, path: string): void => {
    if (Object.hasOwn(seals, path)) return;
    if (!isBranch(part) || !branches.has(path)) found.push(path);
    else for (const [name, member] of membersOf(part)) look(member, `${path}/${escaped(name)}`);
  };
  for (const [name, member] of isBranch(value) ? membersOf(value) : []) {
    look(member, `/${escaped(name)}`);
  }
  return found;
}

/** "/a/b/c" -> "/a", "/a/b". */
const ancestorsOf = (path: string): string[] => {
  const names = path.split("/").slice(1, -1);
  return names.map((_, i) => `/${names.slice(0, i + 1).join("/")}`);
};

/**
 * What differs between two record contents, part by part: for revision 2 ("what changed") and for
 * comparing two records. Lists of named things (checks, photos, boards) are compared by name, so
 * that one photo more is one difference.
 */
import { canonicalText, type Json, plainCopy } from "./canonical.ts";
import type { Change, RecordContent } from "./revision.ts";

/** Parts that follow from others or only say how long something took. */
const leftOut = new Set(["timesMs", "covariance", "budget", "seals"]);

/** Values longer than this are named, not quoted. */
const longestQuote = 120;

/**
 * Differences from `before` to `after`, in the order of the content. Numbers of the engine that
 * follow from changed inputs are listed too: they are what a reader looks for.
 */
export function differences(before: RecordContent, after: RecordContent): Change[] {
  return compared(plainCopy(before) as unknown as Json, plainCopy(after) as unknown as Json, "");
}

function compared(was: Json | undefined, is: Json | undefined, path: string): Change[] {
  if (was !== undefined && is !== undefined && canonicalText(was) === canonicalText(is)) return [];
  if (was === undefined || was === null || is === undefined || is === null) {
    return [oneSided(was, is, path)];
  }
  const [a, b] = [membersByName(was), membersByName(is)];
  if (!a || !b) return [{ path, how: "changed", was: quoted(was), is: quoted(is) }];
  const names = [...new Set([...a.keys(), ...b.keys()])].filter((name) => !leftOut.has(name));
  return names.flatMap((name) => compared(a.get(name), b.get(name), `${path}/${name}`));
}

function oneSided(was: Json | undefined, is: Json | undefined, path: string): Change {
  const nothing = (value: Json | undefined) => value === undefined || value === null;
  if (nothing(was)) return { path, how: "added", is: quoted(is ?? null) };
  if (nothing(is)) return { path, how: "removed", was: quoted(was ?? null) };
  return { path, how: "changed", was: quoted(was ?? null), is: quoted(is ?? null) };
}

/** Members of an object or of a list of named things; null for plain values and plain lists. */
function membersByName(value: Json): Map<string, Json> | null {
  if (Array.isArray(value)) {
    const names = value.map(nameOf);
    const unique = new Set(names).size === names.length && !names.includes(null);
    return unique ? new Map(value.map((item, i) => [names[i] as string, item])) : null;
  }
  return typeof value === "object" && value !== null ? new Map(Object.entries(value)) : null;
}

/** What tells an item of a list from the others. */
function nameOf(item: Json): string | null {
  if (typeof item !== "object" || item === null || Array.isArray(item)) return null;
  const { id, key, name, list, from, to } = item as Record<string, Json>;
  if (typeof list === "string" && typeof name === "string") return `${list}: ${name}`;
  if (typeof from === "number" && typeof to === "number") return `${from} to ${to}`;
  const found = key ?? id ?? name;
  return typeof found === "string" || typeof found === "number" ? String(found) : null;
}

function quoted(value: Json): string {
  const text = typeof value === "string" ? value : canonicalText(value);
  return text.length > longestQuote ? `${text.slice(0, longestQuote)} …` : text;
}

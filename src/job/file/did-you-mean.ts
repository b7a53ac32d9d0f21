import { z } from "zod";

/** A sentence that suggests the nearest field name of a schema; empty where none is near. */
export const didYouMean = (wrong: string, schema: z.ZodType): string => {
  const known = fieldNames(schema);
  const best = known
    .map((name) => ({ name, edits: editDistance(wrong.toLowerCase(), name.toLowerCase()) }))
    .reduce((a, b) => (b.edits < a.edits ? b : a), { name: "", edits: Number.POSITIVE_INFINITY });
  return best.edits <= Math.max(1, wrong.length / 3) ? ` Did you mean "${best.name}"?` : "";
};

const namesOf = new WeakMap<z.ZodType, readonly string[]>();

/** Every field name anywhere in a schema. */
const fieldNames = (schema: z.ZodType): readonly string[] => {
  const known = namesOf.get(schema);
  if (known) return known;
  const names = new Set<string>();
  const visit = (node: unknown): void => {
    if (typeof node !== "object" || node === null) return;
    const { properties } = node as { properties?: Record<string, unknown> };
    for (const name of Object.keys(properties ?? {})) names.add(name);
    Object.values(node).forEach(visit);
  };
  visit(z.toJSONSchema(schema, { io: "input" }));
  namesOf.set(schema, [...names]);
  return [...names];
};

/** Fewest insertions, deletions and replacements between two words (Levenshtein 1966). */
const editDistance = (a: string, b: string): number => {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
    row = next;
  }
  return row[b.length];
};

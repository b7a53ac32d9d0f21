/**
 * Index objects, format "plumbshot-index", version 1. A device writes one after it has stored what it
 * names, so that what an index names is there. They are never changed; old ones are gathered into
 * fewer, which say what they stand for.
 */
import { z } from "zod";
import { type Json, plainCopy } from "../../record/canonical.ts";
import { sha256Schema } from "../../record/sha256.ts";
import { entrySchema, lanes } from "./entry.ts";

export const indexFormat = "plumbshot-index";

/** Entries in one object: some 500 bytes each, so half a megabyte at most. */
export const mostEntries = 1000;

/** Which of a device's index objects of a lane are in here: runs of numbers, both ends included. */
export const coversSchema = z.record(
  z.string(),
  z.array(z.tuple([z.number().int().min(1), z.number().int().min(1)])),
);
export type Covers = z.infer<typeof coversSchema>;

export const indexObjectSchema = z.object({
  format: z.literal(indexFormat),
  version: z.literal(1),
  lane: z.enum(lanes),
  covers: coversSchema.describe("device -> runs of its index objects that this one holds"),
  gathers: z.array(sha256Schema).describe("index objects that this one stands for; may be empty"),
  entries: z.array(entrySchema).max(mostEntries),
});
export type IndexObject = z.infer<typeof indexObjectSchema>;

export const newIndexObject = (
  fields: Pick<IndexObject, "lane" | "covers" | "entries"> & Partial<Pick<IndexObject, "gathers">>,
): IndexObject =>
  plainCopy({
    format: indexFormat,
    version: 1,
    gathers: [],
    ...fields,
  } as unknown as Json) as unknown as IndexObject;

/** Joins runs: {a: [[1, 2]]} and {a: [[3, 3], [7, 7]]} give {a: [[1, 3], [7, 7]]}. */
export function joinCovers(all: readonly Covers[]): Covers {
  const joined: Covers = {};
  for (const device of [...new Set(all.flatMap(Object.keys))].sort()) {
    const runs = all.flatMap((covers) => covers[device] ?? []).sort((a, b) => a[0] - b[0]);
    joined[device] = runs.reduce<[number, number][]>((out, [from, to]) => {
      const last = out.at(-1);
      if (last && from <= last[1] + 1) last[1] = Math.max(last[1], to);
      else out.push([from, to]);
      return out;
    }, []);
  }
  return joined;
}

/** Numbers that a device must have written and that are in none of what was read. */
export function gapsIn(covers: Covers): { readonly device: string; readonly number: number }[] {
  return Object.entries(covers).flatMap(([device, runs]) =>
    runs.flatMap(([from], i) => {
      const before = i === 0 ? 0 : runs[i - 1][1];
      return from > before + 1 ? [{ device, number: before + 1 }] : [];
    }),
  );
}

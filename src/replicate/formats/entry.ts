/**
 * What an index says of one object, so that lists need not read the objects. Objects are immutable
 * and named by the SHA-256 of their bytes; entries never change, so that merging is a union of sets.
 */
import { z } from "zod";
import { sha256Schema } from "../../record/sha256.ts";

/** What an object is. */
export const kinds = [
  "item",
  "removal",
  "job",
  "record",
  "signature",
  "job photo",
  "photo",
  "attachment",
] as const;
export type Kind = (typeof kinds)[number];

/**
 * Entries lie in three lanes, each with its own index: a van that needs only what the shop knows reads
 * `shop`; lists of records need `work`; who wants the photos reads `photos`.
 */
export const lanes = ["shop", "work", "photos"] as const;
export type Lane = (typeof lanes)[number];

export const laneOf = (kind: Kind): Lane => {
  if (kind === "item" || kind === "removal") return "shop";
  return kind === "photo" || kind === "attachment" ? "photos" : "work";
};

/** What a list of records shows and searches. */
export const recordSummarySchema = z.object({
  record: z.string(),
  number: z.number().int().min(1),
  closedAt: z.string().describe("ISO 8601, the device's own clock"),
  title: z.string(),
  plate: z.string(),
  vin: z.string(),
  vehicle: z.string(),
  customer: z.string(),
  technician: z.string(),
  outcome: z.string(),
  photos: z.number().int().nonnegative().describe("photos and attached files it rests on"),
});
export type RecordSummary = z.infer<typeof recordSummarySchema>;

/** First digits of a key's name: under which shop key an object is stored. */
export const keyIdSchema = z.string().regex(/^[0-9a-f]{8}$/, "8 hexadecimal digits");

export const entrySchema = z.object({
  kind: z.enum(kinds),
  sha256: sha256Schema,
  bytes: z.number().int().nonnegative().describe("length of the object before it is sealed"),
  key: keyIdSchema.describe("the shop key that it is sealed with"),
  of: z
    .string()
    .optional()
    .describe("what it belongs to: a record's SHA-256, a job, or an item as kind/id"),
  record: recordSummarySchema.optional(),
  removes: z.array(sha256Schema).optional().describe("objects that a removal ends for good"),
});
export type Entry = z.infer<typeof entrySchema>;

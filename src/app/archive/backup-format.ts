import { z } from "zod";
import { profileSchema } from "../../lens/profile.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { photoRecordSchema, settingsSchema } from "../store/database/schema.ts";
import { phoneLensSchema } from "../store/phone-lenses.ts";

/**
 * Everything that a device keeps, in one .zip of stored entries, format "plumbshot-backup", version 1:
 * `jobs/<id>.json`, the bytes of photos and attached files by their ids, closed revisions by their
 * hashes, `shop.json` for the rest, and last `backup.json`, which names every other entry with its size
 * and SHA-256. Findings and results are not in it: they are computed again. The key for signing is not:
 * the browser does not give it away.
 */
export const backupName = "backup.json";
export const shopName = "shop.json";
export const jobFile = (id: string): string => `jobs/${id}.json`;
export const photoFile = (id: string): string => `photos/${id}`;
export const attachmentFile = (id: string): string => `attachments/${id}`;
export const revisionFile = (sha256: Sha256): string => `revisions/${sha256}.json`;

export const backedJobSchema = z.object({
  /** Read by the store's own reader, which knows earlier versions. */
  record: z.unknown(),
  photos: z.array(photoRecordSchema),
  /** Results of steps that were left, by step id. */
  steps: z.record(z.string(), z.unknown()),
  /** Lenses of the other phones that worked on the job. */
  phones: z.array(phoneLensSchema).default([]),
});
export type BackedJob = z.infer<typeof backedJobSchema>;

const keyed = z.array(z.object({ key: z.string(), value: z.unknown() }));

export const backedShopSchema = z.object({
  settings: settingsSchema.partial(),
  profiles: z.array(z.object({ id: z.string(), profile: profileSchema })),
  /** Sheets, targets, covers: parsed by whoever reads them from the store, as ever. */
  sheets: keyed,
  targets: keyed,
  covers: keyed,
  /** Entries of closed revisions, deleted ones included. */
  entries: z.array(z.unknown()),
  signatures: z.array(z.string()),
});
export type BackedShop = z.infer<typeof backedShopSchema>;

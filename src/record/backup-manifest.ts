/**
 * List of contents of a backup of everything, format "plumbshot-backup", version 1: the last entry of a
 * .zip of stored entries. What the other entries hold is the app's own (`src/app/archive`); every byte
 * of them is vouched for here.
 */
import { z } from "zod";
import { sha256Schema } from "./sha256.ts";

export const backupManifestSchema = z.object({
  format: z.literal("plumbshot-backup"),
  version: z.literal(1),
  madeAt: z.string().describe("ISO 8601"),
  program: z.string(),
  files: z
    .record(z.string(), z.object({ bytes: z.number().int().min(0), sha256: sha256Schema }))
    .describe("every other entry of the archive, by path"),
});
export type BackupManifest = z.infer<typeof backupManifestSchema>;

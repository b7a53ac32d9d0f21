/**
 * Work that is not closed yet, shared by several phones. "plumbshot-shared-job" carries the job as its
 * program wrote it, once, when it is shared; "plumbshot-job-photo" says where a photo of it belongs.
 * The bytes of the photo are an object of their own.
 */
import { z } from "zod";
import { sha256Schema } from "../../record/sha256.ts";

export const sharedJobSchema = z.object({
  format: z.literal("plumbshot-shared-job"),
  version: z.literal(1),
  job: z.string().min(1).max(200),
  title: z.string(),
  device: z.string(),
  sharedAt: z.string(),
  value: z.unknown().describe("the job in the app's own format (plumbshot-app-job)"),
});
export type SharedJob = z.infer<typeof sharedJobSchema>;

export const jobPhotoSchema = z.object({
  format: z.literal("plumbshot-job-photo"),
  version: z.literal(1),
  job: z.string().min(1).max(200),
  device: z.string(),
  sha256: sha256Schema.describe("the photo's bytes"),
  bytes: z.number().int().nonnegative(),
  name: z.string().max(255),
  purpose: z.enum(["boards", "sheet", "target", "note"]),
  position: z.number().int().min(1),
  setup: z.number().int().min(1),
  epoch: z.enum(["before", "after"]),
  about: z.string(),
  addedAt: z.string(),
});
export type JobPhoto = z.infer<typeof jobPhotoSchema>;

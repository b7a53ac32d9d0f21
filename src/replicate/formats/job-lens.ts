/**
 * The lens of a phone that works on a shared job, "plumbshot-job-lens", version 1: one document each time
 * that the phone's lens changes, the newest of each phone counts. Its photos are then solved on every
 * phone with the lens that took them.
 */
import { z } from "zod";

export const jobLensSchema = z.object({
  format: z.literal("plumbshot-job-lens"),
  version: z.literal(1),
  job: z.string().min(1).max(200),
  device: z.string().min(1).describe("the phone, as its photos name it"),
  source: z.enum(["sheet photos", "saved profile"]),
  profile: z.unknown().describe("the lens in its own format (plumbshot-camera)"),
  since: z.string().describe("ISO 8601, the device's own clock"),
});
export type JobLens = z.infer<typeof jobLensSchema>;

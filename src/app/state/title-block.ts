import type { JobRecord } from "../store/database/schema.ts";

/** What the title block of a job says, on screens and paper. */

export const jobTitle = (job: JobRecord, untitled: string): string =>
  job.title || job.car.description || job.car.plate || untitled;

/** Why a car's sensors are calibrated. */
export const reasons = [
  "windscreen",
  "bumper",
  "sensor",
  "alignment",
  "collision",
  "fault",
  "software",
  "other",
] as const;
export type Reason = (typeof reasons)[number];

/** The text of a reason as it was stored; one of another version counts as "other". */
export const reasonKey = (reason: string) =>
  `reason.${reasons.find((item) => item === reason) ?? "other"}` as const;

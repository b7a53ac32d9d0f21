import type { JobFile } from "./job-file.ts";

/** The phone that the job names for a photo, or null where it says nothing. */
export const phoneOf = ({ phones }: Pick<JobFile, "phones">, photo: string): string | null =>
  phones.find(({ photos }) => photos.includes(photo))?.name ?? null;

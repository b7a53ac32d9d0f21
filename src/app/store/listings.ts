import { z } from "zod";
import { database, write } from "./database/database.ts";
import type { JobRecord } from "./database/schema.ts";

/**
 * What the list of jobs shows of a job, kept beside it so that a thousand jobs are listed without
 * reading one of them whole. It is written in the same transaction as whatever changes it.
 */
export const listedVerdicts = [
  "all meet",
  "some miss",
  "not proven",
  "to be measured again",
  "not measured",
] as const;
export type ListedVerdict = (typeof listedVerdicts)[number];

export const listedJobSchema = z.object({
  id: z.string(),
  title: z.string(),
  description: z.string(),
  plate: z.string(),
  vin: z.string(),
  customer: z.string(),
  technician: z.string(),
  createdAt: z.string(),
  updatedAt: z.string(),
  backedUpAt: z.string().nullable(),
  invented: z.boolean(),
  verdict: z.enum(listedVerdicts),
  /** The program that the verdict is of: another one would measure again. */
  engine: z.string(),
  /** The saved camera profile that the verdict rests on; without it, it is measured again. */
  profileId: z.string().nullable(),
});
export type ListedJob = z.infer<typeof listedJobSchema>;

/** A verdict with the program that gave it. */
export type EngineVerdict = Pick<ListedJob, "verdict" | "engine">;

export const notMeasured: EngineVerdict = { verdict: "not measured", engine: "" };

export const listedJob = (record: JobRecord, { verdict, engine }: EngineVerdict): ListedJob => ({
  id: record.id,
  title: record.title,
  description: record.car.description,
  plate: record.car.plate,
  vin: record.car.vin,
  customer: record.car.customer,
  technician: record.record.technician,
  createdAt: record.createdAt,
  updatedAt: record.updatedAt,
  backedUpAt: record.backedUpAt,
  invented: record.invented,
  verdict,
  engine,
  profileId: record.camera.source === "saved profile" ? record.camera.profileId : null,
});

/** What a job is called, by the first thing that is known of it. */
export const listedTitle = (job: ListedJob, untitled: string): string =>
  job.title || job.description || job.plate || untitled;

/** Ids of all stored jobs, and what is listed of those that have an entry that can be read. */
export async function storedListings(): Promise<{
  readonly ids: readonly string[];
  readonly listed: ReadonlyMap<string, ListedJob>;
}> {
  const transaction = (await database()).transaction(["jobs", "listings"]);
  const [ids, rows] = await Promise.all([
    transaction.objectStore("jobs").getAllKeys(),
    transaction.objectStore("listings").getAll(),
  ]);
  const listed = new Map<string, ListedJob>();
  for (const row of rows) {
    const parsed = listedJobSchema.safeParse(row);
    if (parsed.success) {
      listed.set(parsed.data.id, parsed.data);
    }
  }
  return { ids, listed };
}

/** Adds an entry that was missing; one that was written meanwhile is newer and stays. */
export async function addListing(listing: ListedJob): Promise<void> {
  await write(["jobs", "listings"], async ({ jobs, listings }) => {
    const present = listedJobSchema.safeParse(await listings.get(listing.id));
    if ((await jobs.getKey(listing.id)) !== undefined && !present.success) {
      await listings.put(listing, listing.id);
    }
  });
}

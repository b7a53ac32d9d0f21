import { z } from "zod";
import { all, database, write } from "./database/database.ts";
import { type MigrationOutcome, type RecordProblem, readJobRecord } from "./database/migrate.ts";
import { saving } from "./database/not-saved.ts";
import { attachmentsOf, deletedEntry } from "./database/revision-entry.ts";
import type { JobRecord } from "./database/schema.ts";
import { type EngineVerdict, type ListedJob, listedJob, listedJobSchema } from "./listings.ts";

/** Why a stored job cannot be opened. */
export interface UnreadableJob {
  readonly id: string;
  readonly reason: RecordProblem;
  readonly detail: string;
}

/** A stored job, why it cannot be read, or null where there is none. */
export async function readJob(id: string): Promise<MigrationOutcome | null> {
  const raw = await (await database()).get("jobs", id);
  return raw === undefined ? null : readJobRecord(raw);
}

export async function loadJob(id: string): Promise<JobRecord | null> {
  const outcome = await readJob(id);
  return outcome?.ok ? outcome.record : null;
}

/**
 * Before a record of an earlier program is written in the present form, the stored one is kept as it
 * was: to be called by the tab that holds the job.
 */
export const keepCopyOfEarlier = (id: string): Promise<void> =>
  saving("job", "", () =>
    write(["jobs", "copies"], async ({ jobs, copies }) => {
      const raw = await jobs.get(id);
      const outcome = readJobRecord(raw);
      if (outcome.ok && outcome.changed) {
        const { version } = raw as { version: unknown };
        await all([
          () => copies.put(raw, `${id}/version ${version}`),
          () => jobs.put(outcome.record, id),
        ]);
      }
    }),
  );

/** Committed at once, so that a page closed a moment later has it stored. */
export const saveJob = (record: JobRecord, verdict: EngineVerdict): Promise<void> =>
  saving("job", record.title, () =>
    write(["jobs", "listings"], async ({ jobs, listings }, transaction) => {
      await all([
        () => jobs.put(record, record.id),
        () => listings.put(listedJob(record, verdict), record.id),
        async () => transaction.commit(),
      ]);
    }),
  );

/**
 * Saves a job if the stored one is still the revision that the change began from; false where
 * another tab has written meanwhile, and then nothing is written. Only for browsers without Web
 * Locks: reading first costs the certainty of {@link saveJob} that a page closed a moment later has
 * it stored.
 */
export const saveJobIfUnchanged = (
  record: JobRecord,
  from: number,
  verdict: EngineVerdict,
): Promise<boolean> =>
  saving("job", record.title, () =>
    write(["jobs", "listings"], async ({ jobs, listings }) => {
      const stored = readJobRecord(await jobs.get(record.id));
      const unchanged = !stored.ok || stored.record.revision === from;
      if (unchanged) {
        await all([
          () => jobs.put(record, record.id),
          () => listings.put(listedJob(record, verdict), record.id),
        ]);
      }
      return unchanged;
    }),
  );

/** Says in the list what a job's verdict is now. */
export const saveListing = (listing: ListedJob): Promise<void> =>
  saving("job", listing.title, async () => {
    await (await database()).put("listings", listing, listing.id);
  });

/**
 * Notes when a job was saved as a file, whatever else was written to it meanwhile. Never earlier than
 * its last change, so that a clock that was set back does not ask for saving for ever.
 */
export const noteBackup = (id: string, now: string): Promise<void> =>
  saving("job", "", () =>
    write(["jobs", "listings"], async ({ jobs, listings }) => {
      const stored = readJobRecord(await jobs.get(id));
      if (stored.ok) {
        const backedUpAt = later(now, stored.record.updatedAt);
        const listed = listedJobSchema.safeParse(await listings.get(id));
        await jobs.put({ ...stored.record, backedUpAt }, id);
        if (listed.success) {
          await listings.put({ ...listed.data, backedUpAt }, id);
        }
      }
    }),
  );

/** The later of two ISO 8601 times in UTC. */
export const later = (a: string, b: string): string => (a > b ? a : b);

/**
 * Removes a job for good in one transaction: photos, findings, results, closed revisions with their
 * signatures, attached files. Of each revision only its number in the device's chain and its hash
 * stay, without a word of what it said, so that the chain of the others can still be verified.
 */
export const deleteJob = (id: string): Promise<void> =>
  saving("deletion", "", () => {
    const ofPhotos = ["photos", "photoBytes", "outcomes", "covers"] as const;
    const ofJob = ["results", "listings", "intake", "copies", "jobs"] as const;
    const ofRecord = ["revisions", "revisionEntries", "signatures", "attachments"] as const;
    return write([...ofPhotos, ...ofJob, ...ofRecord], async (stores) => {
      const photoIds = await stores.photos.index("jobId").getAllKeys(id);
      const hashes = await stores.revisionEntries.index("jobId").getAllKeys(id);
      const frozen = await Promise.all(hashes.map((hash) => stores.revisionEntries.get(hash)));
      const files = attachedSchema.safeParse(await stores.jobs.get(id)).data?.record.attachments;
      // The camera's answer, its advice and the results of single steps; copies of earlier records.
      const below = IDBKeyRange.bound(`${id}/`, `${id}/\uffff`);
      await all([
        ...photoIds.flatMap((photo) => ofPhotos.map((name) => () => stores[name].delete(photo))),
        ...ofJob.map((name) => () => stores[name].delete(id)),
        () => stores.results.delete(below),
        () => stores.copies.delete(below),
        ...hashes.flatMap((hash, i) => [
          () => stores.revisions.delete(hash),
          () => stores.signatures.delete(hash),
          () => stores.revisionEntries.put(deletedEntry(frozen[i]), hash),
        ]),
        ...[...(files ?? []), ...frozen.flatMap(attachmentsOf)].map(
          (file) => () => stores.attachments.delete(file.id),
        ),
      ]);
    });
  });

const attachedSchema = z.looseObject({
  record: z.looseObject({ attachments: z.array(z.looseObject({ id: z.string() })).default([]) }),
});

import { z } from "zod";
import { sha256Schema } from "../../record/sha256.ts";
import { all, database, write } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";
import { type RevisionEntry, revisionEntrySchema } from "./database/revision-entry.ts";
import { later } from "./jobs.ts";
import { listedJobSchema } from "./listings.ts";

/** When everything was backed up last, and which closed revisions were in it. */
const lastBackupSchema = z.object({
  version: z.literal(1),
  at: z.string(),
  revisions: z.array(sha256Schema),
});
export type LastBackup = z.infer<typeof lastBackupSchema>;

const key = "backup";

export async function lastBackup(): Promise<LastBackup | null> {
  return lastBackupSchema.safeParse(await (await database()).get("settings", key)).data ?? null;
}

export const noteFullBackup = (at: string, revisions: LastBackup["revisions"]): Promise<void> =>
  saving("settings", "", async () => {
    await (await database()).put("settings", { version: 1, at, revisions }, key);
  });

/**
 * Closed revisions that are on this device only: in no backup of everything, and closed after their
 * job was last saved as a file. Invented jobs do not count. Oldest first.
 */
export async function unsavedRevisions(): Promise<RevisionEntry[]> {
  const db = await database();
  const saved = new Set((await lastBackup())?.revisions);
  const listed = new Map(
    (await db.getAll("listings")).flatMap((raw) => {
      const { data } = listedJobSchema.safeParse(raw);
      return data ? [[data.id, data] as const] : [];
    }),
  );
  const isUnsaved = ({ sha256, jobId, closedAt }: RevisionEntry): boolean => {
    const job = listed.get(jobId);
    const asFile = job?.backedUpAt ? Date.parse(job.backedUpAt) >= Date.parse(closedAt) : false;
    return !saved.has(sha256) && !asFile && !job?.invented;
  };
  return (await db.getAll("revisionEntries"))
    .flatMap((raw) => revisionEntrySchema.safeParse(raw).data ?? [])
    .filter(isUnsaved)
    .sort((a, b) => Date.parse(a.closedAt) - Date.parse(b.closedAt));
}

/** Notes of all jobs at once that they are saved elsewhere. */
export const noteJobsBackedUp = (ids: readonly string[], at: string): Promise<void> =>
  saving("job", "", () =>
    write(["jobs", "listings"], async ({ jobs, listings }) => {
      const note = async (id: string) => {
        const raw = (await jobs.get(id)) as { updatedAt?: unknown } | undefined;
        const listed = listedJobSchema.safeParse(await listings.get(id));
        if (raw && typeof raw.updatedAt === "string") {
          const backedUpAt = later(at, raw.updatedAt);
          await jobs.put({ ...raw, backedUpAt }, id);
          if (listed.success) {
            await listings.put({ ...listed.data, backedUpAt }, id);
          }
        }
      };
      await all(ids.map((id) => () => note(id)));
    }),
  );

/** Empties every store in one transaction: jobs, photos, records, settings, the key. */
export const deleteEverything = (): Promise<void> =>
  saving("deletion", "", async () => {
    const names = [...(await database()).objectStoreNames];
    await write(names, async (stores) => {
      await all(names.map((name) => () => stores[name].clear()));
    });
  });

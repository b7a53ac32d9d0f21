import { database } from "../store/database/database.ts";
import {
  type RevisionEntry,
  readDeletedEntry,
  revisionEntrySchema,
} from "../store/database/revision-entry.ts";
import type { JobRecord } from "../store/database/schema.ts";
import { readJob } from "../store/jobs.ts";
import type { BackedUpJob, BackupContent } from "./read-backup.ts";

/**
 * What taking in a backup does to this device. Nothing that is here is lost: of a job that both have,
 * the one that was changed later stays; closed revisions are added, never changed; what was deleted
 * for good here stays deleted.
 */
export interface RestorePlan {
  readonly added: readonly BackedUpJob[];
  readonly replaced: readonly BackedUpJob[];
  /** Changed here after the backup: stay as they are here. */
  readonly kept: readonly JobRecord[];
  readonly leftDeleted: readonly JobRecord[];
  /** Entries of closed revisions that are not here. */
  readonly entries: readonly RevisionEntry[];
}

export async function planRestore(content: BackupContent): Promise<RestorePlan> {
  const here = await entriesHere();
  const ofJob = new Map<string, RevisionEntry[]>();
  for (const entry of content.entries) {
    ofJob.set(entry.jobId, [...(ofJob.get(entry.jobId) ?? []), entry]);
  }
  const added: BackedUpJob[] = [];
  const replaced: BackedUpJob[] = [];
  const kept: JobRecord[] = [];
  const leftDeleted: JobRecord[] = [];
  for (const job of content.jobs) {
    const { record } = job;
    const closed = ofJob.get(record.id) ?? [];
    const present = await readJob(record.id);
    if (present === null) {
      const deleted = closed.length > 0 && closed.every(({ sha256 }) => here.deleted.has(sha256));
      if (deleted) {
        leftDeleted.push(record);
      } else {
        added.push(job);
      }
    } else if (present.ok && present.record.updatedAt >= record.updatedAt) {
      if (present.record.updatedAt !== record.updatedAt) {
        kept.push(present.record);
      }
    } else {
      replaced.push(job);
    }
  }
  const entries = content.entries.filter(
    ({ sha256 }) => !here.present.has(sha256) && !here.deleted.has(sha256),
  );
  return { added, replaced, kept, leftDeleted, entries };
}

async function entriesHere() {
  const raw = await (await database()).getAll("revisionEntries");
  return {
    present: new Set(raw.flatMap((item) => revisionEntrySchema.safeParse(item).data?.sha256 ?? [])),
    deleted: new Set(raw.flatMap((item) => readDeletedEntry(item)?.sha256 ?? [])),
  };
}

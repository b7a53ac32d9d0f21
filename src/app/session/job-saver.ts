import type { JobRecord } from "../store/database/schema.ts";
import { saveJob, saveJobIfUnchanged } from "../store/jobs.ts";
import type { EngineVerdict } from "../store/listings.ts";

/** Writes one job's record, and notices where another tab has written it meanwhile. */
export class JobSaver {
  /** `revision` of the job as this tab last read or wrote it. */
  constructor(private revision: number) {}

  /** The job was read again: this is what later writes are compared with. */
  hasRead(record: JobRecord): void {
    this.revision = record.revision;
  }

  /**
   * Writes the record; false where another tab has written the job since. With Web Locks this tab is
   * the only one that writes; without them another may have written.
   */
  async save(record: JobRecord, verdict: EngineVerdict): Promise<boolean> {
    const from = this.revision;
    this.revision = record.revision;
    try {
      if (!("locks" in navigator)) {
        return await saveJobIfUnchanged(record, from, verdict);
      }
      await saveJob(record, verdict);
      return true;
    } catch (error) {
      this.revision = Math.min(this.revision, from);
      throw error;
    }
  }
}

import type { Result } from "../../job/result/result.ts";
import { database } from "./database.ts";
import type { StoredProfile } from "./jobs.ts";
import { stepKey } from "./kept-steps.ts";
import { listedJob, notMeasured } from "./listings.ts";
import { saving } from "./not-saved.ts";
import type { JobRecord, PhotoRecord } from "./schema.ts";
import { storable } from "./stored-blob.ts";

export interface ImportedPhoto {
  readonly photo: PhotoRecord;
  readonly blob: Blob;
}

export interface ImportedJob {
  readonly record: JobRecord;
  readonly photos: readonly ImportedPhoto[];
  /** A camera profile that is not on this device yet. */
  readonly profile: StoredProfile | null;
  /** Results of steps that were left, by step id. */
  readonly steps: ReadonlyMap<string, Result>;
}

/** Stores a whole job that came in a file: all of it or nothing. */
export const storeImportedJob = ({ record, photos, profile, steps }: ImportedJob): Promise<void> =>
  saving("job", record.title, async () => {
    const db = await database();
    const contents = [];
    for (const { photo, blob } of photos) {
      contents.push({ photo, content: await storable(db, blob) });
    }
    const stores = ["jobs", "listings", "photos", "photoBytes", "results", "profiles"] as const;
    const transaction = db.transaction(stores, "readwrite");
    const puts: Promise<unknown>[] = [
      transaction.objectStore("jobs").put(record, record.id),
      transaction.objectStore("listings").put(listedJob(record, notMeasured), record.id),
    ];
    for (const { photo, content } of contents) {
      puts.push(transaction.objectStore("photos").put(photo, photo.id));
      puts.push(transaction.objectStore("photoBytes").put(content, photo.id));
    }
    for (const [step, result] of steps) {
      puts.push(transaction.objectStore("results").put(result, stepKey(record.id, step)));
    }
    if (profile) {
      puts.push(transaction.objectStore("profiles").put(profile.profile, profile.id));
    }
    await Promise.all([...puts, transaction.done]);
  });

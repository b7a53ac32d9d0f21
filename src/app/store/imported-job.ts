import type { Result } from "../../job/result/result.ts";
import { all, database, storable, write } from "./database.ts";
import type { StoredProfile } from "./jobs.ts";
import { stepKey } from "./kept-steps.ts";
import { listedJob, notMeasured } from "./listings.ts";
import { saving } from "./not-saved.ts";
import type { JobRecord, PhotoRecord } from "./schema.ts";
import type { StoredBlob } from "./stored-blob.ts";

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
    const contents: { photo: PhotoRecord; content: StoredBlob }[] = [];
    for (const { photo, blob } of photos) {
      contents.push({ photo, content: await storable(db, blob) });
    }
    const names = ["jobs", "listings", "photos", "photoBytes", "results", "profiles"] as const;
    await write(names, async (stores) => {
      await all([
        () => stores.jobs.put(record, record.id),
        () => stores.listings.put(listedJob(record, notMeasured), record.id),
        ...contents.flatMap(({ photo, content }) => [
          () => stores.photos.put(photo, photo.id),
          () => stores.photoBytes.put(content, photo.id),
        ]),
        ...[...steps].map(
          ([step, result]) =>
            () =>
              stores.results.put(result, stepKey(record.id, step)),
        ),
        ...(profile ? [() => stores.profiles.put(profile.profile, profile.id)] : []),
      ]);
    });
  });

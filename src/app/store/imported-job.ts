import type { Result } from "../../job/result/result.ts";
import type { SealedRevision } from "../../record/close-revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { all, database, storable, write } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";
import { type RevisionEntry, revisionEntrySchema } from "./database/revision-entry.ts";
import type { Attachment, JobRecord, PhotoRecord } from "./database/schema.ts";
import type { StoredBlob } from "./database/stored-blob.ts";
import { stepKey } from "./kept-steps.ts";
import { listedJob, notMeasured } from "./listings.ts";
import { type PhoneLens, phonesKey } from "./phone-lenses.ts";
import type { StoredProfile } from "./profiles.ts";

export interface ImportedPhoto {
  readonly photo: PhotoRecord;
  readonly blob: Blob;
}

export interface ImportedJob {
  readonly record: JobRecord;
  readonly photos: readonly ImportedPhoto[];
  /** A camera profile that is not on this device yet. */
  readonly profile: StoredProfile | null;
  /** Lenses of the other phones that worked on it. */
  readonly lenses: readonly PhoneLens[];
  /** Results of steps that were left, by step id. */
  readonly steps: ReadonlyMap<string, Result>;
  readonly attached: readonly { readonly item: Attachment; readonly blob: Blob }[];
  /** Closed revisions that came with the job. */
  readonly closed: {
    readonly revisions: readonly {
      readonly sealed: SealedRevision;
      readonly entry: RevisionEntry;
    }[];
    readonly signatures: ReadonlyMap<Sha256, string>;
  };
}

/** Stores a whole job that came in a file: all of it or nothing. */
export const storeImportedJob = (imported: ImportedJob): Promise<void> =>
  saving("job", imported.record.title, async () => {
    const { record, photos, profile, lenses, steps, attached, closed } = imported;
    const db = await database();
    const contents: { photo: PhotoRecord; content: StoredBlob }[] = [];
    for (const { photo, blob } of photos) {
      contents.push({ photo, content: await storable(db, blob) });
    }
    const files: { id: string; content: StoredBlob }[] = [];
    for (const { item, blob } of attached) {
      files.push({ id: item.id, content: await storable(db, blob) });
    }
    const ofJob = ["jobs", "listings", "photos", "photoBytes", "results", "profiles"] as const;
    const ofRecord = ["attachments", "revisions", "revisionEntries", "signatures"] as const;
    await write([...ofJob, ...ofRecord], async (stores) => {
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
        ...(lenses.length > 0 ? [() => stores.results.put(lenses, phonesKey(record.id))] : []),
        ...files.map(
          ({ id, content }) =>
            () =>
              stores.attachments.put(content, id),
        ),
        ...closed.revisions.flatMap(({ sealed, entry }) => [
          // The same bytes under the same name: what is here already stays what it is.
          () => stores.revisions.put(sealed.bytes, sealed.sha256),
          async () => {
            // A record that is on this device already stays with its own job.
            const present = await stores.revisionEntries.get(sealed.sha256);
            if (!revisionEntrySchema.safeParse(present).success) {
              await stores.revisionEntries.put(entry, sealed.sha256);
            }
          },
        ]),
        ...[...closed.signatures].map(
          ([sha256, text]) =>
            () =>
              stores.signatures.put(text, sha256),
        ),
        ...(profile ? [() => stores.profiles.put(profile.profile, profile.id)] : []),
      ]);
    });
  });

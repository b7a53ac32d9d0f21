import { z } from "zod";
import { all, database, storable, type Write, write } from "./database/database.ts";
import { saving } from "./database/not-saved.ts";
import { type PhotoRecord, photoRecordSchema } from "./database/schema.ts";
import { storedBlobSchema } from "./database/stored-blob.ts";
import type { ListedJob } from "./listings.ts";

/** Photos of a job in the order in which they were added. */
export async function listPhotos(jobId: string): Promise<PhotoRecord[]> {
  const raw = await (await database()).getAllFromIndex("photos", "jobId", jobId);
  const photos = raw.flatMap((item) => {
    const parsed = photoRecordSchema.safeParse(item);
    return parsed.success ? [parsed.data] : [];
  });
  return photos.sort(inOrderAdded);
}

export const inOrderAdded = (a: PhotoRecord, b: PhotoRecord): number =>
  a.addedAt.localeCompare(b.addedAt) || a.name.localeCompare(b.name);

/**
 * Stores a photo and its bytes together, so that neither exists without the other. `listing`: what
 * the list of jobs says from then on. `chosenAs`: the file's name among those that are on their way.
 */
export const addPhoto = (
  photo: PhotoRecord,
  bytes: Blob,
  more: { readonly listing?: ListedJob; readonly chosenAs?: string } = {},
): Promise<void> =>
  saving("photo", photo.name, async () => {
    const db = await database();
    const [record, content] = await Promise.all([storableRecord(photo), storable(db, bytes)]);
    const stores = ["photos", "photoBytes", "listings", "intake"] as const;
    await write(stores, async ({ photos, photoBytes, listings, intake }) => {
      const { listing, chosenAs } = more;
      await all([
        () => photoBytes.put(content, photo.id),
        () => photos.put(record, photo.id),
        ...(listing ? [() => listings.put(listing, listing.id)] : []),
        ...(chosenAs === undefined ? [] : [() => arrived(intake, photo.jobId, chosenAs)]),
      ]);
    });
  });

/** Takes a file's name off those that are on their way. */
async function arrived(store: Write<"intake">, jobId: string, name: string): Promise<void> {
  const intake = (await store.get(jobId)) as { names?: readonly string[] } | undefined;
  if (Array.isArray(intake?.names)) {
    const names = [...intake.names];
    names.splice(names.indexOf(name), names.includes(name) ? 1 : 0);
    await store.put({ ...intake, names }, jobId);
  }
}

/**
 * Writes changed photos in one transaction. A photo that is no longer stored stays away: without
 * its bytes it would be a photo that nothing can be found in.
 */
export const savePhotos = (photos: readonly PhotoRecord[], listing?: ListedJob): Promise<void> =>
  saving("photo", photos.map(({ name }) => name).join(", "), async () => {
    const records = await Promise.all(photos.map(storableRecord));
    await write(["photos", "listings"], async ({ photos: store, listings }) => {
      const put = async (record: (typeof records)[number]) => {
        if ((await store.getKey(record.id)) !== undefined) {
          await store.put(record, record.id);
        }
      };
      await all([
        ...records.map((record) => () => put(record)),
        ...(listing ? [() => listings.put(listing, listing.id)] : []),
      ]);
    });
  });

const storableRecord = async (photo: PhotoRecord) => ({
  ...photo,
  thumb: photo.thumb && (await storable(await database(), photo.thumb)),
});

/** The photo's file; null where it is not stored or cannot be read any more. */
export async function photoBytes(id: string): Promise<Blob | null> {
  const stored = await (await database()).get("photoBytes", id);
  const parsed = storedBlobSchema.safeParse(stored);
  return parsed.success ? parsed.data : null;
}

/**
 * Throws photos away with their bytes and findings, all or none. Photos that a closed revision rests
 * on stay: they are taken out of the job, not out of the record.
 */
export const deletePhotos = (ids: readonly string[]): Promise<void> =>
  saving("deletion", "", async () => {
    const kept = await photosInRevisions(ids);
    const names = ["photos", "photoBytes", "outcomes", "covers"] as const;
    const gone = ids.filter((id) => !kept.has(id));
    return write(names, async (stores) => {
      await all(gone.flatMap((id) => names.map((name) => () => stores[name].delete(id))));
    });
  });

/** Which of these photos a closed revision of their job rests on. */
async function photosInRevisions(ids: readonly string[]): Promise<ReadonlySet<string>> {
  const db = await database();
  const held = new Set<string>();
  for (const raw of await db.getAll("revisionEntries")) {
    for (const { id } of photosOfEntrySchema.safeParse(raw).data?.photos ?? []) {
      held.add(id);
    }
  }
  return new Set(ids.filter((id) => held.has(id)));
}

/** Enough of a revision's entry to keep its photos, whatever else this program knows of it. */
const photosOfEntrySchema = z.looseObject({ photos: z.array(z.looseObject({ id: z.string() })) });

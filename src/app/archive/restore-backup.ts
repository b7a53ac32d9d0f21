import { all, database, storable, write } from "../store/database/database.ts";
import { saving } from "../store/database/not-saved.ts";
import type { StoredBlob } from "../store/database/stored-blob.ts";
import { stepKey } from "../store/kept-steps.ts";
import { listedJob, notMeasured } from "../store/listings.ts";
import { phonesKey } from "../store/phone-lenses.ts";
import type { BackedUpJob, BackupContent } from "./read-backup.ts";
import type { RestorePlan } from "./restore-plan.ts";

type Bytes = readonly (readonly [id: string, content: StoredBlob])[];

const stores = [
  ...(["jobs", "listings", "photos", "photoBytes", "results"] as const),
  ...(["revisions", "revisionEntries", "signatures", "attachments"] as const),
  ...(["settings", "profiles", "sheets", "targets", "covers"] as const),
];

/** True while a job is open in any tab of this browser, as far as the browser says. */
export async function isAnyJobOpen(): Promise<boolean> {
  const { held = [] } = (await navigator.locks?.query?.()) ?? {};
  return held.some(({ name }) => name?.startsWith("plumbshot-job-"));
}

/** Takes in what was planned: all of it in one transaction, or nothing. */
export const restoreBackup = (content: BackupContent, plan: RestorePlan): Promise<void> =>
  saving("backup", content.madeAt, async () => {
    const jobs = [...plan.added, ...plan.replaced];
    const wantedPhotos = new Set([
      ...jobs.flatMap(({ photos }) => photos.map(({ id }) => id)),
      ...plan.entries.flatMap(({ photos }) => photos.map(({ id }) => id)),
    ]);
    const wantedFiles = new Set([
      ...jobs.flatMap(({ record }) => record.record.attachments.map(({ id }) => id)),
      ...plan.entries.flatMap(({ attachments }) => attachments.map(({ id }) => id)),
    ]);
    const photoBytes = await storableOf(content.photoBytes, wantedPhotos);
    const files = await storableOf(content.attachments, wantedFiles);
    const hashes = new Set(plan.entries.map(({ sha256 }) => sha256));
    const revisions = content.revisions.filter(({ sha256 }) => hashes.has(sha256));
    const { settings, profiles, sheets, targets, covers } = content.shop;
    await write(stores, async (open) => {
      await all([
        ...jobs.flatMap((job) => writesOf(job, open)),
        ...photoBytes.map(
          ([id, bytes]) =>
            () =>
              open.photoBytes.put(bytes, id),
        ),
        ...files.map(
          ([id, bytes]) =>
            () =>
              open.attachments.put(bytes, id),
        ),
        ...revisions.map(
          ({ sha256, bytes }) =>
            () =>
              open.revisions.put(bytes, sha256),
        ),
        ...plan.entries.map((entry) => () => open.revisionEntries.put(entry, entry.sha256)),
        ...content.deleted.map((mark) => async () => {
          // Never over a record that is here.
          if ((await open.revisionEntries.getKey(mark.sha256)) === undefined) {
            await open.revisionEntries.put(mark, mark.sha256);
          }
        }),
        ...[...content.signatures]
          .filter(([sha256]) => hashes.has(sha256))
          .map(
            ([sha256, text]) =>
              () =>
                open.signatures.put(text, sha256),
          ),
        ...profiles.map(
          ({ id, profile }) =>
            () =>
              open.profiles.put(profile, id),
        ),
        ...sheets.map(
          ({ key, value }) =>
            () =>
              open.sheets.put(value, key),
        ),
        ...targets.map(
          ({ key, value }) =>
            () =>
              open.targets.put(value, key),
        ),
        ...covers
          .filter(({ key }) => wantedPhotos.has(key))
          .map(
            ({ key, value }) =>
              () =>
                open.covers.put(value, key),
          ),
        () => open.settings.put(settings, "app"),
      ]);
    });
  });

type Open = Parameters<Parameters<typeof write<(typeof stores)[number], void>>[1]>[0];

/** A job's own writes; its verdict is worked out anew when it is opened. */
const writesOf = ({ record, photos, steps, phones }: BackedUpJob, open: Open) => [
  () => open.jobs.put(record, record.id),
  () => open.listings.put(listedJob(record, notMeasured), record.id),
  () => open.results.delete(record.id),
  ...photos.map((photo) => () => open.photos.put(photo, photo.id)),
  ...(phones.length > 0 ? [() => open.results.put(phones, phonesKey(record.id))] : []),
  ...[...steps].map(
    ([step, result]) =>
      () =>
        open.results.put(result, stepKey(record.id, step)),
  ),
];

async function storableOf(
  blobs: ReadonlyMap<string, Blob>,
  wanted: ReadonlySet<string>,
): Promise<Bytes> {
  const db = await database();
  const found: [string, StoredBlob][] = [];
  for (const [id, blob] of blobs) {
    if (wanted.has(id)) {
      found.push([id, await storable(db, blob)]);
    }
  }
  return found;
}

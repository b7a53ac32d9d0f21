import {
  BlobReader,
  BlobWriter,
  configure,
  TextReader,
  ZipWriter,
} from "@zip.js/zip.js/lib/zip-core-native.js";
import { programVersion } from "../../job/result/version.ts";
import type { BackupManifest } from "../../record/backup-manifest.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { noteFullBackup, noteJobsBackedUp } from "../store/backups.ts";
import { database } from "../store/database/database.ts";
import { revisionEntrySchema } from "../store/database/revision-entry.ts";
import { loadJob } from "../store/jobs.ts";
import { loadSteps } from "../store/kept-steps.ts";
import { loadPhoneLenses } from "../store/phone-lenses.ts";
import { listPhotos, photoBytes } from "../store/photos.ts";
import { listProfiles } from "../store/profiles.ts";
import { attachmentBytes, loadRevision, loadSignature } from "../store/records/revisions.ts";
import { loadSettings } from "../store/settings.ts";
import {
  attachmentFile,
  type BackedJob,
  type BackedShop,
  backupName,
  jobFile,
  photoFile,
  revisionFile,
  shopName,
} from "./backup-format.ts";
import { hashOfBlob } from "./blob-hash.ts";

// Workers of the library are made from text, which the page's security policy forbids.
configure({ useWebWorkers: false });

export interface MadeBackup {
  /** The file; null where it went to a stream. */
  readonly blob: Blob | null;
  readonly jobs: number;
  readonly photos: number;
  readonly records: number;
  /** What this device could no longer read: not in the backup. */
  readonly missing: readonly string[];
}

/**
 * Writes everything, entry by entry: memory holds one photo at a time where `to` is a stream to a file.
 * `onShare` runs from 0 to 1.
 */
export async function writeBackup(
  now: string,
  onShare: (share: number) => void,
  to: WritableStream | null = null,
): Promise<MadeBackup> {
  const zip = new ZipWriter(to ?? new BlobWriter("application/zip"), { level: 0 });
  const files: BackupManifest["files"] = {};
  const missing: string[] = [];
  const add = async (name: string, blob: Blob | null, called: string) => {
    if (blob) {
      files[name] = { bytes: blob.size, sha256: await hashOfBlob(blob) };
      await zip.add(name, new BlobReader(blob));
    } else {
      missing.push(called);
    }
  };
  const db = await database();
  const jobIds = await db.getAllKeys("jobs");
  const photoIds = await db.getAllKeys("photoBytes");
  const attachmentIds = await db.getAllKeys("attachments");
  const hashes = (await db.getAllKeys("revisions")) as Sha256[];
  const total = jobIds.length + photoIds.length + attachmentIds.length + hashes.length + 1;
  let done = 0;
  const next = () => onShare(++done / total);
  for (const id of jobIds) {
    const job = await backedJob(id);
    await add(jobFile(id), job && jsonBlob(job), id);
    next();
  }
  for (const id of photoIds) {
    await add(photoFile(id), await photoBytes(id), id);
    next();
  }
  for (const id of attachmentIds) {
    await add(attachmentFile(id), await attachmentBytes(id), id);
    next();
  }
  for (const sha256 of hashes) {
    const sealed = await loadRevision(sha256);
    await add(revisionFile(sha256), sealed && new Blob([sealed.bytes]), sha256);
    next();
  }
  await add(shopName, jsonBlob(await backedShop(hashes)), shopName);
  const manifest: BackupManifest = {
    format: "plumbshot-backup",
    version: 1,
    madeAt: now,
    program: programVersion,
    files,
  };
  await zip.add(backupName, new TextReader(JSON.stringify(manifest)));
  const written = await zip.close();
  next();
  return {
    blob: written instanceof Blob ? written : null,
    jobs: jobIds.length,
    photos: photoIds.length,
    records: hashes.length,
    missing,
  };
}

/** Notes what is safe now; to be called once the file is where it belongs. */
export async function noteBackupOfAll(now: string): Promise<void> {
  const db = await database();
  await noteFullBackup(now, (await db.getAllKeys("revisions")) as Sha256[]);
  await noteJobsBackedUp(await db.getAllKeys("jobs"), now);
}

const jsonBlob = (value: unknown): Blob => new Blob([JSON.stringify(value)]);

async function backedJob(id: string): Promise<BackedJob | null> {
  const record = await loadJob(id);
  return (
    record && {
      record,
      // Small pictures are made again.
      photos: (await listPhotos(id)).map((photo) => ({ ...photo, thumb: null })),
      steps: Object.fromEntries(await loadSteps(id)),
      phones: [...(await loadPhoneLenses(id))],
    }
  );
}

async function backedShop(hashes: readonly Sha256[]): Promise<BackedShop> {
  const db = await database();
  const keyed = async (store: "sheets" | "targets" | "covers") => {
    const keys = await db.getAllKeys(store);
    return Promise.all(keys.map(async (key) => ({ key, value: await db.get(store, key) })));
  };
  const signatures: string[] = [];
  for (const sha256 of hashes) {
    const text = await loadSignature(sha256);
    if (text) {
      signatures.push(text);
    }
  }
  const entries = (await db.getAll("revisionEntries")).filter(
    (raw) => (raw as { deleted?: unknown }).deleted || revisionEntrySchema.safeParse(raw).success,
  );
  return {
    settings: await loadSettings(),
    profiles: await listProfiles(),
    sheets: await keyed("sheets"),
    targets: await keyed("targets"),
    covers: await keyed("covers"),
    entries,
    signatures,
  };
}

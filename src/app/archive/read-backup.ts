import { BlobReader, configure, ZipReader } from "@zip.js/zip.js/lib/zip-core-native.js";
import { readJson } from "../../job/file/bounded-json.ts";
import { type Result, resultSchema } from "../../job/result/result.ts";
import { crc32 } from "../../record/archive/zip-layout.ts";
import { type BackupManifest, backupManifestSchema } from "../../record/backup-manifest.ts";
import { closedRevisionOf, type SealedRevision } from "../../record/close-revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { readSignature } from "../../record/signature.ts";
import { readJobRecord } from "../store/database/migrate.ts";
import {
  type DeletedEntry,
  type RevisionEntry,
  readDeletedEntry,
  revisionEntrySchema,
} from "../store/database/revision-entry.ts";
import type { JobRecord, PhotoRecord } from "../store/database/schema.ts";
import type { PhoneLens } from "../store/phone-lenses.ts";
import {
  attachmentFile,
  type BackedShop,
  backedJobSchema,
  backedShopSchema,
  backupName,
  jobFile,
  photoFile,
  shopName,
} from "./backup-format.ts";
import { hashOfBlob } from "./blob-hash.ts";
import { zipLimits } from "./read-zip.ts";

configure({ useWebWorkers: false });

export type BackupProblem =
  | "no zip"
  | "damaged"
  | "too large"
  | "no backup"
  | "newer version"
  | "not readable"
  | "file differs";

export interface BackedUpJob {
  readonly record: JobRecord;
  readonly photos: readonly PhotoRecord[];
  readonly steps: ReadonlyMap<string, Result>;
  readonly phones: readonly PhoneLens[];
}

/** Everything that a backup holds, verified and parsed; bytes are parts of the file that is on disk. */
export interface BackupContent {
  readonly madeAt: string;
  readonly jobs: readonly BackedUpJob[];
  readonly photoBytes: ReadonlyMap<string, Blob>;
  readonly attachments: ReadonlyMap<string, Blob>;
  readonly revisions: readonly SealedRevision[];
  readonly entries: readonly RevisionEntry[];
  readonly deleted: readonly DeletedEntry[];
  readonly signatures: ReadonlyMap<Sha256, string>;
  readonly shop: Pick<BackedShop, "settings" | "profiles" | "sheets" | "targets" | "covers">;
}

export type BackupReading =
  | { readonly ok: true; readonly content: BackupContent }
  | { readonly ok: false; readonly problem: BackupProblem; readonly detail: string };

/** Ends the reading with the reason. */
class Refused extends Error {
  constructor(
    readonly problem: BackupProblem,
    readonly detail: string,
  ) {
    super(`${problem}: ${detail}`);
  }
}

/** More entries than any device of ours keeps. */
const mostEntries = 500_000;

/**
 * Reads a backup and verifies every byte of it against its list of contents, before anything is
 * stored. Never throws for what is in the file. `onShare` runs from 0 to 1.
 */
export async function readBackup(
  file: Blob,
  onShare: (share: number) => void,
): Promise<BackupReading> {
  try {
    const files = await filesOf(file);
    const manifest = await manifestOf(files);
    await verifyFiles(files, manifest, onShare);
    return { ok: true, content: await contentOf(files, manifest) };
  } catch (error) {
    if (error instanceof Refused) {
      return { ok: false, problem: error.problem, detail: error.detail };
    }
    throw error;
  }
}

const localHeaderBytes = 30;

/**
 * The entries as parts of the file: our own backups store them as they are, so that nothing is
 * unpacked into memory.
 */
async function filesOf(file: Blob): Promise<Map<string, Blob>> {
  const files = new Map<string, Blob>();
  const reader = new ZipReader(new BlobReader(file), { checkOverlappingEntry: true });
  try {
    for await (const entry of reader.getEntriesGenerator()) {
      const { filename, offset, uncompressedSize, compressedSize, compressionMethod } = entry;
      if (files.size >= mostEntries || filename.length > zipLimits.nameLength) {
        throw new Refused("too large", "");
      }
      if (entry.directory || compressionMethod !== 0 || uncompressedSize !== compressedSize) {
        throw new Refused("no backup", filename.slice(0, 80));
      }
      const header = await file.slice(offset, offset + localHeaderBytes).arrayBuffer();
      if (header.byteLength < localHeaderBytes) {
        throw new Refused("damaged", filename);
      }
      const view = new DataView(header);
      const from = offset + localHeaderBytes + view.getUint16(26, true) + view.getUint16(28, true);
      const blob = file.slice(from, from + uncompressedSize);
      // The list of contents vouches for all others; for itself only the container's check sum does.
      if (filename === backupName && (await crcOf(blob)) !== entry.signature) {
        throw new Refused("damaged", filename);
      }
      files.set(filename, blob);
    }
  } catch (error) {
    if (error instanceof Refused) {
      throw error;
    }
    throw new Refused(files.size === 0 ? "no zip" : "damaged", String((error as Error).message));
  } finally {
    await reader.close().catch(() => undefined);
  }
  return files;
}

const crcOf = async (blob: Blob): Promise<number> =>
  crc32(new Uint8Array(await blob.arrayBuffer()));

async function manifestOf(files: ReadonlyMap<string, Blob>): Promise<BackupManifest> {
  const raw = await json(files, backupName, "no backup");
  const head = raw as { format?: unknown; version?: unknown };
  if (head?.format === "plumbshot-backup" && typeof head.version === "number" && head.version > 1) {
    throw new Refused("newer version", String(head.version));
  }
  const parsed = backupManifestSchema.safeParse(raw);
  if (!parsed.success) {
    throw new Refused("no backup", backupName);
  }
  return parsed.data;
}

/** Every file of the list is there as it was saved, and there is no other. */
async function verifyFiles(
  files: ReadonlyMap<string, Blob>,
  manifest: BackupManifest,
  onShare: (share: number) => void,
): Promise<void> {
  const listed = Object.entries(manifest.files);
  for (const [done, [name, { bytes, sha256 }]] of listed.entries()) {
    const blob = files.get(name);
    if (!blob || blob.size !== bytes || (await hashOfBlob(blob)) !== sha256) {
      throw new Refused("file differs", name);
    }
    onShare((done + 1) / listed.length);
  }
  const foreign = [...files.keys()].find(
    (name) => name !== backupName && !Object.hasOwn(manifest.files, name),
  );
  if (foreign !== undefined) {
    throw new Refused("file differs", foreign);
  }
}

async function contentOf(
  files: ReadonlyMap<string, Blob>,
  { madeAt }: BackupManifest,
): Promise<BackupContent> {
  const names = [...files.keys()];
  const below = (folder: string) => names.filter((name) => name.startsWith(`${folder}/`));
  const jobs: BackedUpJob[] = [];
  for (const name of below("jobs")) {
    jobs.push(await jobIn(files, name));
  }
  const revisions: SealedRevision[] = [];
  for (const name of below("revisions")) {
    const bytes = new Uint8Array(await files.get(name)!.arrayBuffer());
    const sealed = closedRevisionOf(
      bytes,
      name.slice("revisions/".length, -".json".length) as Sha256,
    );
    if (!sealed) {
      throw new Refused("file differs", name);
    }
    revisions.push(sealed);
  }
  const parsed = backedShopSchema.safeParse(await json(files, shopName, "not readable"));
  if (!parsed.success) {
    throw new Refused("not readable", `${shopName}: ${place(parsed.error)}`);
  }
  const { entries, signatures, ...shop } = parsed.data;
  return {
    madeAt,
    jobs,
    photoBytes: blobsIn(files, below("photos"), photoFile(""), "image/jpeg"),
    attachments: blobsIn(files, below("attachments"), attachmentFile(""), ""),
    revisions,
    entries: entries.flatMap((raw) => revisionEntrySchema.safeParse(raw).data ?? []),
    deleted: entries.flatMap((raw) => readDeletedEntry(raw) ?? []),
    signatures: new Map(
      signatures.flatMap((text) => {
        const signature = readSignature(text);
        return signature ? [[signature.signs, text] as const] : [];
      }),
    ),
    shop,
  };
}

const blobsIn = (
  files: ReadonlyMap<string, Blob>,
  names: readonly string[],
  prefix: string,
  type: string,
): Map<string, Blob> =>
  new Map(
    names.map((name) => {
      const blob = files.get(name)!;
      return [name.slice(prefix.length), blob.slice(0, blob.size, type)] as const;
    }),
  );

async function jobIn(files: ReadonlyMap<string, Blob>, name: string): Promise<BackedUpJob> {
  const parsed = backedJobSchema.safeParse(await json(files, name, "not readable"));
  if (!parsed.success) {
    throw new Refused("not readable", `${name}: ${place(parsed.error)}`);
  }
  const { record, photos, steps, phones } = parsed.data;
  const read = readJobRecord(record);
  if (!read.ok) {
    throw new Refused(read.reason, `${name}: ${read.detail}`);
  }
  if (name !== jobFile(read.record.id) || photos.some(({ jobId }) => jobId !== read.record.id)) {
    throw new Refused("not readable", name);
  }
  const kept = Object.entries(steps).flatMap(([step, raw]) => {
    const result = resultSchema.safeParse(raw);
    return result.success ? [[step, result.data] as const] : [];
  });
  return { record: read.record, photos, steps: new Map(kept), phones };
}

const place = (error: { issues: readonly { path: readonly PropertyKey[] }[] }): string =>
  error.issues[0]?.path.map(String).join("/") ?? "";

async function json(
  files: ReadonlyMap<string, Blob>,
  name: string,
  otherwise: BackupProblem,
): Promise<unknown> {
  const blob = files.get(name);
  const reading = blob ? readJson(await blob.text()) : null;
  if (!reading?.ok) {
    throw new Refused(otherwise, name);
  }
  return reading.value;
}

import {
  type DBSchema,
  type IDBPDatabase,
  type IDBPObjectStore,
  openDB,
  type StoreNames,
} from "idb";
import type { StoredBlob } from "./stored-blob.ts";

/** One database per origin. Raising `databaseVersion` needs a step in `upgrade`. */
const databaseName = "plumbshot";
const databaseVersion = 4;

export interface PlumbshotDatabase extends DBSchema {
  jobs: { key: string; value: unknown; indexes: { updatedAt: string } };
  photos: { key: string; value: unknown; indexes: { jobId: string } };
  photoBytes: { key: string; value: StoredBlob };
  /** What was found in a photo, keyed by photo id. */
  outcomes: { key: string; value: unknown };
  /** Results of a job, keyed by job id. */
  results: { key: string; value: unknown };
  profiles: { key: string; value: unknown };
  sheets: { key: string; value: unknown };
  targets: { key: string; value: unknown };
  settings: { key: string; value: unknown };
  /** What the list of jobs shows, keyed by job id. */
  listings: { key: string; value: unknown };
  /** Photos that are on their way into a job, keyed by job id. */
  intake: { key: string; value: unknown };
  /** Records as an earlier program wrote them, keyed by job id and version. */
  copies: { key: string; value: unknown };
  /** Closed revisions as they were hashed, keyed by their SHA-256. Written once, never again. */
  revisions: { key: string; value: unknown };
  /** What lists and searches of closed revisions show, keyed by the revision's SHA-256. */
  revisionEntries: { key: string; value: unknown; indexes: { jobId: string } };
  /** Signatures of closed revisions, keyed by the revision's SHA-256. */
  signatures: { key: string; value: unknown };
  /** Files attached to a job's record, keyed by an id of their own. */
  attachments: { key: string; value: StoredBlob };
  /** What is covered in copies of a photo, keyed by photo id. */
  covers: { key: string; value: unknown };
  /** The device's signing key, which the browser does not let out. */
  keys: { key: string; value: unknown };
}

export type Database = IDBPDatabase<PlumbshotDatabase>;

/** A store of a transaction that writes. */
export type Write<Name extends StoreNames<PlumbshotDatabase>> = IDBPObjectStore<
  PlumbshotDatabase,
  ArrayLike<StoreNames<PlumbshotDatabase>>,
  Name,
  "readwrite"
>;

type StoreName = StoreNames<PlumbshotDatabase>;

/**
 * Writes to several stores in one transaction: all of it is stored, or nothing. `work` may wait for
 * nothing but the stores. Every write is a function, so that one that fails at once ends all.
 */
export async function write<Name extends StoreName, Result>(
  names: readonly Name[],
  work: (
    stores: { readonly [Each in Name]: Write<Each> },
    transaction: { commit(): void },
  ) => Promise<Result>,
): Promise<Result> {
  const transaction = (await database()).transaction(names, "readwrite");
  // Told below: a transaction that ends badly makes its requests fail, too.
  const done = transaction.done.then(
    () => null,
    (error: unknown) => ({ error }),
  );
  const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
  try {
    const result = await work(stores as unknown as { [Each in Name]: Write<Each> }, transaction);
    const failed = await done;
    if (failed) {
      throw failed.error;
    }
    return result;
  } catch (error) {
    abort(transaction);
    const failed = await done;
    // Where the transaction ended by itself it knows the cause, and its requests only that they were
    // aborted; where a write failed at once it is the transaction that only knows of the abort.
    throw isAbort(error) ? (failed?.error ?? error) : error;
  }
}

const isAbort = (error: unknown): boolean =>
  error instanceof DOMException && error.name === "AbortError";

function abort(transaction: { abort(): void }): void {
  try {
    transaction.abort();
  } catch {
    // It has ended by itself.
  }
}

/** Writes that belong together, begun in this order. */
export const all = (writes: readonly (() => Promise<unknown>)[]): Promise<unknown[]> =>
  Promise.all(writes.map(async (begin) => begin()));

let opened: Promise<Database> | null = null;

/** The open database; opened at first use. */
export function database(): Promise<Database> {
  opened ??= openDB<PlumbshotDatabase>(databaseName, databaseVersion, {
    upgrade(db, from) {
      if (from < 1) {
        db.createObjectStore("jobs").createIndex("updatedAt", "updatedAt");
        db.createObjectStore("photos").createIndex("jobId", "jobId");
        for (const name of [
          "photoBytes",
          "outcomes",
          "results",
          "profiles",
          "sheets",
          "targets",
          "settings",
        ] as const) {
          db.createObjectStore(name);
        }
      }
      if (from < 2) {
        for (const name of ["listings", "intake", "copies"] as const) {
          db.createObjectStore(name);
        }
      }
      if (from < 3) {
        db.createObjectStore("revisionEntries").createIndex("jobId", "jobId");
        for (const name of ["revisions", "signatures", "attachments"] as const) {
          db.createObjectStore(name);
        }
      }
      if (from < 4) {
        db.createObjectStore("covers");
        db.createObjectStore("keys");
      }
    },
    blocking(_present, _blocked, event) {
      // A newer program in another tab wants to upgrade: let it, this tab reopens when needed.
      (event.target as IDBDatabase).close();
      opened = null;
    },
    terminated() {
      opened = null;
    },
  });
  return opened;
}

/** A random id; works on plain http too, where crypto.randomUUID does not exist. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

let blobsAreStored: Promise<boolean> | null = null;

/**
 * What to store for a Blob. A Blob where the browser can: it stays on disk until it is read. WebKit
 * stores none in private windows ("Error preparing Blob/File data to be stored in object store"):
 * there its bytes. Ask before a transaction is opened: it would end while this is found out.
 */
export async function storable(db: Database, blob: Blob): Promise<StoredBlob> {
  blobsAreStored ??= storesBlobs(db);
  return (await blobsAreStored) ? blob : { bytes: await blob.arrayBuffer(), type: blob.type };
}

/** Tries it and takes it back. */
async function storesBlobs(db: Database): Promise<boolean> {
  const transaction = db.transaction("photoBytes", "readwrite");
  const ended = transaction.done.catch(() => undefined);
  try {
    await transaction.store.put(new Blob(["?"]), "?");
    transaction.abort();
    return true;
  } catch {
    return false;
  } finally {
    await ended;
  }
}

import { z } from "zod";
import type { Database } from "./database.ts";

/** A Blob, or its bytes where the browser cannot store the Blob itself; read, it is a Blob again. */
export const storedBlobSchema = z.union([
  z.instanceof(Blob),
  z
    .object({ bytes: z.instanceof(ArrayBuffer), type: z.string() })
    .transform(({ bytes, type }) => new Blob([bytes], { type })),
]);
export type StoredBlob = z.input<typeof storedBlobSchema>;

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

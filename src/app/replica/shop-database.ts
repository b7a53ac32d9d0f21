import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import { z } from "zod";
import type { Sha256 } from "../../record/sha256.ts";
import { keyTextSchema, storeAddressSchema } from "../../replicate/formats/address.ts";
import { type Entry, entrySchema, type Kind } from "../../replicate/formats/entry.ts";

/**
 * What this device knows of the shop's store: a database of its own, because all of it but the settings
 * can be read again from the store, and because jobs must not wait for it.
 */
interface ShopDatabase extends DBSchema {
  values: { key: string; value: unknown };
  catalogue: { key: string; value: unknown };
  /** Documents of replication, own ones and those of others, by their hash. */
  documents: {
    key: string;
    value: { kind: Kind; of: string | null; bytes: Uint8Array<ArrayBuffer> };
    indexes: { kind: Kind };
  };
  /** Hashes of photos by photo id: a photo is hashed once. */
  hashes: { key: string; value: Sha256 };
}

let opened: Promise<IDBPDatabase<ShopDatabase>> | null = null;

function database(): Promise<IDBPDatabase<ShopDatabase>> {
  opened ??= openDB<ShopDatabase>("plumbshot-shop", 1, {
    upgrade(db) {
      db.createObjectStore("values");
      db.createObjectStore("catalogue");
      db.createObjectStore("documents").createIndex("kind", "kind");
      db.createObjectStore("hashes");
    },
    terminated() {
      opened = null;
    },
  });
  return opened;
}

export const shopSettingsSchema = z.object({
  version: z.literal(1),
  store: storeAddressSchema,
  key: keyTextSchema,
  /** When photos are sent and fetched. */
  photos: z.enum(["always", "not on mobile data"]),
  /** Closed records of other devices are kept here, too. */
  records: z.boolean(),
  /** Jobs that several phones work on. */
  sharedJobs: z.array(z.string()),
});
export type ShopSettings = z.infer<typeof shopSettingsSchema>;

export async function loadShopSettings(): Promise<ShopSettings | null> {
  const raw = await (await database()).get("values", "settings");
  return shopSettingsSchema.safeParse(raw).data ?? null;
}

export async function saveShopSettings(settings: ShopSettings): Promise<void> {
  await (await database()).put("values", settings, "settings");
}

/** Forgets the store, its key and everything that was learnt of it; jobs and records stay. */
export async function forgetShop(): Promise<void> {
  const stores = ["values", "catalogue", "documents"] as const;
  const transaction = (await database()).transaction(stores, "readwrite");
  await Promise.all([
    ...stores.map((name) => transaction.objectStore(name).clear()),
    transaction.done,
  ]);
}

export async function loadValue(name: string): Promise<unknown> {
  return (await database()).get("values", name);
}

export async function saveValue(name: string, value: unknown): Promise<void> {
  await (await database()).put("values", value, name);
}

/** The replication's state and the entries that are new, all or none. */
export async function saveLearned(state: unknown, learned: readonly Entry[]): Promise<void> {
  const transaction = (await database()).transaction(["values", "catalogue"], "readwrite");
  const values = transaction.objectStore("values");
  const catalogue = transaction.objectStore("catalogue");
  await Promise.all([
    values.put(state, "state"),
    ...learned.map((entry) => catalogue.put(entry, entry.sha256)),
    transaction.done,
  ]);
}

export async function storedEntries(): Promise<Entry[]> {
  const raw = await (await database()).getAll("catalogue");
  return raw.flatMap((item) => entrySchema.safeParse(item).data ?? []);
}

export interface StoredDocument {
  readonly sha256: Sha256;
  readonly kind: Kind;
  readonly of: string | null;
  readonly bytes: Uint8Array<ArrayBuffer>;
}

export async function saveDocument({ sha256, ...document }: StoredDocument): Promise<void> {
  await (await database()).put("documents", document, sha256);
}

export async function loadDocument(sha256: Sha256): Promise<Uint8Array<ArrayBuffer> | null> {
  return (await (await database()).get("documents", sha256))?.bytes ?? null;
}

export async function documentsOf(kind: Kind): Promise<StoredDocument[]> {
  const { store } = (await database()).transaction("documents");
  const [keys, values] = await Promise.all([
    store.index("kind").getAllKeys(kind),
    store.index("kind").getAll(kind),
  ]);
  return values.map((value, i) => ({ ...value, sha256: keys[i] as Sha256 }));
}

export async function deleteLearned(hashes: readonly Sha256[]): Promise<void> {
  const transaction = (await database()).transaction(["catalogue", "documents"], "readwrite");
  const catalogue = transaction.objectStore("catalogue");
  const documents = transaction.objectStore("documents");
  await Promise.all([
    ...hashes.flatMap((hash) => [catalogue.delete(hash), documents.delete(hash)]),
    transaction.done,
  ]);
}

export async function knownHash(photoId: string): Promise<Sha256 | null> {
  return (await (await database()).get("hashes", photoId)) ?? null;
}

export async function keepHash(photoId: string, sha256: Sha256): Promise<void> {
  await (await database()).put("hashes", sha256, photoId);
}

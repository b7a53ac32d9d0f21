/** A store with the shop's keys: objects go in sealed and come out opened and proven, or not at all. */
import { z } from "zod";
import { canonicalBytes } from "../../record/canonical.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import { type Fault, StoreFault } from "../faults/faults.ts";
import type { Entry, Lane } from "../formats/entry.ts";
import { type IndexObject, indexObjectSchema } from "../formats/index-object.ts";
import { type KeyRing, keyRingSchema } from "../formats/key-ring.ts";
import type { AesGcm } from "../keys/aes-gcm.ts";
import { type Keys, openRings } from "../keys/ring.ts";
import { open, seal, sealedName, sealLength } from "../keys/sealed.ts";
import type { ShopKey } from "../keys/shop-key.ts";
import type { Bytes, Head, Store } from "../stores/store.ts";
import { keysFolder, monthFolder, objectPath, ringPath, sealedNameIn } from "./paths.ts";

export type Got =
  | { readonly ok: true; readonly bytes: Bytes }
  | { readonly ok: false; readonly fault: Fault };

export interface Vault {
  readonly store: Store;
  readonly keys: Keys;
  readonly cipher: AesGcm;
}

/** The key files of a store; those that cannot be read are none of this program's. */
export async function readRings(store: Store): Promise<KeyRing[]> {
  const rings: KeyRing[] = [];
  for (const { name } of await store.list(keysFolder)) {
    const bytes = await store.get(`${keysFolder}/${name}`);
    const read = bytes && keyRingSchema.safeParse(jsonOf(bytes));
    if (read?.success && `${read.data.id}.json` === name) rings.push(read.data);
  }
  return rings;
}

/**
 * Opens a store with a key. `first`: the key file to write where the store has none yet; null to
 * refuse an empty store. Throws StoreFault.
 */
export async function openVault(
  store: Store,
  cipher: AesGcm,
  key: ShopKey,
  first: KeyRing | null,
): Promise<Vault> {
  let rings = await readRings(store);
  if (rings.length === 0 && first) {
    await store.putIfAbsent(ringPath(first.id), canonicalBytes(first));
    // Two devices may have begun at once: what is there now counts.
    rings = await readRings(store);
  }
  const read = await openRings(cipher, key, rings);
  if (!read.ok) throw new StoreFault(read.why);
  return { store, keys: read.keys, cipher };
}

/** Makes `ring.id` the shop's key; the vault's keys become earlier ones. */
export async function changeKey(vault: Vault, key: ShopKey, ring: KeyRing): Promise<Vault> {
  await vault.store.putIfAbsent(ringPath(ring.id), canonicalBytes(ring));
  return { ...vault, keys: [key, ...vault.keys] };
}

const pathOf = (vault: Vault, hash: Sha256, keyId: string): string | null => {
  const key = vault.keys.find(({ id }) => id === keyId);
  return key ? objectPath(key.id, sealedName(key, hash)) : null;
};

/** What the store says of an object; null where it has none, or only a part of it. */
export async function storedWhole(
  vault: Vault,
  hash: Sha256,
  bytes: number,
  keyId = vault.keys[0].id,
): Promise<Head | null> {
  const path = pathOf(vault, hash, keyId);
  const head = path && (await vault.store.head(path));
  return head && head.bytes === bytes + sealLength ? head : null;
}

/**
 * Stores an object under the present key. What is there already is left alone, unless its size shows
 * that it is only a part: then it is written anew.
 */
export async function putObject(vault: Vault, hash: Sha256, plain: Bytes): Promise<void> {
  const [key] = vault.keys;
  await putWhole(
    vault.store,
    objectPath(key.id, sealedName(key, hash)),
    await seal(vault.cipher, key, hash, plain),
  );
}

/** Writes an object over whatever lies under its name, with the key that it was stored under. */
export async function rewriteObject(
  vault: Vault,
  { sha256, key: keyId }: Pick<Entry, "sha256" | "key">,
  plain: Bytes,
): Promise<void> {
  const key = vault.keys.find(({ id }) => id === keyId) ?? vault.keys[0];
  const path = objectPath(key.id, sealedName(key, sha256));
  await vault.store.replace(path, await seal(vault.cipher, key, sha256, plain));
}

async function putWhole(store: Store, path: string, sealed: Bytes): Promise<void> {
  if ((await store.putIfAbsent(path, sealed)) === "stored") return;
  const head = await store.head(path);
  if (head?.bytes !== sealed.length) await store.replace(path, sealed);
}

/** An object, proven to be the one that the entry names. */
export async function getObject(vault: Vault, entry: Entry): Promise<Got> {
  const name = `${entry.kind} ${entry.sha256}`;
  const refused = (code: Fault["code"]): Got => ({ ok: false, fault: { code, values: { name } } });
  const path = pathOf(vault, entry.sha256, entry.key);
  if (!path) return refused("key-changed");
  const sealed = await vault.store.get(path);
  if (!sealed) return refused("missing");
  const opened = await open(vault.cipher, vault.keys, sealedNameIn(path), sealed);
  if (!opened.ok) return refused(opened.why === "other key" ? "key-changed" : opened.why);
  return opened.sha256 === entry.sha256 ? { ok: true, bytes: opened.bytes } : refused("foreign");
}

/** Deletes an object from the store. */
export async function deleteObject(vault: Vault, { sha256, key }: Entry): Promise<void> {
  const path = pathOf(vault, sha256, key);
  if (path) await vault.store.delete(path);
}

/** Where an index object goes: a month, and in it a day ("07") or "all". */
export interface IndexPlace {
  readonly month: string;
  readonly day: string;
}

/** Stores an index object; returns its path. */
export async function putIndex(
  vault: Vault,
  lane: Lane,
  index: IndexObject,
  place: IndexPlace,
): Promise<{ readonly path: string; readonly sha256: Sha256 }> {
  const plain = canonicalBytes(index);
  const sha256 = hashOf(plain);
  const [key] = vault.keys;
  const name = sealedName(key, sha256);
  const path = `${monthFolder(lane, place.month)}/${place.day}-${name}`;
  await putWhole(vault.store, path, await seal(vault.cipher, key, sha256, plain));
  return { path, sha256 };
}

export type GotIndex =
  | { readonly ok: true; readonly index: IndexObject; readonly sha256: Sha256 }
  | { readonly ok: false; readonly fault: Fault };

/** An index object, proven to be what its name stands for and of this lane; null where it is gone. */
export async function getIndex(vault: Vault, lane: Lane, path: string): Promise<GotIndex | null> {
  const refused = (code: Fault["code"]): GotIndex => ({
    ok: false,
    fault: { code, values: { name: path } },
  });
  const sealed = await vault.store.get(path);
  if (!sealed) return null;
  const opened = await open(vault.cipher, vault.keys, sealedNameIn(path), sealed);
  if (!opened.ok) return refused(opened.why === "other key" ? "key-changed" : opened.why);
  const raw = jsonOf(opened.bytes);
  const head = z.looseObject({ version: z.number() }).safeParse(raw);
  if (head.success && head.data.version > 1) return refused("newer-program");
  const read = indexObjectSchema.safeParse(raw);
  return read.success && read.data.lane === lane
    ? { ok: true, index: read.data, sha256: opened.sha256 }
    : refused("foreign");
}

function jsonOf(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    return undefined;
  }
}

import { StoreFault } from "../../replicate/faults/faults.ts";
import type { Invitation, StoreAddress } from "../../replicate/formats/address.ts";
import { scryptCost } from "../../replicate/formats/key-ring.ts";
import { aesGcm, type Subtle } from "../../replicate/keys/aes-gcm.ts";
import { makeRing, presentRings } from "../../replicate/keys/ring.ts";
import {
  keyOfPhrase,
  keyText,
  type ShopKey,
  secretOfText,
  shopKey,
} from "../../replicate/keys/shop-key.ts";
import { type Answer, NoAnswer, type Send } from "../../replicate/stores/http.ts";
import { patientStore } from "../../replicate/stores/patient.ts";
import { s3Store } from "../../replicate/stores/s3.ts";
import type { Bytes, Store } from "../../replicate/stores/store.ts";
import { webdavStore } from "../../replicate/stores/webdav.ts";
import { changeKey, openVault, readRings, type Vault } from "../../replicate/sync/vault.ts";
import type { ShopSettings } from "./shop-database.ts";

/** A photo over a bad line takes its time; a store that is silent for so long is not there. */
const limitMs = 120_000;

const browserSend: Send = async ({ method, url, headers, body }): Promise<Answer> => {
  try {
    const response = await fetch(url, {
      method,
      headers,
      ...(body ? { body } : {}),
      // Nothing of another origin's cookies, nothing from a cache, no other address.
      credentials: "omit",
      cache: "no-store",
      redirect: "error",
      signal: AbortSignal.timeout(limitMs),
    });
    return {
      status: response.status,
      header: (name) => response.headers.get(name),
      body: new Uint8Array(await response.arrayBuffer()) as Bytes,
    };
  } catch (error) {
    throw new NoAnswer(navigator.onLine ? String((error as Error).message) : "offline");
  }
};

/** Plain http has no WebCrypto: then the cipher runs in plain code. */
const subtle = (): Subtle | undefined => crypto.subtle as unknown as Subtle | undefined;

export function openStore(address: StoreAddress): Store {
  if (address.kind === "s3" && !subtle()) throw new StoreFault("insecure");
  const plain =
    address.kind === "s3"
      ? s3Store(address, browserSend, Date.now)
      : webdavStore(address as Extract<StoreAddress, { kind: "webdav" }>, browserSend);
  const wait = (ms: number) => new Promise<void>((resolve) => setTimeout(resolve, ms));
  return patientStore(plain, { wait, random: Math.random, attempts: 3 });
}

/** The origin of a store if this page may not speak to it; null where it may. */
export function forbiddenOrigin(address: StoreAddress): string | null {
  if (address.kind === "folder") return null;
  const { origin } = new URL(address.url, document.baseURI);
  const policy = document.querySelector("meta[http-equiv='Content-Security-Policy']");
  const allowed = /connect-src ([^;]*)/.exec(policy?.getAttribute("content") ?? "")?.[1] ?? "";
  const isAllowed = origin === location.origin || allowed.split(/\s+/).includes(origin);
  return isAllowed ? null : origin;
}

const metaContent = (name: string): string | null =>
  document.querySelector(`meta[name='${name}']`)?.getAttribute("content") ?? null;

/** The address to begin with: this server's own store, or the one that it was started for. */
export function suggestedAddress(): string {
  const own = metaContent("plumbshot-own-store");
  return own ? new URL(own, location.origin).href : (metaContent("plumbshot-store") ?? "");
}

const randomBytes = (length: number): Bytes => crypto.getRandomValues(new Uint8Array(length));

const toHex = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");

const newPhrase = () => ({ by: "scrypt" as const, ...scryptCost, salt: toHex(randomBytes(16)) });

export type KeyEntry =
  | { readonly kind: "new" }
  | { readonly kind: "text"; readonly text: string }
  | { readonly kind: "phrase"; readonly phrase: string };

/**
 * Opens a store for the first time on this device and returns its key as text. A store without a key
 * gets this one; a phrase takes a moment. Throws StoreFault.
 */
export async function connect(address: StoreAddress, entry: KeyEntry): Promise<string> {
  const store = openStore(address);
  const cipher = aesGcm(subtle());
  const [ring] = presentRings(await readRings(store));
  const now = new Date().toISOString();
  const open = async (key: ShopKey, phrase: ReturnType<typeof newPhrase> | null) => {
    await openVault(store, cipher, key, await makeRing(cipher, key, [], now, phrase));
    return keyText(key.secret);
  };
  switch (entry.kind) {
    case "new":
      // Somebody set this store up before: a new key would not open it.
      if (ring) throw new StoreFault("key-wrong");
      return open(shopKey(randomBytes(32)), null);
    case "text": {
      const secret = secretOfText(entry.text.trim());
      if (!secret) throw new StoreFault("key-wrong");
      return open(shopKey(secret), null);
    }
    case "phrase": {
      if (ring && !ring.phrase) throw new StoreFault("phrase-unused");
      const phrase = ring?.phrase ?? newPhrase();
      return open(await keyOfPhrase(entry.phrase, phrase.salt), phrase);
    }
  }
}

/** The store with the shop's keys. Throws StoreFault. */
export async function openShop({ store, key }: ShopSettings): Promise<Vault> {
  const secret = secretOfText(key);
  if (!secret) throw new StoreFault("key-wrong");
  return openVault(openStore(store), aesGcm(subtle()), shopKey(secret), null);
}

/** Makes a new key after a device was lost; returns it as text. */
export async function renewKey(settings: ShopSettings): Promise<string> {
  const vault = await openShop(settings);
  const key = shopKey(randomBytes(32));
  const now = new Date().toISOString();
  await changeKey(vault, key, await makeRing(vault.cipher, key, vault.keys, now, null));
  return keyText(key.secret);
}

export const invitationOf = ({ store, key }: ShopSettings, job?: string): Invitation => ({
  format: "plumbshot-invitation",
  version: 1,
  store,
  key,
  ...(job ? { job } : {}),
});

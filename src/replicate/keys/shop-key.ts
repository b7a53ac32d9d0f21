/**
 * The shop key and what follows from it by HKDF-SHA256 (RFC 5869): a key that seals, one that makes
 * names, one that makes nonces, and a check by which a store's key file is recognised.
 */
import { hkdf } from "@noble/hashes/hkdf.js";
import { hmac } from "@noble/hashes/hmac.js";
import { scryptAsync } from "@noble/hashes/scrypt.js";
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, hexToBytes } from "@noble/hashes/utils.js";
import { scryptCost } from "../formats/key-ring.ts";

type Bytes = Uint8Array<ArrayBuffer>;

export interface ShopKey {
  /** First digits of the check: says which key an object is sealed with. */
  readonly id: string;
  readonly check: string;
  /** The key itself, 32 bytes. */
  readonly secret: Bytes;
  readonly sealing: Bytes;
  readonly naming: Bytes;
  readonly nonces: Bytes;
  /** Seals the earlier keys in this key's ring. */
  readonly ring: Bytes;
}

const text = (words: string): Uint8Array => new TextEncoder().encode(words);

/** `secret`: 32 bytes. */
export function shopKey(secret: Uint8Array): ShopKey {
  if (secret.length !== 32) throw new RangeError("A shop key has 32 bytes.");
  const part = (purpose: string): Bytes =>
    hkdf(sha256, secret, undefined, text(`plumbshot shop key 1 ${purpose}`), 32) as Bytes;
  const check = bytesToHex(part("check"));
  return {
    id: check.slice(0, 8),
    check,
    secret: Uint8Array.from(secret),
    sealing: part("sealing"),
    naming: part("naming"),
    nonces: part("nonces"),
    ring: part("ring"),
  };
}

/** HMAC-SHA256 (RFC 2104). */
export const keyed = (key: Uint8Array, message: Uint8Array): Bytes =>
  hmac(sha256, key, message) as Bytes;

/** Spaces and case do not matter, so that a phrase can be read out and typed with gloves on. */
const plainPhrase = (phrase: string): string =>
  phrase.normalize("NFKC").trim().toLowerCase().replace(/\s+/g, " ");

/** Shorter phrases are guessed too soon, whatever the derivation costs: common practice, no source. */
export const shortestPhrase = 20;

export const isPhraseLongEnough = (phrase: string): boolean =>
  plainPhrase(phrase).length >= shortestPhrase;

/** The key of a phrase; takes a second or several, and 128 MiB. `salt`: 32 hexadecimal digits. */
export async function keyOfPhrase(
  phrase: string,
  salt: string,
  onProgress?: (share: number) => void,
): Promise<ShopKey> {
  const secret = await scryptAsync(text(plainPhrase(phrase)), hexToBytes(salt), {
    ...scryptCost,
    dkLen: 32,
    maxmem: 2 ** 28,
    ...(onProgress ? { onProgress } : {}),
  });
  return shopKey(secret);
}

/** base64url without padding (RFC 4648, section 5). */
export const keyText = (secret: Uint8Array): string =>
  btoa(Array.from(secret, (byte) => String.fromCharCode(byte)).join(""))
    .replaceAll("+", "-")
    .replaceAll("/", "_")
    .replaceAll("=", "");

/** Null where the text is no key. */
export function secretOfText(written: string): Bytes | null {
  if (!/^[A-Za-z0-9_-]{43}$/.test(written)) return null;
  const plain = atob(written.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (char) => char.charCodeAt(0));
}

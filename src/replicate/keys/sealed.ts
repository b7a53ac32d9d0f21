/**
 * A sealed object, as the store has it:
 *
 *     "PSS1"  4 bytes   key id  4 bytes   nonce  12 bytes   AES-256-GCM cipher text and tag
 *
 * Its name is HMAC-SHA256(naming key, SHA-256 of the object), so that the store can neither tell what
 * it holds nor test whether it holds a known file. The nonce is the first 12 bytes of HMAC-SHA256
 * (nonce key, SHA-256 of the object): the same object becomes the same bytes under the same name on
 * every device, so that storing it twice changes nothing, even where the store ignores conditions; and
 * two objects share a nonce only where 96 bits of a keyed hash collide. What the store learns: names,
 * sizes, when, and that an object was stored before.
 */
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, hexToBytes } from "@noble/hashes/utils.js";
import type { Sha256 } from "../../record/sha256.ts";
import type { AesGcm } from "./aes-gcm.ts";
import { keyed, type ShopKey } from "./shop-key.ts";

type Bytes = Uint8Array<ArrayBuffer>;

const mark = new TextEncoder().encode("PSS1");
const headLength = 20;
/** How much longer a sealed object is. */
export const sealLength = headLength + 16;

/** Name of an object in the store: 64 hexadecimal digits. */
export const sealedName = (key: ShopKey, hash: Sha256): string =>
  bytesToHex(keyed(key.naming, hexToBytes(hash)));

export async function seal(
  cipher: AesGcm,
  key: ShopKey,
  hash: Sha256,
  plain: Bytes,
): Promise<Bytes> {
  const nonce = keyed(key.nonces, hexToBytes(hash)).slice(0, 12);
  const head = new Uint8Array(headLength);
  head.set(mark);
  head.set(hexToBytes(key.id), 4);
  head.set(nonce, 8);
  const body = await cipher.seal(key.sealing, nonce, plain, head);
  const sealed = new Uint8Array(headLength + body.length);
  sealed.set(head);
  sealed.set(body, headLength);
  return sealed;
}

export type Opened =
  | { readonly ok: true; readonly bytes: Bytes; readonly sha256: Sha256 }
  | { readonly ok: false; readonly why: "damaged" | "foreign" | "other key" };

/** Opens what was found under a name: it must be the object that the name stands for. */
export async function open(
  cipher: AesGcm,
  keys: readonly ShopKey[],
  name: string,
  sealed: Bytes,
): Promise<Opened> {
  if (sealed.length < sealLength || mark.some((byte, i) => sealed[i] !== byte)) {
    return { ok: false, why: "damaged" };
  }
  const head = sealed.slice(0, headLength);
  const id = bytesToHex(head.slice(4, 8));
  const key = keys.find((one) => one.id === id);
  if (!key) return { ok: false, why: "other key" };
  const bytes = await cipher.open(key.sealing, head.slice(8), sealed.slice(headLength), head);
  if (!bytes) return { ok: false, why: "damaged" };
  const hash = bytesToHex(sha256(bytes)) as Sha256;
  return sealedName(key, hash) === name
    ? { ok: true, bytes, sha256: hash }
    : { ok: false, why: "foreign" };
}

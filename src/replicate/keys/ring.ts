/** The shop's keys: the present one and those before it, by which old objects stay readable. */
import type { KeyRing } from "../formats/key-ring.ts";
import type { AesGcm } from "./aes-gcm.ts";
import { keyText, type ShopKey, secretOfText, shopKey } from "./shop-key.ts";

type Bytes = Uint8Array<ArrayBuffer>;

/** The present key first. */
export type Keys = readonly [ShopKey, ...ShopKey[]];

const beside = new TextEncoder().encode("plumbshot-key-ring 1");
/** This part of a key seals one ring and nothing else, so that its nonce is used once. */
const ringNonce = new Uint8Array(12);

/** The file that makes `present` the shop's key, after `earlier` (the newest first). */
export async function makeRing(
  cipher: AesGcm,
  present: ShopKey,
  earlier: readonly ShopKey[],
  madeAt: string,
  phrase: KeyRing["phrase"],
): Promise<KeyRing> {
  const secrets = JSON.stringify(earlier.map(({ secret }) => keyText(secret)));
  const sealed =
    earlier.length === 0
      ? ""
      : keyText(
          await cipher.seal(
            present.ring,
            ringNonce,
            new TextEncoder().encode(secrets) as Bytes,
            beside,
          ),
        );
  return {
    format: "plumbshot-key-ring",
    version: 1,
    id: present.id,
    madeAt,
    check: present.check,
    phrase,
    before: earlier[0]?.id ?? null,
    earlier: sealed,
  };
}

export type RingReading =
  | { readonly ok: true; readonly keys: Keys }
  | { readonly ok: false; readonly why: "key-wrong" | "key-changed" };

/** The ring that no other took the place of. Several only where two devices changed keys at once. */
export function presentRings(rings: readonly KeyRing[]): KeyRing[] {
  const replaced = new Set(rings.map(({ before }) => before));
  return rings.filter(({ id }) => !replaced.has(id)).sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** All keys that `own` opens, if it is the shop's present one. */
export async function openRings(
  cipher: AesGcm,
  own: ShopKey,
  rings: readonly KeyRing[],
): Promise<RingReading> {
  const ring = rings.find(({ id, check }) => id === own.id && check === own.check);
  if (!ring) return { ok: false, why: "key-wrong" };
  if (!presentRings(rings).includes(ring)) return { ok: false, why: "key-changed" };
  if (ring.earlier === "") return { ok: true, keys: [own] };
  const plain = await cipher.open(own.ring, ringNonce, bytesOf(ring.earlier), beside);
  const secrets: unknown = plain && JSON.parse(new TextDecoder().decode(plain));
  if (!Array.isArray(secrets)) return { ok: false, why: "key-wrong" };
  const earlier = secrets.map((text) => secretOfText(String(text)));
  if (earlier.includes(null)) return { ok: false, why: "key-wrong" };
  return { ok: true, keys: [own, ...earlier.map((secret) => shopKey(secret!))] };
}

const bytesOf = (text: string): Bytes =>
  Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));

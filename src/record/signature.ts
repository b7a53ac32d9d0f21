/**
 * Signatures of closed revisions, format "plumbshot-signature", version 1: ECDSA on P-256 with
 * SHA-256 (FIPS 186-5), because WebCrypto of every browser in use makes such keys without letting
 * them out. Verified here in plain computing, so that it works on plain http and in Node as well.
 */
import { p256 } from "@noble/curves/nist.js";
import { z } from "zod";
import { canonicalBytes, canonicalText } from "./canonical.ts";
import { hashOfValue, type Sha256, sha256Schema } from "./sha256.ts";

const base64url = z.string().regex(/^[A-Za-z0-9_-]+$/);

/** RFC 7517/7518: the public half of an elliptic-curve key. */
export const publicKeySchema = z.object({
  kty: z.literal("EC"),
  crv: z.literal("P-256"),
  x: base64url,
  y: base64url,
});
export type PublicKey = z.infer<typeof publicKeySchema>;

export const publicKeyFileSchema = z.object({
  format: z.literal("plumbshot-public-key"),
  version: z.literal(1),
  owner: z.string(),
  key: publicKeySchema,
});

export const signatureSchema = z.object({
  format: z.literal("plumbshot-signature"),
  version: z.literal(1),
  signs: sha256Schema.describe("the closed revision"),
  signer: z.string().describe("as the device calls its owner; a name, not a proof"),
  signedAt: z.string(),
  key: publicKeySchema,
  signature: base64url.describe(
    "r and s, 32 bytes each, over the canonical JSON of this document without this member",
  ),
});
export type Signature = z.infer<typeof signatureSchema>;
export type Unsigned = Omit<Signature, "signature">;

/** What a signature is made over. */
export const signedBytes = (unsigned: Unsigned): Uint8Array<ArrayBuffer> => {
  const { signature: _left, ...rest } = unsigned as Signature;
  return canonicalBytes(rest);
};

/** The first digits of a key's hash, in groups, to be compared by eye or telephone. */
export const fingerprintOf = (key: PublicKey): string =>
  (
    hashOfValue({ crv: key.crv, kty: key.kty, x: key.x, y: key.y }).slice(0, 32).match(/.{4}/g) ??
    []
  ).join(" ");

/** True where the signature was made with the key's private half over exactly this document. */
export function isSignedByKey(signature: Signature): boolean {
  try {
    const { x, y } = signature.key;
    const point = Uint8Array.from([4, ...bytesOf(x), ...bytesOf(y)]);
    return p256.verify(bytesOf(signature.signature), signedBytes(signature), point, {
      lowS: false,
    });
  } catch {
    return false;
  }
}

/** True where a signature is about this revision and holds. */
export const signs = (signature: Signature, sha256: Sha256): boolean =>
  signature.signs === sha256 && isSignedByKey(signature);

/**
 * Reads a signature's file. Its text must be the canonical one and its numbers written in the one way
 * that they have, so that no byte of the file can be changed unseen; null otherwise.
 */
export function readSignature(text: string): Signature | null {
  try {
    const parsed = signatureSchema.strict().safeParse(JSON.parse(text));
    if (!parsed.success || canonicalText(parsed.data) !== text) return null;
    const { signature } = parsed.data;
    return base64urlOf(bytesOf(signature)) === signature ? parsed.data : null;
  } catch {
    return null;
  }
}

function bytesOf(text: string): Uint8Array {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
}

/** RFC 4648, section 5, without padding. */
export const base64urlOf = (bytes: Uint8Array): string =>
  btoa(String.fromCharCode(...bytes))
    .replaceAll("+", "-")
    .replaceAll("/", "_")
    .replace(/=+$/, "");

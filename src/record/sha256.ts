/**
 * SHA-256 (FIPS 180-4) as records use it: 64 lower-case hexadecimal digits that name an immutable
 * object. The computing is @noble/hashes: it needs no secure context, so that a record can be closed
 * and verified on plain http as well, and it takes a photo piece by piece.
 */
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex } from "@noble/hashes/utils.js";
import { z } from "zod";
import { canonicalBytes } from "./canonical.ts";

export const sha256Schema = z
  .string()
  .regex(/^[0-9a-f]{64}$/, "64 hexadecimal digits")
  .brand<"Sha256">();
/** Name of an immutable object: the SHA-256 of its bytes. */
export type Sha256 = z.infer<typeof sha256Schema>;

export const hashOf = (bytes: Uint8Array): Sha256 => bytesToHex(sha256(bytes)) as Sha256;

/** Hash of a value's canonical JSON. */
export const hashOfValue = (value: unknown): Sha256 => hashOf(canonicalBytes(value));

/** Hash of bytes that come piece by piece. */
export async function hashOfPieces(pieces: AsyncIterable<Uint8Array>): Promise<Sha256> {
  const sum = sha256.create();
  for await (const piece of pieces) sum.update(piece);
  return bytesToHex(sum.digest()) as Sha256;
}

import { hashOfPieces, type Sha256 } from "../../record/sha256.ts";

/**
 * SHA-256 of a Blob: by the browser where it can, which is fast and off this thread; piece by piece on
 * plain http, where it cannot.
 */
export async function hashOfBlob(blob: Blob): Promise<Sha256> {
  if (globalThis.crypto?.subtle) {
    const sum = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
    const digits = Array.from(new Uint8Array(sum), (byte) => byte.toString(16).padStart(2, "0"));
    return digits.join("") as Sha256;
  }
  return hashOfPieces(pieces(blob));
}

const pieceBytes = 1 << 20;

async function* pieces(blob: Blob): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < blob.size; at += pieceBytes) {
    yield new Uint8Array(await blob.slice(at, at + pieceBytes).arrayBuffer());
  }
}

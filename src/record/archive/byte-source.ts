/** Bytes that are read piece by piece: a file on disk, a Blob, or an array in a test. */
export interface ByteSource {
  readonly size: number;
  /** Bytes from..to (end not included); shorter only where the source ends. */
  read(from: number, to: number): Promise<Uint8Array>;
}

export const bytesAsSource = (bytes: Uint8Array): ByteSource => ({
  size: bytes.length,
  read: async (from, to) => bytes.subarray(from, to),
});

/** Pieces that a photo is hashed and copied in. */
const pieceBytes = 1 << 20;

/** The bytes from..to in pieces, so that memory holds one at a time. */
export async function* piecesOf(
  source: ByteSource,
  from = 0,
  to = source.size,
): AsyncGenerator<Uint8Array> {
  for (let at = from; at < to; ) {
    const piece = await source.read(at, Math.min(to, at + pieceBytes));
    if (piece.length === 0) return;
    yield piece;
    at += piece.length;
  }
}

export async function readAll(source: ByteSource, from: number, to: number): Promise<Uint8Array> {
  const all = new Uint8Array(Math.max(0, Math.min(to, source.size) - from));
  let at = 0;
  for await (const piece of piecesOf(source, from, to)) {
    all.set(piece.subarray(0, all.length - at), at);
    at += piece.length;
  }
  return all;
}

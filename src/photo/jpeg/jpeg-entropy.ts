/**
 * Entropy-coded data of one JPEG scan with the stuffed zero bytes taken out, so that the decoders
 * can look at 32 bits anywhere without asking for markers.
 */
export interface EntropyData {
  /** Clean bytes followed by enough zeros for one overrun MCU. */
  readonly view: DataView;
  /** End of each restart interval in bits; the first starts at 0. */
  readonly ends: readonly number[];
  /** Offset in the file of the marker that ended the scan, or the file's length. */
  readonly next: number;
  /** True where the file ended without a marker. */
  readonly fileEnded: boolean;
  /** False where the restart markers do not count 0..7 round and round. */
  readonly restartsInOrder: boolean;
}

/** Bytes that one MCU can take at most (10 blocks of 64 codes of 31 bits), rounded up. */
const overrun = 4096;

/**
 * Reads the entropy-coded data that starts at `start` into memory that `allocate` gives (by default
 * a new array); it may hold old data.
 */
export function readEntropyData(
  bytes: Uint8Array,
  start: number,
  allocate: (size: number) => Uint8Array = (size) => new Uint8Array(size),
): EntropyData {
  const next = findMarker(bytes, start);
  const clean = allocate(next - start + overrun);
  const ends: number[] = [];
  let restartsInOrder = true;
  let to = 0;
  for (let from = start; from < next; ) {
    const stuffed = bytes.indexOf(0xff, from);
    const end = stuffed < 0 || stuffed >= next ? next : stuffed;
    to = copy(bytes, from, end, clean, to);
    if (end === next) break;
    const code = end + 1 < bytes.length ? bytes[end + 1] : 0xff;
    from = end + 2;
    if (code === 0) clean[to++] = 0xff;
    else if (code === 0xff) from = end + 1;
    else {
      if ((code & 7) !== (ends.length & 7)) restartsInOrder = false;
      ends.push(to * 8);
    }
  }
  // A restart marker right before the end starts an interval without data: some writers leave one.
  if (ends.at(-1) !== to * 8) ends.push(to * 8);
  clean.fill(0, to, to + overrun);
  const view = new DataView(clean.buffer, clean.byteOffset, clean.byteLength);
  return { view, ends, next, fileEnded: next >= bytes.length, restartsInOrder };
}

function copy(from: Uint8Array, start: number, end: number, to: Uint8Array, at: number): number {
  if (end - start > 200) {
    to.set(from.subarray(start, end), at);
    return at + end - start;
  }
  let target = at;
  for (let i = start; i < end; i++) to[target++] = from[i];
  return target;
}

/** Offset of the first marker from `start` on that is neither stuffing nor a restart. */
export function findMarker(bytes: Uint8Array, start: number): number {
  let at = bytes.indexOf(0xff, start);
  while (at >= 0 && at + 1 < bytes.length) {
    const code = bytes[at + 1];
    if (code !== 0 && code !== 0xff && (code < 0xd0 || code > 0xd7)) return at;
    at = bytes.indexOf(0xff, at + (code === 0xff ? 1 : 2));
  }
  return bytes.length;
}

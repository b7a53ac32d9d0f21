/**
 * Image file directories of TIFF (TIFF 6.0, section 2), as EXIF uses them. Every offset is checked
 * against the data, so damaged files give missing entries, never a crash or an endless loop.
 */
export interface TiffEntry {
  readonly type: number;
  readonly count: number;
  /** Offset of the values. */
  readonly at: number;
}

export interface TiffReader {
  readonly view: DataView;
  readonly littleEndian: boolean;
  /** Offset of the first directory. */
  readonly first: number;
}

export interface TiffDirectory {
  readonly entries: ReadonlyMap<number, TiffEntry>;
  /** False where the directory or one of its values reaches beyond the data. */
  readonly sound: boolean;
}

const typeSizes = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8];
const maxEntries = 512;

/** Opens TIFF data; null where its header is wrong. */
export function openTiff(bytes: Uint8Array): TiffReader | null {
  if (bytes.length < 8) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return null;
  const littleEndian = order === 0x4949;
  if (view.getUint16(2, littleEndian) !== 42) return null;
  return { view, littleEndian, first: view.getUint32(4, littleEndian) };
}

/** Reads the directory at an offset. */
export function readDirectory(tiff: TiffReader, at: number): TiffDirectory {
  const { view, littleEndian } = tiff;
  const entries = new Map<number, TiffEntry>();
  if (at < 8 || at + 2 > view.byteLength) return { entries, sound: false };
  const count = view.getUint16(at, littleEndian);
  let sound = count <= maxEntries;
  for (let i = 0; i < Math.min(count, maxEntries); i++) {
    const place = at + 2 + 12 * i;
    if (place + 12 > view.byteLength) return { entries, sound: false };
    const type = view.getUint16(place + 2, littleEndian);
    const values = view.getUint32(place + 4, littleEndian);
    const size = (typeSizes[type] ?? 0) * values;
    if (size === 0) continue;
    const start = size <= 4 ? place + 8 : view.getUint32(place + 8, littleEndian);
    if (start + size > view.byteLength) {
      sound = false;
      continue;
    }
    entries.set(view.getUint16(place, littleEndian), { type, count: values, at: start });
  }
  return { entries, sound };
}

/** Offset of the directory that follows the one at `at`; 0 where there is none. */
export function nextDirectory({ view, littleEndian }: TiffReader, at: number): number {
  if (at < 8 || at + 2 > view.byteLength) return 0;
  const end = at + 2 + 12 * view.getUint16(at, littleEndian);
  return end + 4 > view.byteLength ? 0 : view.getUint32(end, littleEndian);
}

/** First value of an entry as a number; null where it is absent, not a number or divided by zero. */
export function numberOf(tiff: TiffReader, entry: TiffEntry | undefined): number | null {
  if (!entry) return null;
  const { view, littleEndian } = tiff;
  const { type, at } = entry;
  switch (type) {
    case 1:
      return view.getUint8(at);
    case 3:
      return view.getUint16(at, littleEndian);
    case 4:
      return view.getUint32(at, littleEndian);
    case 9:
      return view.getInt32(at, littleEndian);
    case 5:
      return ratio(view.getUint32(at, littleEndian), view.getUint32(at + 4, littleEndian));
    case 10:
      return ratio(view.getInt32(at, littleEndian), view.getInt32(at + 4, littleEndian));
    default:
      return null;
  }
}

function ratio(numerator: number, denominator: number): number | null {
  return denominator === 0 ? null : numerator / denominator;
}

/** Text of an entry up to its first zero byte, trimmed; null where absent, no text or empty. */
export function textOf(tiff: TiffReader, entry: TiffEntry | undefined): string | null {
  if (!entry || (entry.type !== 2 && entry.type !== 7)) return null;
  const length = Math.min(entry.count, 200);
  const { buffer, byteOffset } = tiff.view;
  const bytes = new Uint8Array(buffer, byteOffset + entry.at, length);
  const zero = bytes.indexOf(0);
  const raw = new TextDecoder().decode(zero < 0 ? bytes : bytes.subarray(0, zero));
  const clean = raw.replace(/\p{Cc}/gu, " ").trim();
  return clean === "" ? null : clean;
}

/** True where the first directory holds the tag. */
export function hasTiffTag(bytes: Uint8Array, tag: number): boolean {
  const tiff = openTiff(bytes);
  return !!tiff && readDirectory(tiff, tiff.first).entries.has(tag);
}

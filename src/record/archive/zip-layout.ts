/**
 * The one layout that record archives have: a plain .zip (PKWARE APPNOTE 6.3.10, sections 4.3.7,
 * 4.3.12, 4.3.16) with stored entries one after the other, no dates, no comments, no extra fields.
 * Any zip program opens it; and because nothing is left to choice, every byte that differs from the
 * layout can be named. Up to 4 GB and 65,535 files, which is enough for one job.
 */

export interface ZipEntry {
  readonly name: string;
  readonly crc32: number;
  readonly size: number;
}

export const localHeaderBytes = 30;
export const centralHeaderBytes = 46;
export const endBytes = 22;

const localSignature = 0x04034b50;
const centralSignature = 0x02014b50;
const endSignature = 0x06054b50;
/** Version 2.0 of the format, as written and as needed. */
const version = 20;
/** Bit 11: names are UTF-8. */
const utf8Names = 0x0800;
/** 1 January 1980, the first day that the format knows. */
const noDate = 0x0021;

const utf8 = new TextEncoder();

/** The header in front of an entry's bytes. */
export function localHeader({ name, crc32, size }: ZipEntry): Uint8Array {
  const named = utf8.encode(name);
  const bytes = new Uint8Array(localHeaderBytes + named.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, localSignature, true);
  view.setUint16(4, version, true);
  view.setUint16(6, utf8Names, true);
  view.setUint16(12, noDate, true);
  view.setUint32(14, crc32, true);
  view.setUint32(18, size, true);
  view.setUint32(22, size, true);
  view.setUint16(26, named.length, true);
  bytes.set(named, localHeaderBytes);
  return bytes;
}

/** The entry's line in the directory at the end; `at` is where its local header begins. */
export function centralHeader({ name, crc32, size }: ZipEntry, at: number): Uint8Array {
  const named = utf8.encode(name);
  const bytes = new Uint8Array(centralHeaderBytes + named.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, centralSignature, true);
  view.setUint16(4, version, true);
  view.setUint16(6, version, true);
  view.setUint16(8, utf8Names, true);
  view.setUint16(14, noDate, true);
  view.setUint32(16, crc32, true);
  view.setUint32(20, size, true);
  view.setUint32(24, size, true);
  view.setUint16(28, named.length, true);
  view.setUint32(42, at, true);
  bytes.set(named, centralHeaderBytes);
  return bytes;
}

/** The end of the archive: `count` entries, whose directory of `size` bytes begins at `at`. */
export function endOfArchive(count: number, at: number, size: number): Uint8Array {
  const bytes = new Uint8Array(endBytes);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, endSignature, true);
  view.setUint16(8, count, true);
  view.setUint16(10, count, true);
  view.setUint32(12, size, true);
  view.setUint32(16, at, true);
  return bytes;
}

export interface ParsedHeader extends ZipEntry {
  /** Where the entry's local header begins, as the directory says; 0 in local headers. */
  readonly at: number;
  readonly headerBytes: number;
}

const readName = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);

/** Reads a local header at the front of `bytes`; null where there is none. */
export function parseLocal(bytes: Uint8Array): ParsedHeader | null {
  if (bytes.length < localHeaderBytes) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const headerBytes = localHeaderBytes + view.getUint16(26, true);
  if (view.getUint32(0, true) !== localSignature || bytes.length < headerBytes) return null;
  return {
    name: readName(bytes.subarray(localHeaderBytes, headerBytes)),
    crc32: view.getUint32(14, true),
    size: view.getUint32(18, true),
    at: 0,
    headerBytes,
  };
}

/** Reads a directory line at the front of `bytes`; null where there is none. */
export function parseCentral(bytes: Uint8Array): ParsedHeader | null {
  if (bytes.length < centralHeaderBytes) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const headerBytes = centralHeaderBytes + view.getUint16(28, true);
  if (view.getUint32(0, true) !== centralSignature || bytes.length < headerBytes) return null;
  return {
    name: readName(bytes.subarray(centralHeaderBytes, headerBytes)),
    crc32: view.getUint32(16, true),
    size: view.getUint32(20, true),
    at: view.getUint32(42, true),
    headerBytes,
  };
}

const crcTable = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

/** CRC-32 (ISO 3309, as zip uses it) over pieces: start with 0, feed the last answer. */
export function crc32(piece: Uint8Array, before = 0): number {
  let c = ~before;
  for (let i = 0; i < piece.length; i++) c = crcTable[(c ^ piece[i]) & 255] ^ (c >>> 8);
  return ~c >>> 0;
}

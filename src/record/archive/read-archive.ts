/**
 * Reads a record archive and says what in its container is not as the layout demands. One damaged
 * header does not hide the files: local headers and the directory at the end say the same, so either
 * can stand in for the other.
 */
import { type ByteSource, piecesOf, readAll } from "./byte-source.ts";
import {
  centralHeader,
  centralHeaderBytes,
  crc32,
  endBytes,
  endOfArchive,
  localHeader,
  localHeaderBytes,
  parseCentral,
  parseLocal,
  type ZipEntry,
} from "./zip-layout.ts";

export interface ArchivedFile extends ZipEntry {
  /** Where the bytes begin. */
  readonly from: number;
}

/** What is wrong with the container, apart from what the files hold. */
export interface ContainerFault {
  /** The file that it is about; null for the archive's end. */
  readonly file: string | null;
  readonly what: "header" | "directory" | "end" | "checksum" | "truncated";
}

export interface OpenedArchive {
  readonly files: readonly ArchivedFile[];
  readonly faults: readonly ContainerFault[];
}

/** Longest name in bytes that is looked for; the app's names are far shorter. */
const longestName = 1024;

/**
 * Opens an archive; null where it has no files in this layout (another program packed it, or it is
 * no zip at all).
 */
export async function openArchive(source: ByteSource): Promise<OpenedArchive | null> {
  const walked = await walk(source);
  const listed = await listedIn(source);
  const files = walked.complete || !listed?.complete ? walked.files : listed.files;
  if (files.length === 0) return null;
  const end = files.at(-1)!;
  const directoryAt = end.from + end.size;
  const faults = [
    ...otherNames(walked.files, listed?.files ?? []),
    ...(await localFaults(source, files)),
    ...(await directoryFaults(source, files, directoryAt)),
  ];
  return { files, faults };
}

/** Where header and directory give a file two names, both are named: one of them was changed. */
function otherNames(
  walked: readonly ArchivedFile[],
  listed: readonly ArchivedFile[],
): ContainerFault[] {
  return walked.flatMap(({ name, from }) => {
    const line = listed.find((file) => file.from === from);
    return line && line.name !== name
      ? [name, line.name].map((file) => ({ file, what: "header" as const }))
      : [];
  });
}

interface Listing {
  readonly files: ArchivedFile[];
  /** True where the files join up from the first byte to the directory. */
  readonly complete: boolean;
}

/** Follows the local headers from the front. */
async function walk(source: ByteSource): Promise<Listing> {
  const files: ArchivedFile[] = [];
  let at = 0;
  while (at < source.size) {
    const bytes = await readHeader(source, at, localHeaderBytes);
    const header = parseLocal(bytes);
    if (!header) return { files, complete: parseCentral(bytes) !== null };
    const { name, crc32: sum, size } = header;
    const from = at + header.headerBytes;
    if (from + size > source.size) break;
    files.push({ name, crc32: sum, size, from });
    at = from + size;
  }
  return { files, complete: false };
}

const readHeader = (source: ByteSource, at: number, fixed: number): Promise<Uint8Array> =>
  readAll(source, at, Math.min(source.size, at + fixed + longestName));

/** Reads the directory; complete where its lines join up without a gap from the first byte on. */
async function listedIn(source: ByteSource): Promise<Listing | null> {
  const end = await readAll(source, Math.max(0, source.size - endBytes), source.size);
  if (end.length < endBytes) return null;
  const view = new DataView(end.buffer, end.byteOffset, end.byteLength);
  const directoryAt = view.getUint32(16, true);
  if (directoryAt >= source.size) return null;
  const directory = await readAll(source, directoryAt, source.size - endBytes);
  const files: ArchivedFile[] = [];
  let expected = 0;
  let complete = true;
  let at = 0;
  while (at + centralHeaderBytes <= directory.length) {
    const line = parseCentral(directory.subarray(at));
    if (!line || line.at !== expected) {
      complete = false;
      break;
    }
    const nameBytes = line.headerBytes - centralHeaderBytes;
    const from = line.at + localHeaderBytes + nameBytes;
    files.push({ name: line.name, crc32: line.crc32, size: line.size, from });
    expected = from + line.size;
    at += line.headerBytes;
  }
  return { files, complete: complete && at === directory.length && expected === directoryAt };
}

async function localFaults(
  source: ByteSource,
  files: readonly ArchivedFile[],
): Promise<ContainerFault[]> {
  const faults: ContainerFault[] = [];
  for (const file of files) {
    const expected = localHeader(file);
    const found = await readAll(source, file.from - expected.length, file.from);
    if (!same(expected, found)) faults.push({ file: file.name, what: "header" });
    let sum = 0;
    for await (const piece of piecesOf(source, file.from, file.from + file.size)) {
      sum = crc32(piece, sum);
    }
    if (sum !== file.crc32) faults.push({ file: file.name, what: "checksum" });
  }
  return faults;
}

/** Compares the end of the archive with the one that belongs to these files, line by line. */
async function directoryFaults(
  source: ByteSource,
  files: readonly ArchivedFile[],
  directoryAt: number,
): Promise<ContainerFault[]> {
  const faults: ContainerFault[] = [];
  let at = directoryAt;
  for (const file of files) {
    const headerAt = file.from - localHeader(file).length;
    const expected = centralHeader(file, headerAt);
    const found = await readAll(source, at, at + expected.length);
    if (!same(expected, found)) faults.push({ file: file.name, what: "directory" });
    at += expected.length;
  }
  const expected = endOfArchive(files.length, directoryAt, at - directoryAt);
  const found = await readAll(source, at, source.size);
  if (!same(expected, found)) {
    faults.push({ file: null, what: found.length < endBytes ? "truncated" : "end" });
  }
  return faults;
}

const same = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, i) => byte === b[i]);

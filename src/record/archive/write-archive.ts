/** Writes a record archive piece by piece: memory holds one piece of one photo at a time. */
import { type ByteSource, piecesOf } from "./byte-source.ts";
import { centralHeader, crc32, endOfArchive, localHeader, type ZipEntry } from "./zip-layout.ts";

export interface ArchiveFile {
  readonly name: string;
  readonly source: ByteSource;
}

/** The format's plain form ends here. */
export const mostBytes = 0xffff_fffe;
export const mostFiles = 0xffff;

/** Throws RangeError where the files are too many or too large for one archive. */
export async function* archivePieces(files: readonly ArchiveFile[]): AsyncGenerator<Uint8Array> {
  const total = files.reduce(
    (sum, { source, name }) => sum + source.size + 3 * name.length + 100,
    0,
  );
  if (total > mostBytes || files.length > mostFiles) {
    throw new RangeError("One archive holds up to 4 GB and 65,535 files.");
  }
  const directory: Uint8Array[] = [];
  let at = 0;
  for (const { name, source } of files) {
    let sum = 0;
    for await (const piece of piecesOf(source)) sum = crc32(piece, sum);
    const entry: ZipEntry = { name, crc32: sum, size: source.size };
    const header = localHeader(entry);
    directory.push(centralHeader(entry, at));
    yield header;
    yield* piecesOf(source);
    at += header.length + source.size;
  }
  yield* directory;
  const size = directory.reduce((sum, line) => sum + line.length, 0);
  yield endOfArchive(directory.length, at, size);
}

import {
  BlobReader,
  configure,
  type FileEntry,
  ZipReader,
} from "@zip.js/zip.js/lib/zip-core-native.js";

// Workers of the library are made from text, which the page's security policy forbids.
configure({ useWebWorkers: false });

/** Bounds on an archive, so that a small file cannot unpack into a full device. */
export const zipLimits = {
  /** 500 photos and what belongs to them, with room to spare. */
  entries: 5_000,
  /** A photo of 200 megapixels is smaller. */
  entryBytes: 256e6,
  textBytes: 32e6,
  /** Photos do not shrink in a zip: an archive that unpacks to more than this is no job. */
  ratio: 4,
  spareBytes: 64e6,
  nameLength: 255,
} as const;

export type ZipProblem = "no zip" | "cut off" | "damaged" | "too large";

export interface ZipContent {
  readonly texts: ReadonlyMap<string, string>;
  readonly files: ReadonlyMap<string, Blob>;
}

export type ZipReading =
  | { readonly ok: true; readonly content: ZipContent }
  | { readonly ok: false; readonly problem: ZipProblem; readonly name: string };

/** Ends the reading at once, from inside the stream of an entry. */
class TooLarge extends Error {}

/**
 * Unpacks an archive entry by entry: texts (.json) into memory, anything that `wanted` asks for into
 * blobs, which the browser may keep on disk. Entries are found by the archive's directory, their
 * checksums are verified, and those that overlap are refused. Never throws for what is in the file.
 */
export async function readZip(file: Blob, wanted: (path: string) => boolean): Promise<ZipReading> {
  const texts = new Map<string, string>();
  const files = new Map<string, Blob>();
  const room = { bytes: zipLimits.ratio * file.size + zipLimits.spareBytes };
  let name = "";
  let entries = 0;
  const reader = new ZipReader(new BlobReader(file), {
    checkSignature: true,
    checkOverlappingEntry: true,
  });
  try {
    for await (const entry of reader.getEntriesGenerator()) {
      name = entry.filename.slice(0, zipLimits.nameLength);
      if (++entries > zipLimits.entries || entry.filename.length > zipLimits.nameLength) {
        throw new TooLarge();
      }
      const isText = entry.filename.endsWith(".json");
      if (entry.directory || !(isText || wanted(entry.filename))) {
        continue;
      }
      const limit = isText ? zipLimits.textBytes : zipLimits.entryBytes;
      const blob = new Blob(await unpacked(entry, limit, room), { type: "image/jpeg" });
      if (isText) {
        texts.set(entry.filename, await blob.text());
      } else {
        files.set(entry.filename, blob);
      }
    }
    return { ok: true, content: { texts, files } };
  } catch (error) {
    if (error instanceof TooLarge) {
      return { ok: false, problem: "too large", name };
    }
    return { ok: false, problem: entries > 0 ? "damaged" : await withoutDirectory(file), name };
  } finally {
    await reader.close().catch(() => undefined);
  }
}

/**
 * A zip has its directory at its end: a file that begins as a zip and has none was cut off on its
 * way, as by a messenger or a full device.
 */
async function withoutDirectory(file: Blob): Promise<"no zip" | "cut off"> {
  const [p, k, three, four] = new Uint8Array(await file.slice(0, 4).arrayBuffer());
  return p === 0x50 && k === 0x4b && three === 3 && four === 4 ? "cut off" : "no zip";
}

/** The bytes of an entry; counted as they come, whatever the archive says of its size. */
async function unpacked(entry: FileEntry, limit: number, room: { bytes: number }) {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let bytes = 0;
  let failure: unknown = null;
  const sink = new WritableStream<Uint8Array<ArrayBuffer>>({
    write(part) {
      bytes += part.length;
      room.bytes -= part.length;
      if (bytes > limit || room.bytes < 0) {
        failure = new TooLarge();
        throw failure;
      }
      parts.push(part);
    },
  });
  try {
    await entry.getData(sink);
  } catch (error) {
    throw failure ?? error;
  }
  return parts;
}

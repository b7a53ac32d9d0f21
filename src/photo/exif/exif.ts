/** EXIF of a photo (CIPA DC-008), read from JPEG, PNG, WebP or HEIC files. */

import type { Remark } from "../file/codes.ts";
import { type PhotoFormat, sniffFormat } from "../file/sniff.ts";
import {
  nextDirectory,
  numberOf,
  openTiff,
  readDirectory,
  type TiffDirectory,
  type TiffEntry,
  type TiffReader,
  textOf,
} from "../file/tiff-directory.ts";
import { readHeif } from "../heif/heif.ts";
import { nextSegment } from "../jpeg/jpeg-header.ts";
import { type ExifFacts, noFacts } from "./exif-facts.ts";

export interface ExifOutcome {
  readonly facts: ExifFacts | null;
  /** Says that EXIF is missing or damaged; null where all is well. */
  readonly remark: Remark | null;
}

const tag = {
  make: 0x010f,
  model: 0x0110,
  orientation: 0x0112,
  software: 0x0131,
  exposureTime: 0x829a,
  fNumber: 0x829d,
  exifDirectory: 0x8769,
  iso: 0x8827,
  takenAt: 0x9003,
  takenOffset: 0x9011,
  focalLength: 0x920a,
  pixelWidth: 0xa002,
  pixelHeight: 0xa003,
  customRendered: 0xa401,
  digitalZoom: 0xa404,
  focalLength35mm: 0xa405,
  lensModel: 0xa434,
  previewAt: 0x0201,
  previewBytes: 0x0202,
} as const;

/**
 * Reads the EXIF of a photo file. Damaged EXIF never hides a photo: it gives a remark. How a HEIC is
 * to be turned stands in the file itself, and EXIF's word for it is not asked.
 */
export function readExif(bytes: Uint8Array, format: PhotoFormat, name: string): ExifOutcome {
  const outcome = readBlock(bytes, format, name);
  const orientation = format === "heic" ? readHeif(bytes)?.orientation : undefined;
  if (orientation === undefined || (outcome.facts === null && orientation === 1)) return outcome;
  return { ...outcome, facts: { ...(outcome.facts ?? noFacts), orientation } };
}

function readBlock(bytes: Uint8Array, format: PhotoFormat, name: string): ExifOutcome {
  const block = findExif(bytes, format);
  if (!block) return { facts: null, remark: missing(name) };
  const tiff = openTiff(block);
  if (!tiff) return { facts: null, remark: damaged(name) };
  const main = readDirectory(tiff, tiff.first);
  const pointer = numberOf(tiff, main.entries.get(tag.exifDirectory));
  const nothing: TiffDirectory = { entries: new Map<number, TiffEntry>(), sound: true };
  const detail = pointer === null ? nothing : readDirectory(tiff, pointer);
  const facts = collect(tiff, main, detail);
  const sound = main.sound && detail.sound;
  if (Object.values(facts).every((value) => value === null)) {
    return { facts: null, remark: sound ? missing(name) : damaged(name) };
  }
  return { facts, remark: sound ? null : damaged(name) };
}

/**
 * The small JPEG that cameras store with a photo (second directory, DC-008 4.6.8), with the turn
 * that the photo itself asks for; null where there is none.
 */
export function readPreview(
  bytes: Uint8Array,
  format: PhotoFormat,
): { readonly jpeg: Uint8Array; readonly orientation: number } | null {
  const block = findExif(bytes, format);
  const tiff = block && openTiff(block);
  if (!tiff) return null;
  const main = readDirectory(tiff, tiff.first);
  const second = readDirectory(tiff, nextDirectory(tiff, tiff.first));
  const at = numberOf(tiff, second.entries.get(tag.previewAt));
  const length = numberOf(tiff, second.entries.get(tag.previewBytes));
  if (at === null || length === null || length < 4 || at + length > block.length) return null;
  const jpeg = block.subarray(at, at + length);
  if (jpeg[0] !== 0xff || jpeg[1] !== 0xd8) return null;
  return { jpeg, orientation: collect(tiff, main, main).orientation ?? 1 };
}

function collect(tiff: TiffReader, main: TiffDirectory, detail: TiffDirectory): ExifFacts {
  const word = (from: TiffDirectory, key: number) => textOf(tiff, from.entries.get(key));
  const value = (from: TiffDirectory, key: number) => numberOf(tiff, from.entries.get(key));
  const positive = (key: number) => {
    const found = value(detail, key);
    return found !== null && found > 0 ? found : null;
  };
  const orientation = value(main, tag.orientation);
  const known = orientation !== null && orientation >= 1 && orientation <= 8;
  return {
    make: word(main, tag.make),
    model: word(main, tag.model),
    lensModel: word(detail, tag.lensModel),
    focalLengthMm: positive(tag.focalLength),
    focalLength35mm: positive(tag.focalLength35mm),
    digitalZoom: positive(tag.digitalZoom),
    orientation: known ? orientation : null,
    exposureTimeS: positive(tag.exposureTime),
    fNumber: positive(tag.fNumber),
    iso: positive(tag.iso),
    takenAt: isoTime(word(detail, tag.takenAt), word(detail, tag.takenOffset)),
    software: word(main, tag.software),
    exifWidth: positive(tag.pixelWidth),
    exifHeight: positive(tag.pixelHeight),
    customRendered: value(detail, tag.customRendered),
  };
}

/** EXIF writes "2031:04:05 06:07:08"; ISO 8601 with the zone where the camera wrote one. */
function isoTime(text: string | null, offset: string | null): string | null {
  const parts = text?.match(/^(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)/);
  if (!parts) return null;
  const [, year, month, day, hour, minute, second] = parts;
  if (+month < 1 || +month > 12 || +day < 1 || +day > 31) return null;
  if (+hour > 23 || +minute > 59 || +second > 60) return null;
  const zone = offset?.match(/^[+-]\d\d:\d\d$/) ? offset : "";
  return `${year}-${month}-${day}T${hour}:${minute}:${second}${zone}`;
}

function findExif(bytes: Uint8Array, format: PhotoFormat): Uint8Array | null {
  if (format === "jpeg") return findInJpeg(bytes);
  if (format === "heic") return readHeif(bytes)?.exif ?? null;
  if (format === "png") return findChunk(bytes, 8, "eXIf", { nameFirst: false });
  if (format === "webp") {
    const block = findChunk(bytes, 12, "EXIF", { nameFirst: true });
    return block && isExifHeader(block) ? block.subarray(6) : block;
  }
  return null;
}

/** The same file with EXIF that nobody can read: every browser then shows its stored pixels. */
export function withoutExif(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  const copy = Uint8Array.from(bytes);
  // The mark of the byte order, without which it is no TIFF.
  findExif(copy, sniffFormat(copy))?.fill(0, 0, 2);
  return copy;
}

function findInJpeg(bytes: Uint8Array): Uint8Array | null {
  let at = 2;
  for (;;) {
    const segment = nextSegment(bytes, at);
    if (!segment || segment.code === 0xda || segment.code === 0xd9) return null;
    if (segment.code === 0xe1 && isExifHeader(segment.payload)) return segment.payload.subarray(6);
    at = segment.end;
  }
}

function isExifHeader(bytes: Uint8Array): boolean {
  return String.fromCharCode(...bytes.subarray(0, 6)) === "Exif\0\0";
}

/** Payload of a PNG chunk (length, name, data, check sum) or a RIFF chunk (name, length, data). */
function findChunk(
  bytes: Uint8Array,
  start: number,
  wanted: string,
  { nameFirst }: { nameFirst: boolean },
): Uint8Array | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let at = start; at + 8 <= bytes.length; ) {
    const length = nameFirst ? view.getUint32(at + 4, true) : view.getUint32(at);
    const nameAt = nameFirst ? at : at + 4;
    if (at + 8 + length > bytes.length) return null;
    const name = String.fromCharCode(...bytes.subarray(nameAt, nameAt + 4));
    if (name === wanted) return bytes.subarray(at + 8, at + 8 + length);
    at += 8 + length + (nameFirst ? length & 1 : 4);
  }
  return null;
}

function missing(name: string): Remark {
  return {
    code: "exif-missing",
    severity: "info",
    message: "The photo carries no camera data (EXIF), so it cannot be told which phone took it.",
    remedy: "Use the file as the phone's camera wrote it; messengers and editors remove the data.",
    about: name,
  };
}

function damaged(name: string): Remark {
  return {
    code: "exif-damaged",
    severity: "warning",
    message: "The photo's camera data (EXIF) is damaged; what could not be read is left out.",
    remedy: "Use the file as the phone's camera wrote it.",
    about: name,
  };
}

/** Tells a file's kind by its first bytes, never by its name. */
import type { Remark } from "./codes.ts";
import { hasTiffTag } from "./tiff-directory.ts";

export type PhotoFormat =
  | "jpeg"
  | "png"
  | "webp"
  | "heic"
  | "avif"
  | "jpeg-xl"
  | "tiff"
  | "raw"
  | "gif"
  | "bmp"
  | "video"
  | "pdf"
  | "empty"
  | "unknown";

/** DNGVersion, present in every DNG (Adobe DNG specification 1.7). */
const dngVersion = 0xc612;

/** Brands of ISO base media files that hold stills coded with HEVC or AV1 (ISO/IEC 23008-12). */
const heicBrands = ["heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1"];
const avifBrands = ["avif", "avis"];

/** Kind of the file, judged by its content. */
export function sniffFormat(bytes: Uint8Array): PhotoFormat {
  if (bytes.length === 0) return "empty";
  if (hasBytes(bytes, 0, [0xff, 0xd8])) return "jpeg";
  if (hasBytes(bytes, 0, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return "png";
  if (text(bytes, 0, 4) === "RIFF") return riffFormat(text(bytes, 8, 4));
  if (text(bytes, 4, 4) === "ftyp") return mediaFormat(bytes);
  if (hasBytes(bytes, 0, [0x49, 0x49, 0x2a, 0]) || hasBytes(bytes, 0, [0x4d, 0x4d, 0, 0x2a])) {
    const raw = hasTiffTag(bytes, dngVersion) || text(bytes, 8, 2) === "CR";
    return raw ? "raw" : "tiff";
  }
  if (text(bytes, 0, 4) === "GIF8") return "gif";
  if (text(bytes, 0, 2) === "BM") return "bmp";
  if (text(bytes, 0, 5) === "%PDF-") return "pdf";
  if (hasBytes(bytes, 0, [0xff, 0x0a]) || text(bytes, 4, 4) === "JXL ") return "jpeg-xl";
  if (hasBytes(bytes, 0, [0x1a, 0x45, 0xdf, 0xa3])) return "video";
  if (["moov", "mdat", "wide"].includes(text(bytes, 4, 4))) return "video";
  return "unknown";
}

function riffFormat(kind: string): PhotoFormat {
  if (kind === "WEBP") return "webp";
  return kind === "AVI " ? "video" : "unknown";
}

function mediaFormat(bytes: Uint8Array): PhotoFormat {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = Math.min(bytes.length, view.getUint32(0), 256);
  const brands = [text(bytes, 8, 4)];
  for (let at = 16; at + 4 <= end; at += 4) brands.push(text(bytes, at, 4));
  if (brands.some((b) => avifBrands.includes(b))) return "avif";
  return brands.some((b) => heicBrands.includes(b)) ? "heic" : "video";
}

function hasBytes(bytes: Uint8Array, at: number, wanted: readonly number[]): boolean {
  return wanted.every((value, i) => bytes[at + i] === value);
}

function text(bytes: Uint8Array, at: number, length: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + length));
}

const cameraSetting =
  "Set the phone's camera to save JPEG (often called 'most compatible' in its format setting) " +
  "and take the photo again, or share the photo as JPEG from the phone's gallery.";
const saveAsJpeg = "Use the JPEG that the phone's camera wrote, or save this picture as JPEG.";

const advice: Record<Exclude<PhotoFormat, "jpeg" | "png">, readonly [string, string]> = {
  heic: [
    "This is an HEIC photo, and the part of the program that reads HEIC could not be loaded.",
    `Open Plumbshot once with a connection and add the photo again. Or: ${cameraSetting}`,
  ],
  avif: ["This is an AVIF picture, which cannot be read here.", cameraSetting],
  "jpeg-xl": ["This is a JPEG XL picture, which cannot be read here.", cameraSetting],
  raw: ["This is a raw photo, which cannot be read here.", cameraSetting],
  webp: ["This is a WebP picture, which cannot be read here.", saveAsJpeg],
  tiff: ["This is a TIFF picture, which cannot be read here.", saveAsJpeg],
  gif: ["This is a GIF picture; it has too few shades to measure.", saveAsJpeg],
  bmp: ["This is a BMP picture, which cannot be read here.", saveAsJpeg],
  video: [
    "This is a video, not a photo.",
    "Take single photos; a video is too coarse and blurred. Of a live photo (a photo with a short " +
      "video) choose the photo.",
  ],
  pdf: ["This is a PDF document, not a photo.", "Choose the photos that the phone's camera wrote."],
  empty: ["The file is empty.", "Copy the photo from the phone again."],
  unknown: ["This file is not a photo.", "Choose the photos that the phone's camera wrote."],
};

/** What to tell the user about a file whose format is not decoded. */
export function formatRemark(format: Exclude<PhotoFormat, "jpeg" | "png">, name: string): Remark {
  const [message, remedy] = advice[format];
  return { code: `photo-format-${format}`, severity: "error", message, remedy, about: name };
}

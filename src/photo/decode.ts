/** From a file's bytes to the grey picture and what the camera wrote about it. */

import { readExif } from "./exif/exif.ts";
import type { ExifFacts } from "./exif/exif-facts.ts";
import type { Remark } from "./file/codes.ts";
import { formatRemark, type PhotoFormat, sniffFormat } from "./file/sniff.ts";
import type { LumaImage } from "./grey/luma.ts";
import { type DecodeOptions, decodeJpeg } from "./jpeg/jpeg.ts";
import { decodePng } from "./png/png.ts";

export type DecodedPhoto =
  | {
      readonly ok: true;
      readonly luma: LumaImage;
      readonly exif: ExifFacts | null;
      readonly remarks: readonly Remark[];
      readonly format: PhotoFormat;
    }
  | { readonly ok: false; readonly remark: Remark };

/** Shorter side below which no board can be measured, px. */
const smallestSide = 64;
/** Longer side below which a photo was most likely shrunk on its way, px. */
const shrunkSide = 1200;

/**
 * Decodes a photo file to luma in sensor orientation (EXIF rotation is reported, never applied).
 * Whatever the bytes are, the answer is a picture or a remark that says what to do.
 */
export function decodePhoto(
  bytes: Uint8Array,
  name: string,
  options: DecodeOptions = {},
): DecodedPhoto {
  const format = sniffFormat(bytes);
  if (format !== "jpeg" && format !== "png") {
    return { ok: false, remark: formatRemark(format, name) };
  }
  try {
    const outcome = format === "jpeg" ? decodeJpeg(bytes, options) : decodePng(bytes);
    if (!outcome.ok) return { ok: false, remark: { ...outcome.remark, about: name } };
    return describePhoto(outcome.luma, bytes, format, name);
  } catch (error) {
    if (isOutOfMemory(error)) return { ok: false, remark: outOfMemory(name) };
    throw error;
  }
}

/** Adds the EXIF and the remarks to a grey picture, however it was decoded. */
export function describePhoto(
  luma: LumaImage,
  bytes: Uint8Array,
  format: PhotoFormat,
  name: string,
): DecodedPhoto {
  const { width, height } = luma;
  if (Math.min(width, height) < smallestSide) return { ok: false, remark: tooSmall(luma, name) };
  const exif = readExif(bytes, format, name);
  const remarks: Remark[] = exif.remark ? [exif.remark] : [];
  if (Math.max(width, height) < shrunkSide) remarks.push(shrunk(luma, name));
  return { ok: true, luma, exif: exif.facts, remarks, format };
}

/** Engines report an array or a WebAssembly memory that cannot be had as a RangeError. */
export function isOutOfMemory(error: unknown): boolean {
  return error instanceof RangeError && /allocation|array length|memory/i.test(error.message);
}

function tooSmall({ width, height }: LumaImage, name: string): Remark {
  return {
    code: "photo-too-small",
    values: { width, height },
    severity: "error",
    message: `The photo has only ${width} x ${height} px; nothing can be measured in it.`,
    remedy: "Use the full-size photo as the phone's camera wrote it.",
    about: name,
  };
}

function shrunk({ width, height }: LumaImage, name: string): Remark {
  return {
    code: "photo-shrunk",
    values: { width, height },
    severity: "warning",
    message: `The photo has only ${width} x ${height} px, less than phones take: it was shrunk.`,
    remedy: "Use the full-size photo; messengers shrink what they send.",
    about: name,
  };
}

export function outOfMemory(name: string): Remark {
  return {
    code: "photo-memory",
    severity: "error",
    message: "There is not enough memory to decode this photo.",
    remedy: "Close other programs, or take photos with fewer megapixels.",
    about: name,
  };
}

/**
 * Photo decoding in a browser worker.
 *
 * JPEG goes through our own decoder, without any canvas, so its size limits do not matter and damaged
 * files are told apart. Measured in Chromium on a 4032 x 3024 photo, best of six on a busy machine
 * (npx vitest run tests/browser/decode.test.ts prints it): own decoder 43 to 53 ms, WebCodecs'
 * ImageDecoder with copyTo 83 to 94 ms, own decoder without WebAssembly 120 to 142 ms. The grey
 * values of ImageDecoder's luma plane are the same, but it takes damaged files for good ones.
 *
 * WebP comes through the browser's bitmap. The lens belongs to pixels as the sensor gave them, but no
 * browser can be told not to turn a bitmap: `imageOrientation: "none"` means "from-image" by now
 * (HTML, "ImageBitmapOptions"; seen in Chromium 156, Firefox 153 and WebKit 2.50). So EXIF is taken
 * out of the file first. HEIC has a module of its own; AVIF, which carries its turn in the picture's
 * own description, too, is refused.
 */

import {
  type DecodedPhoto,
  decodePhoto,
  describePhoto,
  isOutOfMemory,
  outOfMemory,
} from "../../src/photo/decode.ts";
import { withoutExif } from "../../src/photo/exif/exif.ts";
import type { Remark } from "../../src/photo/file/codes.ts";
import { tooManyPixels } from "../../src/photo/file/photo-remarks.ts";
import { formatRemark, type PhotoFormat, sniffFormat } from "../../src/photo/file/sniff.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { LumaMemory } from "../../src/photo/grey/luma-memory.ts";
import { maxPixels } from "../../src/photo/jpeg/jpeg.ts";
import { browserHeicDecoder } from "./heic-browser.ts";

/** Formats that browsers read although we do not. */
const browserFormats = ["webp", "bmp"] as const;
type BrowserFormat = (typeof browserFormats)[number];

/** Side of the tiles that the bitmap is read in, px: far below every browser's canvas limit. */
const tileSide = 2048;

/** A worker has one photo at a time. */
const memory = new LumaMemory();

/** Gives back what the last photo needed, where none follows. */
export const dropPicture = (): void => memory.drop();

/** Decodes a photo file to luma in sensor orientation. Expected failures come back as a remark. */
export async function decodePhotoInBrowser(bytes: Uint8Array, name: string): Promise<DecodedPhoto> {
  const format = sniffFormat(bytes);
  if (format === "heic") return decodeHeic(bytes, name);
  return isBrowserFormat(format)
    ? decodeBitmap(bytes, format, name)
    : decodePhoto(bytes, name, { memory });
}

const decodeHeic = browserHeicDecoder(memory, readBitmap);

function isBrowserFormat(format: PhotoFormat): format is BrowserFormat {
  return (browserFormats as readonly PhotoFormat[]).includes(format);
}

async function decodeBitmap(
  bytes: Uint8Array,
  format: BrowserFormat,
  name: string,
): Promise<DecodedPhoto> {
  const bitmap = await openBitmap(withoutExif(bytes));
  if (!bitmap) return { ok: false, remark: formatRemark(format, name) };
  try {
    const { width, height } = bitmap;
    if (width * height > maxPixels) {
      const remark = tooManyPixels(width, height, "a photo", maxPixels);
      return { ok: false, remark: { ...remark, about: name } };
    }
    const photo = describePhoto(readBitmap(bitmap), bytes, format, name);
    return photo.ok ? { ...photo, remarks: [...photo.remarks, throughBrowser(name)] } : photo;
  } catch (error) {
    if (isOutOfMemory(error)) return { ok: false, remark: outOfMemory(name) };
    throw error;
  } finally {
    bitmap.close();
  }
}

/** Null where the browser does not read the format or has no canvas for workers. */
async function openBitmap(bytes: Uint8Array<ArrayBuffer>): Promise<ImageBitmap | null> {
  if (typeof OffscreenCanvas === "undefined") return null;
  try {
    return await createImageBitmap(new Blob([bytes]), {
      colorSpaceConversion: "none",
      premultiplyAlpha: "none",
    });
  } catch {
    return null;
  }
}

/** Luma of a bitmap, tile by tile, with the weights of ITU-R BT.601 as JPEG has them. */
function readBitmap(bitmap: ImageBitmap): LumaImage {
  const { width, height } = bitmap;
  const data = new Uint8Array(width * height);
  const side = Math.min(tileSide, Math.max(width, height));
  const canvas = new OffscreenCanvas(side, side);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) throw new RangeError("Canvas allocation failed");
  for (let y = 0; y < height; y += side) {
    for (let x = 0; x < width; x += side) {
      const wide = Math.min(side, width - x);
      const high = Math.min(side, height - y);
      context.clearRect(0, 0, side, side);
      context.drawImage(bitmap, x, y, wide, high, 0, 0, wide, high);
      const { data: rgba } = context.getImageData(0, 0, wide, high);
      for (let row = 0, from = 0; row < high; row++) {
        let to = (y + row) * width + x;
        for (const end = to + wide; to < end; to++, from += 4) {
          const sum = 19595 * rgba[from] + 38470 * rgba[from + 1] + 7471 * rgba[from + 2];
          data[to] = (sum + 32768) >> 16;
        }
      }
    }
  }
  return { width, height, data };
}

function throughBrowser(name: string): Remark {
  return {
    code: "photo-through-browser",
    severity: "info",
    message: "This photo is no JPEG; the browser converted it, which costs a little exactness.",
    remedy: "JPEG photos as the phone's camera writes them are read directly.",
    about: name,
  };
}

import { expose } from "comlink";
import { decodePhotoInBrowser } from "../../../workers/browser/decode-browser.ts";
import { encodeInBrowser } from "../../../workers/browser/encode-browser.ts";
import { giveBack } from "../../../workers/browser/give-back.ts";
import { readExif, readPreview, withoutExif } from "../../photo/exif/exif.ts";
import { isSideways, turnOf } from "../../photo/exif/turn-of.ts";
import { sniffFormat } from "../../photo/file/sniff.ts";

/**
 * Small pictures and fingerprints, off the main thread. A browser that cannot decode a photo gives
 * no thumbnail; the photo itself is kept all the same.
 */
const api = {
  /** A JPEG of at most `side` pixels, turned as the camera was held, or null. */
  async thumb(blob: Blob, side: number): Promise<Blob | null> {
    try {
      return (await quickSmallJpeg(blob, side)) ?? (await wholeSmallJpeg(blob, side));
    } catch {
      return null;
    }
  },

  /** The photo as a picture that any browser shows as it is stored: no turn, no flip. */
  async stored(blob: Blob): Promise<Blob> {
    const bytes = new Uint8Array(await blob.arrayBuffer());
    if (sniffFormat(bytes) !== "heic") return new Blob([withoutExif(bytes)], { type: blob.type });
    const photo = await decodePhotoInBrowser(bytes, "");
    const jpeg = photo.ok ? await encodeInBrowser(photo.luma) : null;
    if (!jpeg) throw new Error("This photo cannot be shown here.");
    return new Blob([jpeg], { type: "image/jpeg" });
  },

  /** The photo itself where this browser shows it, else a grey copy; upright. */
  async shown(blob: Blob): Promise<Blob> {
    const head = new Uint8Array(await blob.slice(0, 64).arrayBuffer());
    if (sniffFormat(head) !== "heic") return blob;
    try {
      (await createImageBitmap(blob)).close();
      return blob;
    } catch {
      return greyUpright(blob);
    }
  },

  /** Tells the same file from another. */
  fingerprint: async (blob: Blob): Promise<string> => {
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const fingerprint = fingerprintOf(bytes);
    giveBack(bytes);
    return fingerprint;
  },

  /** The fingerprint, and the small picture that the camera stored in the file, if it did. */
  async firstLook(blob: Blob): Promise<{ fingerprint: string; preview: Blob | null }> {
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const looked = { fingerprint: fingerprintOf(bytes), preview: await previewOf(bytes) };
    giveBack(bytes);
    return looked;
  },
};

/** Two 32-bit FNV-1a sums and the length. */
function fingerprintOf(bytes: Uint8Array): string {
  let a = 0x811c9dc5;
  let b = 0x01000193;
  for (let i = 0; i < bytes.length; i++) {
    a = Math.imul(a ^ bytes[i], 0x01000193);
    b = Math.imul(b ^ bytes[bytes.length - 1 - i], 0x01000193);
  }
  return `${bytes.length}-${(a >>> 0).toString(16)}-${(b >>> 0).toString(16)}`;
}

/** A grey JPEG of a photo that only we can decode, turned as the camera was held. */
async function greyUpright(blob: Blob): Promise<Blob> {
  const photo = await decodePhotoInBrowser(new Uint8Array(await blob.arrayBuffer()), "");
  const jpeg = photo.ok ? await encodeInBrowser(photo.luma) : null;
  if (!photo.ok || !jpeg) throw new Error("This photo cannot be shown here.");
  return turned(new Blob([jpeg], { type: "image/jpeg" }), photo.exif?.orientation ?? 1);
}

/** A JPEG without EXIF, turned. */
async function turned(jpeg: Blob, orientation: number): Promise<Blob> {
  const picture = await createImageBitmap(jpeg);
  const { width: w, height: h } = picture;
  const sideways = isSideways(orientation);
  const canvas = new OffscreenCanvas(sideways ? h : w, sideways ? w : h);
  const context = canvas.getContext("2d");
  context?.setTransform(...turnOf(orientation, w, h));
  context?.drawImage(picture, 0, 0);
  picture.close();
  const upright = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.8 });
  canvas.width = 0;
  canvas.height = 0;
  return upright;
}

/** The camera's own small picture, turned as the camera was held. */
async function previewOf(bytes: Uint8Array): Promise<Blob | null> {
  const preview = readPreview(bytes, "jpeg");
  if (!preview) return null;
  try {
    const blob = new Blob([withoutExif(preview.jpeg)], { type: "image/jpeg" });
    return await turned(blob, preview.orientation);
  } catch {
    return null;
  }
}

/**
 * From a JPEG decoded at an eighth of its size straight from its coefficients, where the browser can:
 * several times faster than decoding all of it. A frame's turn is lost on the way to a bitmap, so it is
 * decoded as it is stored and turned at the end.
 */
async function quickSmallJpeg(blob: Blob, side: number): Promise<Blob | null> {
  if (typeof ImageDecoder === "undefined" || !(await isJpeg(blob))) return null;
  const { stored, orientation } = await storedPixels(blob);
  try {
    const options = { type: "image/jpeg", desiredWidth: side, desiredHeight: side };
    const decoder = new ImageDecoder({ ...options, data: stored });
    const { image } = await decoder.decode();
    decoder.close();
    const jpeg = await smallJpeg(image, side);
    return orientation === 1 ? jpeg : await turned(jpeg, orientation);
  } catch {
    return null;
  } finally {
    giveBack(stored);
  }
}

/** The file without what turns its picture, and the turn. */
async function storedPixels(blob: Blob) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const orientation = readExif(bytes, "jpeg", "").facts?.orientation ?? 1;
  const stored = withoutExif(bytes);
  giveBack(bytes);
  return { stored, orientation };
}

/** From the whole picture, upright, as the browser shows it; else from our own grey one. */
async function wholeSmallJpeg(blob: Blob, side: number): Promise<Blob> {
  const picture = await decodeWhole(blob, side).catch(async () =>
    decodeWhole(await greyUpright(blob), side),
  );
  return smallJpeg(picture, side);
}

const decodeWhole = (blob: Blob, side: number): Promise<ImageBitmap> =>
  createImageBitmap(blob, { resizeWidth: side, resizeQuality: "medium" });

/**
 * A decoded picture, which is closed, as a JPEG of at most `side` pixels. Through a bitmap alone: what is drawn on a canvas
 * stays in Chromium's cache of decoded pictures (0.8 MB for each here, up to 64).
 */
async function smallJpeg(picture: VideoFrame | ImageBitmap, side: number): Promise<Blob> {
  const { width, height } = fitted(sizeOf(picture), side);
  const bitmap = await createImageBitmap(picture, {
    resizeWidth: width,
    resizeHeight: height,
    resizeQuality: "medium",
  }).finally(() => picture.close());
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("bitmaprenderer");
  if (!context) throw new Error("No canvas for bitmaps.");
  context.transferFromImageBitmap(bitmap);
  return canvas.convertToBlob({ type: "image/jpeg", quality: 0.75 });
}

/** The same shape with the longer side at most this long, px. */
function fitted({ width, height }: Size, side: number): Size {
  const scale = Math.min(1, side / Math.max(width, height));
  return { width: Math.round(width * scale), height: Math.round(height * scale) };
}

interface Size {
  readonly width: number;
  readonly height: number;
}

const sizeOf = (picture: VideoFrame | ImageBitmap): Size =>
  "displayWidth" in picture
    ? { width: picture.displayWidth, height: picture.displayHeight }
    : { width: picture.width, height: picture.height };

async function isJpeg(blob: Blob): Promise<boolean> {
  const head = new Uint8Array(await blob.slice(0, 2).arrayBuffer());
  return head[0] === 0xff && head[1] === 0xd8;
}

export type ThumbApi = typeof api;
expose(api);

import { expose } from "comlink";
import { decodePhotoInBrowser } from "../../../workers/browser/decode-browser.ts";
import { encodeInBrowser } from "../../../workers/browser/encode-browser.ts";
import { giveBack } from "../../../workers/browser/give-back.ts";
import { readPreview, withoutExif } from "../../photo/exif/exif.ts";
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
      const picture =
        (await decodeSmall(blob, side)) ??
        (await decodeWhole(blob, side).catch(async () =>
          decodeWhole(await greyUpright(blob), side),
        ));
      const { width, height } = sizeOf(picture);
      const canvas = new OffscreenCanvas(width, height);
      canvas.getContext("2d")?.drawImage(picture, 0, 0);
      picture.close();
      const small = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.75 });
      canvas.width = 0;
      canvas.height = 0;
      return small;
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
 * Decodes a JPEG at an eighth of its size straight from its coefficients, where the browser can:
 * several times faster than decoding all of it.
 */
async function decodeSmall(blob: Blob, side: number): Promise<VideoFrame | null> {
  if (typeof ImageDecoder === "undefined" || !(await isJpeg(blob))) {
    return null;
  }
  try {
    const decoder = new ImageDecoder({
      data: await blob.arrayBuffer(),
      type: "image/jpeg",
      desiredWidth: side,
      desiredHeight: side,
    });
    const { image } = await decoder.decode();
    decoder.close();
    return image;
  } catch {
    return null;
  }
}

const decodeWhole = (blob: Blob, side: number): Promise<ImageBitmap> =>
  createImageBitmap(blob, { resizeWidth: side, resizeQuality: "medium" });

const sizeOf = (picture: VideoFrame | ImageBitmap): { width: number; height: number } =>
  "displayWidth" in picture
    ? { width: picture.displayWidth, height: picture.displayHeight }
    : { width: picture.width, height: picture.height };

async function isJpeg(blob: Blob): Promise<boolean> {
  const head = new Uint8Array(await blob.slice(0, 2).arrayBuffer());
  return head[0] === 0xff && head[1] === 0xd8;
}

export type ThumbApi = typeof api;
expose(api);

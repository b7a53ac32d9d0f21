/**
 * HEIC in a browser worker. Where the browser reads HEIC itself (Safari does, no other does), its
 * decoder goes first: it is fast and needs little memory. ImageDecoder hands over the Y plane as it
 * is coded. Without it the way is a bitmap: RGBA, from which BT.601's weights give Y back within a
 * grey level, since phones code with that matrix; not where a colour was cut off at black or white.
 * Everywhere else libheif decodes, a separate file that is loaded with the first such photo.
 * Tried here is libheif only: Chromium and Firefox on Linux read no HEIC.
 */
import libheifUrl from "libheif-js/libheif-wasm/libheif-bundle.mjs?url";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import type { LumaMemory } from "../../src/photo/grey/luma-memory.ts";
import { heicDecoder, type OwnHeicDecoder } from "../shared/heic.ts";
import type { LibHeifBundle } from "../shared/libheif.ts";
import { asStored } from "./as-stored.ts";

const type = "image/heic";

/** The library as npm delivers it, under its own address, so that it can be replaced. */
const loadLibHeif = (): Promise<LibHeifBundle> => import(/* @vite-ignore */ libheifUrl);

/** `readBitmap` turns the browser's bitmap of a whole picture into grey values. */
export const browserHeicDecoder = (
  memory: LumaMemory,
  readBitmap: (bitmap: ImageBitmap) => LumaImage,
) => heicDecoder(loadLibHeif, memory, ownDecoder(readBitmap));

const ownDecoder =
  (readBitmap: (bitmap: ImageBitmap) => LumaImage): OwnHeicDecoder =>
  async (bytes, facts) => {
    const luma = (await byImageDecoder(bytes)) ?? (await byBitmap(bytes, readBitmap));
    return luma && asStored(luma, facts);
  };

async function byImageDecoder(bytes: Uint8Array): Promise<LumaImage | null> {
  if (typeof ImageDecoder === "undefined") return null;
  try {
    if (!(await ImageDecoder.isTypeSupported(type))) return null;
    const decoder = new ImageDecoder({ data: bytes as Uint8Array<ArrayBuffer>, type });
    const { image } = await decoder.decode();
    decoder.close();
    try {
      return await planeOf(image);
    } finally {
      image.close();
    }
  } catch {
    return null;
  }
}

/** Formats with 8 bits begin with the Y plane. */
async function planeOf(frame: VideoFrame): Promise<LumaImage | null> {
  if (!/^(I4(20|22|44)|NV12)A?$/.test(frame.format ?? "")) return null;
  const rect = frame.visibleRect;
  if (!rect) return null;
  const planes = new Uint8Array(frame.allocationSize());
  const [{ offset, stride }] = await frame.copyTo(planes);
  const { width, height } = rect;
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = offset + y * stride;
    data.set(planes.subarray(row, row + width), y * width);
  }
  return { width, height, data };
}

async function byBitmap(
  bytes: Uint8Array,
  readBitmap: (bitmap: ImageBitmap) => LumaImage,
): Promise<LumaImage | null> {
  if (typeof OffscreenCanvas === "undefined") return null;
  try {
    const bitmap = await createImageBitmap(new Blob([bytes as Uint8Array<ArrayBuffer>], { type }), {
      colorSpaceConversion: "none",
      premultiplyAlpha: "none",
    });
    try {
      return readBitmap(bitmap);
    } finally {
      bitmap.close();
    }
  } catch {
    return null;
  }
}

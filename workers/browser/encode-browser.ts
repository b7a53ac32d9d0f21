import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** A JPEG of a grey picture; null where workers have no canvas. */
export async function encodeInBrowser({ width, height, data }: LumaImage) {
  if (typeof OffscreenCanvas === "undefined") return null;
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d");
  if (!context) return null;
  const rgba = new ImageData(width, height);
  const pixels = new Uint32Array(rgba.data.buffer);
  for (let i = 0; i < data.length; i++) pixels[i] = 0xff000000 | (0x010101 * data[i]);
  context.putImageData(rgba, 0, 0);
  const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 });
  // A canvas keeps its pixels until it is collected.
  canvas.width = 0;
  canvas.height = 0;
  return new Uint8Array(await blob.arrayBuffer());
}

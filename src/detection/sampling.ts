import type { LumaImage } from "../photo/luma.ts";

/** Grey value at a fractional pixel by bilinear interpolation; NaN outside. */
export function greyAt(image: LumaImage, x: number, y: number): number {
  const { width, height, data } = image;
  const x0 = Math.floor(x);
  const y0 = Math.floor(y);
  if (!(x0 >= 0 && y0 >= 0 && x0 + 1 < width && y0 + 1 < height)) return Number.NaN;
  const a = x - x0;
  const b = y - y0;
  const i = y0 * width + x0;
  return (
    (1 - b) * ((1 - a) * data[i] + a * data[i + 1]) +
    b * ((1 - a) * data[i + width] + a * data[i + width + 1])
  );
}

/** Half-size picture, each pixel the mean of 2 x 2. Pixel (x, y) there is (2x + 0.5, 2y + 0.5) here. */
export function halfSize(image: LumaImage): LumaImage {
  const width = image.width >> 1;
  const height = image.height >> 1;
  const data = new Uint8Array(width * height);
  const { data: from, width: stride } = image;
  if (stride % 8 === 0 && from.byteOffset % 4 === 0) halveByWords(from, stride, height, data);
  else
    for (let y = 0; y < height; y++) {
      let i = 2 * y * stride;
      const end = (y + 1) * width;
      for (let o = y * width; o < end; o++, i += 2)
        data[o] = (from[i] + from[i + 1] + from[i + stride] + from[i + stride + 1] + 2) >> 2;
    }
  return { width, height, data };
}

/** The same four grey values at once: sums of bytes in the 16-bit halves of 32-bit words. */
function halveByWords(from: Uint8Array, stride: number, height: number, out: Uint8Array): void {
  const words = new Int32Array(from.buffer, from.byteOffset, from.length >> 2);
  const result = new Int32Array(out.buffer);
  const next = stride >> 2;
  const bytes = 0x00ff00ff;
  let o = 0;
  for (let y = 0; y < height; y++) {
    let i = 2 * y * next;
    for (const end = i + next; i < end; i += 2) {
      const a = words[i];
      const b = words[i + next];
      const c = words[i + 1];
      const d = words[i + 1 + next];
      const left = (a & bytes) + ((a >>> 8) & bytes) + (b & bytes) + ((b >>> 8) & bytes);
      const right = (c & bytes) + ((c >>> 8) & bytes) + (d & bytes) + ((d >>> 8) & bytes);
      const p = ((left + 0x00020002) >>> 2) & bytes;
      const q = ((right + 0x00020002) >>> 2) & bytes;
      // Bytes 0 and 2 hold two grey values each; put them side by side.
      result[o++] = (p & 0xff) | ((p >>> 8) & 0xff00) | ((q & 0xff) << 16) | ((q & 0xff0000) << 8);
    }
  }
}

/** Mirror image, left for right. */
export function mirrored(image: LumaImage): LumaImage {
  const { width, height, data } = image;
  const out = new Uint8Array(data.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) out[y * width + x] = data[y * width + width - 1 - x];
  return { width, height, data: out };
}

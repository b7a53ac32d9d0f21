import type { LumaImage } from "../../photo/grey/luma.ts";

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

/** Mirror image, left for right. */
export function mirrored(image: LumaImage): LumaImage {
  const { width, height, data } = image;
  const out = new Uint8Array(data.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) out[y * width + x] = data[y * width + width - 1 - x];
  return { width, height, data: out };
}

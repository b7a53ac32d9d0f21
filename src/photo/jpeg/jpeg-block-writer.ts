/** Puts decoded blocks into a plane, cutting off what lies beyond the picture's edge. */
import type { Plane } from "./jpeg-frame.ts";
import { inverseDct } from "./jpeg-idct.ts";

const cut = new Uint8ClampedArray(64);

/**
 * Transforms a block into its place.
 *
 * @param block dequantised coefficients, natural order; cleared
 * @param used natural indices of the AC coefficients joined by bitwise or
 */
export function writeBlock(
  plane: Plane,
  column: number,
  row: number,
  block: Int32Array,
  used: number,
): void {
  const x = column * 8;
  const y = row * 8;
  const { width, height, data } = plane;
  if (x + 8 <= width && y + 8 <= height) {
    inverseDct(block, used, data, y * width + x, width);
    return;
  }
  inverseDct(block, used, cut, 0, 8);
  const columns = Math.min(8, width - x);
  const rows = Math.min(8, height - y);
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++) data[(y + r) * width + x + c] = cut[r * 8 + c];
  }
}

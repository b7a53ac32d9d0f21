import { isSideways, turnOf } from "../../src/photo/exif/turn-of.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import type { HeifFacts } from "../../src/photo/heif/heif.ts";

/**
 * Browsers show a picture as its file asks; the lens belongs to the pixels as the sensor gave them.
 * Null where the size is not the one that the file states: then nothing is known of the turn.
 */
export function asStored(shown: LumaImage, facts: HeifFacts): LumaImage | null {
  const size = facts.cut ?? facts.size;
  if (!size) return null;
  const { orientation } = facts;
  const [width, height] = isSideways(orientation)
    ? [size.height, size.width]
    : [size.width, size.height];
  if (shown.width !== width || shown.height !== height) return null;
  if (orientation === 1) return shown;
  const [a, b, c, d, e, f] = turnOf(orientation, size.width, size.height);
  const data = new Uint8Array(size.width * size.height);
  // Steps in the shown picture for one pixel to the right and one down in the stored one.
  const right = a + b * width;
  const down = c + d * width;
  let row = a / 2 + c / 2 + e - 0.5 + (b / 2 + d / 2 + f - 0.5) * width;
  for (let y = 0, at = 0; y < size.height; y++, row += down) {
    for (let x = 0, from = row; x < size.width; x++, from += right) data[at++] = shown.data[from];
  }
  return { width: size.width, height: size.height, data };
}

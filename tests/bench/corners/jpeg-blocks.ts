/** Luma of a baseline JPEG file: blocks of 8 x 8, their cosine transform and its quantisation. */
import { seededRandom } from "../../tools/render-board.ts";

/** Luminance quantisation of ITU-T T.81, annex K.1, row by row. */
const annexK = [
  16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56,
  14, 17, 22, 29, 51, 87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113,
  92, 49, 64, 78, 87, 103, 121, 120, 101, 72, 92, 95, 98, 112, 100, 103, 99,
];

/** Cosines of the transform: [frequency][place], orthonormal. */
const cosines = Array.from({ length: 8 }, (_, f) =>
  Array.from(
    { length: 8 },
    (_, x) => (f === 0 ? Math.sqrt(1 / 8) : 0.5) * Math.cos(((2 * x + 1) * f * Math.PI) / 16),
  ),
);

/** Quantises the blocks of 8 x 8 as a file of this quality does; the grid starts somewhere. */
export function throughJpeg(
  grey: Float64Array,
  width: number,
  quality: number,
  seed: number,
): Float64Array {
  const height = grey.length / width;
  const steps = quantisation(quality);
  const out = new Float64Array(grey.length);
  const bytes = grey.map((g) => Math.max(0, Math.min(255, Math.round(g))) - 128);
  for (const [bx, by] of blocksOf(width, height, seed)) {
    const block = blockAt(bytes, width, bx, by);
    transform(block, false);
    for (let k = 0; k < 64; k++) block[k] = steps[k] * Math.round(block[k] / steps[k]);
    transform(block, true);
    for (let k = 0; k < 64; k++) {
      const [x, y] = [bx + (k & 7), by + (k >> 3)];
      if (x >= 0 && y >= 0 && x < width && y < height) out[y * width + x] = block[k] + 128;
    }
  }
  return out;
}

/** Steps of the 64 coefficients at a quality of the Independent JPEG Group's scale. */
export function quantisation(quality: number): number[] {
  const scale = quality < 50 ? 5000 / quality : 200 - 2 * quality;
  return annexK.map((k) => Math.max(1, Math.min(255, Math.floor((k * scale + 50) / 100))));
}

/** Corners of the blocks that cover a picture; the grid starts somewhere, as the seed has it. */
export function blocksOf(width: number, height: number, seed: number): [number, number][] {
  const random = seededRandom(seed + 77);
  const [startX, startY] = [-Math.floor(8 * random()), -Math.floor(8 * random())];
  const blocks: [number, number][] = [];
  for (let by = startY; by < height; by += 8)
    for (let bx = startX; bx < width; bx += 8) blocks.push([bx, by]);
  return blocks;
}

/** A block's 64 values, the picture's rim repeated. */
export function blockAt(
  plane: ArrayLike<number>,
  width: number,
  bx: number,
  by: number,
): Float64Array {
  const height = plane.length / width;
  const clamp = (i: number, n: number) => Math.max(0, Math.min(n - 1, i));
  const block = new Float64Array(64);
  for (let k = 0; k < 64; k++)
    block[k] = plane[clamp(by + (k >> 3), height) * width + clamp(bx + (k & 7), width)];
  return block;
}

/** Cosine transform of a block in place, or back. */
export function transform(block: Float64Array, back: boolean): void {
  const half = new Float64Array(64);
  const c = (f: number, x: number) => (back ? cosines[x][f] : cosines[f][x]);
  for (let y = 0; y < 8; y++)
    for (let f = 0; f < 8; f++)
      for (let x = 0; x < 8; x++) half[8 * y + f] += c(f, x) * block[8 * y + x];
  block.fill(0);
  for (let f = 0; f < 8; f++)
    for (let g = 0; g < 8; g++)
      for (let y = 0; y < 8; y++) block[8 * g + f] += c(g, y) * half[8 * y + f];
}

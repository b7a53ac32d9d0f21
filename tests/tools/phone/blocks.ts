/**
 * What JPEG does to luma: 8 x 8 blocks, cosine transform, quantisation with the example table of
 * ITU-T T.81 annex K scaled by libjpeg's quality rule, and back. Regions start at multiples of 8, so
 * blocks are those of the whole picture.
 */

/** Table K.1 of ITU-T T.81, row by row. */
const lumaTable = [
  16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55, 14, 13, 16, 24, 40, 57, 69, 56,
  14, 17, 22, 29, 51, 87, 80, 62, 18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113,
  92, 49, 64, 78, 87, 103, 121, 120, 101, 72, 92, 95, 98, 112, 100, 103, 99,
];

export const quantisation = (quality: number): number[] => {
  const scale = quality < 50 ? 5000 / quality : 200 - 2 * quality;
  return lumaTable.map((q) => Math.min(255, Math.max(1, Math.floor((q * scale + 50) / 100))));
};

/** Orthonormal cosine transform: row k holds the k-th cosine. */
const cosines = Float64Array.from({ length: 64 }, (_, at) => {
  const [k, n] = [at >> 3, at & 7];
  const norm = k === 0 ? Math.sqrt(1 / 8) : Math.sqrt(2 / 8);
  return norm * Math.cos(((2 * n + 1) * k * Math.PI) / 16);
});

/** Grey values 0..255 (not rounded) of a region, as a JPEG of this quality gives them back. */
export const throughJpeg = (
  grey: Float32Array,
  width: number,
  height: number,
  quality: number,
): void => {
  const table = quantisation(quality);
  const block = new Float64Array(64);
  const half = new Float64Array(64);
  for (let y = 0; y < height; y += 8)
    for (let x = 0; x < width; x += 8) {
      for (let j = 0; j < 8; j++)
        for (let i = 0; i < 8; i++) {
          const value = Math.round(grey[(y + j) * width + x + i]);
          block[8 * j + i] = Math.max(0, Math.min(255, value)) - 128;
        }
      // C B C^T, quantise, C^T B C.
      product(cosines, block, half, false, false);
      product(half, cosines, block, false, true);
      for (let k = 0; k < 64; k++) block[k] = Math.round(block[k] / table[k]) * table[k];
      product(cosines, block, half, true, false);
      product(half, cosines, block, false, false);
      for (let j = 0; j < 8; j++)
        for (let i = 0; i < 8; i++) grey[(y + j) * width + x + i] = block[8 * j + i] + 128;
    }
};

/** out = a b, either of them turned over. */
const product = (
  a: Float64Array,
  b: Float64Array,
  out: Float64Array,
  turnA: boolean,
  turnB: boolean,
): void => {
  for (let i = 0; i < 8; i++)
    for (let j = 0; j < 8; j++) {
      let sum = 0;
      for (let k = 0; k < 8; k++)
        sum += (turnA ? a[8 * k + i] : a[8 * i + k]) * (turnB ? b[8 * j + k] : b[8 * k + j]);
      out[8 * i + j] = sum;
    }
};

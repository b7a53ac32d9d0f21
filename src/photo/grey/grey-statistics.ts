/** How a photo is exposed, from its grey values. */
import type { LumaImage } from "./luma.ts";

export interface GreyStatistics {
  /** Number of looked-at pixels of every grey value 0..255. */
  readonly histogram: Uint32Array;
  readonly mean: number;
  /** Grey values below which 5 %, 50 % and 95 % of the pixels lie. */
  readonly p5: number;
  readonly p50: number;
  readonly p95: number;
  /** Shares of pixels, 0..1, that are as dark (0..2) or as bright (253..255) as can be. */
  readonly clippedDark: number;
  readonly clippedBright: number;
}

/**
 * Statistics over every `step`-th pixel of every `step`-th row: with a step of 8 a photo of 12
 * megapixels still gives 190 000 samples.
 */
export function greyStatistics({ width, height, data }: LumaImage, step = 1): GreyStatistics {
  const histogram = new Uint32Array(256);
  for (let y = 0; y < height; y += step) {
    const end = (y + 1) * width;
    for (let at = y * width; at < end; at += step) histogram[data[at]]++;
  }
  const count = histogram.reduce((total, n) => total + n, 0);
  const share = (from: number, to: number): number =>
    histogram.subarray(from, to + 1).reduce((total, n) => total + n, 0) / count;
  return {
    histogram,
    mean: histogram.reduce((total, n, grey) => total + n * grey, 0) / count,
    p5: quantile(histogram, count * 0.05),
    p50: quantile(histogram, count * 0.5),
    p95: quantile(histogram, count * 0.95),
    clippedDark: share(0, 2),
    clippedBright: share(253, 255),
  };
}

/** Smallest grey value up to which at least `wanted` pixels lie. */
function quantile(histogram: Uint32Array, wanted: number): number {
  let seen = 0;
  for (let grey = 0; grey < 256; grey++) {
    seen += histogram[grey];
    if (seen >= wanted) return grey;
  }
  return 255;
}

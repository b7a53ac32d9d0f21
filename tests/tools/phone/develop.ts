/**
 * What the phone makes of the light: exposure with local gain, noise, tone curve per colour, luma,
 * noise reduction, sharpening, JPEG.
 */
import { throughJpeg } from "./blocks.ts";
import { Chance } from "./maths.ts";
import { photoRanges as ranges } from "./ranges.ts";
import type { Light, Region } from "./render.ts";
import { lumaWeights } from "./samples.ts";

/** How one phone develops a photo. */
export interface Development {
  /** Light that gives white: exposure. */
  readonly exposure: number;
  readonly toneS: number;
  readonly noiseLevels: number;
  readonly noiseReduction: number;
  readonly sharpenAmount: number;
  readonly sharpenRadiusPx: number;
  /** Smooth change of gain over the picture: share, waves (cycles per px in x and y, phase). */
  readonly gainShare: number;
  readonly waves: readonly (readonly [number, number, number])[];
  /** Local compression: gain falls with the power of the blurred light. */
  readonly compression: number;
  readonly compressionPx: number;
  readonly jpegQuality: number;
}

export const drawDevelopment = (c: Chance): Development => ({
  exposure: c.even(0.9, 1.15),
  toneS: c.even(...ranges.toneS),
  noiseLevels: c.even(...ranges.noiseLevels),
  noiseReduction: c.even(...ranges.noiseReduction),
  sharpenAmount: c.even(...ranges.sharpenAmount),
  sharpenRadiusPx: c.even(...ranges.sharpenRadiusPx),
  gainShare: c.even(...ranges.localGain),
  waves: [0, 1, 2].map(() => {
    const length = c.even(...ranges.localGainPx) * 2;
    const towards = c.even(0, 2 * Math.PI);
    return [Math.cos(towards) / length, Math.sin(towards) / length, c.even()] as const;
  }),
  compression: c.even(...ranges.localGain),
  compressionPx: c.even(30, 100),
  jpegQuality: c.whole(...ranges.jpegQuality),
});

/** sRGB's curve (IEC 61966-2-1) with an S on top. */
export const toneOf = (s: number) => {
  const steps = 4096;
  const most = 1.25;
  const curve = Float32Array.from({ length: steps + 2 }, (_, i) => {
    const x = Math.min(1, (i / steps) * most);
    const y = x <= 0.0031308 ? 12.92 * x : 1.055 * x ** (1 / 2.4) - 0.055;
    return y - (s * Math.sin(2 * Math.PI * y)) / (2 * Math.PI);
  });
  return (x: number): number => {
    const at = Math.min(most, Math.max(0, x)) * (steps / most);
    const i = at | 0;
    return curve[i] + (at - i) * (curve[i + 1] - curve[i]);
  };
};

/** Grey levels of a region, 0..255, rounded as the decoder gives them. */
export const develop = (light: Light, region: Region, how: Development, c: Chance): Uint8Array => {
  const { width, height } = region;
  const tone = toneOf(how.toneS);
  const gain = localGain(light, region, how);
  const middle = 0.2;
  const slope = (tone(middle + 0.005) - tone(middle - 0.005)) / 0.01;
  // Photon noise: its variance grows with the light; stated for a middle grey after the curve.
  const lightNoise = how.noiseLevels / 255 / slope;
  const grey = new Float32Array(width * height);
  const [green, red, blue] = light;
  const deviates = new NoiseTape(c);
  for (let i = 0; i < grey.length; i++) {
    const g = gain[i];
    const noise = lightNoise * Math.sqrt(Math.max(0.02, green[i] * g) / middle) * deviates.next();
    const y = tone(green[i] * g + noise);
    const even = green[i] === red[i] && green[i] === blue[i];
    grey[i] = even
      ? 255 * y
      : 255 *
        (lumaWeights[0] * y +
          lumaWeights[1] * tone(red[i] * g + noise) +
          lumaWeights[2] * tone(blue[i] * g + noise));
  }
  if (how.noiseReduction > 0)
    reduceNoise(grey, width, height, how.noiseLevels * how.noiseReduction);
  if (how.sharpenAmount > 0) sharpen(grey, width, height, how);
  throughJpeg(grey, width, height, how.jpegQuality);
  return Uint8Array.from(grey, (value) => Math.max(0, Math.min(255, Math.round(value))));
};

/** Gain is smooth: computed per block of 8 x 8 px, bilinear in between. */
const localGain = (light: Light, region: Region, how: Development): Float32Array => {
  const { width, height } = region;
  const [columns, rows] = [width / blockPx, height / blockPx];
  const soft = blockMeans(light[0], width, columns, rows);
  const reach = Math.max(1, Math.round(how.compressionPx / blockPx));
  for (let pass = 0; pass < 2; pass++) boxMean(soft, columns, rows, reach);
  const coarse = new Float32Array(columns * rows);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const px = region.x + (i + 0.5) * blockPx;
      const py = region.y + (j + 0.5) * blockPx;
      let swing = 0;
      for (const [fx, fy, phase] of how.waves)
        swing += Math.sin(2 * Math.PI * (fx * px + fy * py + phase));
      const local = (Math.max(0.02, soft[j * columns + i]) / 0.4) ** -how.compression;
      coarse[j * columns + i] =
        how.exposure * (1 + (how.gainShare * swing) / how.waves.length) * local;
    }
  return enlarged(coarse, columns, rows);
};

const blockPx = 8;

const blockMeans = (
  data: Float32Array,
  width: number,
  columns: number,
  rows: number,
): Float32Array => {
  const means = new Float32Array(columns * rows);
  for (let y = 0; y < rows * blockPx; y++)
    for (let x = 0; x < width; x++)
      means[(y >> 3) * columns + (x >> 3)] += data[y * width + x] / (blockPx * blockPx);
  return means;
};

/** Bilinear between the middles of blocks, even beyond the outermost. */
const enlarged = (coarse: Float32Array, columns: number, rows: number): Float32Array => {
  const width = columns * blockPx;
  const out = new Float32Array(width * rows * blockPx);
  for (let y = 0; y < rows * blockPx; y++) {
    const b = Math.max(0, Math.min(rows - 1, (y + 0.5) / blockPx - 0.5));
    const j = Math.min(rows - 1, Math.floor(b));
    const below = Math.min(rows - 1, j + 1);
    for (let x = 0; x < width; x++) {
      const a = Math.max(0, Math.min(columns - 1, (x + 0.5) / blockPx - 0.5));
      const i = a | 0;
      const right = Math.min(columns - 1, i + 1);
      const top = coarse[j * columns + i] * (1 - a + i) + coarse[j * columns + right] * (a - i);
      const low =
        coarse[below * columns + i] * (1 - a + i) + coarse[below * columns + right] * (a - i);
      out[y * width + x] = top * (1 - b + j) + low * (b - j);
    }
  }
  return out;
};

/** Mean over squares of (2 r + 1)^2 px, cut at the region's rim, in place. */
const boxMean = (data: Float32Array, width: number, height: number, r: number): void => {
  const line = new Float64Array(width);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    let sum = 0;
    for (let x = 0; x < Math.min(width, r); x++) sum += data[row + x];
    for (let x = 0; x < width; x++) {
      if (x + r < width) sum += data[row + x + r];
      if (x - r > 0) sum -= data[row + x - r - 1];
      line[x] = sum / (Math.min(width, x + r + 1) - Math.max(0, x - r));
    }
    data.set(line, row);
  }
  const from = data.slice();
  const sums = new Float64Array(width);
  for (let y = 0; y < Math.min(height, r); y++)
    for (let x = 0; x < width; x++) sums[x] += from[y * width + x];
  for (let y = 0; y < height; y++) {
    if (y + r < height) for (let x = 0; x < width; x++) sums[x] += from[(y + r) * width + x];
    if (y - r > 0) for (let x = 0; x < width; x++) sums[x] -= from[(y - r - 1) * width + x];
    const n = Math.min(height, y + r + 1) - Math.max(0, y - r);
    for (let x = 0; x < width; x++) data[y * width + x] = sums[x] / n;
  }
};

/**
 * Keeps what varies more than noise does and flattens the rest: J.-S. Lee's local statistics filter
 * (1980, IEEE PAMI-2) over 5 x 5 px; fine texture of low contrast is lost.
 */
const reduceNoise = (grey: Float32Array, width: number, height: number, sigma: number): void => {
  const mean = Float32Array.from(grey);
  const square = grey.map((value) => value * value);
  boxMean(mean, width, height, 2);
  boxMean(square, width, height, 2);
  for (let i = 0; i < grey.length; i++) {
    const variance = Math.max(1e-3, square[i] - mean[i] * mean[i]);
    const keep = Math.max(0, variance - sigma * sigma) / variance;
    grey[i] = mean[i] + keep * (grey[i] - mean[i]);
  }
};

/** Unsharp mask, haloes and all. */
const sharpen = (
  grey: Float32Array,
  width: number,
  height: number,
  { sharpenAmount, sharpenRadiusPx }: Development,
): void => {
  const reach = Math.ceil(3 * sharpenRadiusPx);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sharpenRadiusPx ** 2)),
  );
  const total = kernel.reduce((a, b) => a + b, 0);
  const across = new Float32Array(grey.length);
  const soft = new Float32Array(grey.length);
  const along = (from: Float32Array, to: Float32Array, step: number, n: number, start: number) => {
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let k = -reach; k <= reach; k++)
        sum += kernel[k + reach] * from[start + Math.max(0, Math.min(n - 1, i + k)) * step];
      to[start + i * step] = sum / total;
    }
  };
  for (let y = 0; y < height; y++) along(grey, across, 1, width, y * width);
  for (let x = 0; x < width; x++) along(across, soft, width, height, x);
  for (let i = 0; i < grey.length; i++) grey[i] += sharpenAmount * (grey[i] - soft[i]);
};

/** Normal deviates from a store of many, begun anew at random places: quick, and long enough. */
class NoiseTape {
  private readonly store: Float32Array;
  private at = 0;
  private left = 0;

  constructor(private readonly c: Chance) {
    this.store = noiseStore();
  }

  next(): number {
    if (this.left === 0) {
      this.at = this.c.whole(0, this.store.length - stretch);
      this.left = stretch;
    }
    this.left--;
    return this.store[this.at++];
  }
}

const stretch = 64;
let stored: Float32Array | null = null;

const noiseStore = (): Float32Array => {
  if (stored) return stored;
  const source = new Chance(20260101, 99);
  stored = Float32Array.from({ length: 1 << 18 }, () => source.normal());
  return stored;
};

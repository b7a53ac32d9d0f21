/**
 * What a phone's program does to the light before it is a file: tone curve, noise, noise reduction,
 * local tone mapping, sharpening with haloes, JPEG. Grey values 0 .. 255.
 */
import { gaussian, seededRandom, type ToneName, tones } from "../../tools/render-board.ts";
import { throughJpeg } from "./jpeg-blocks.ts";
import { lumaShares } from "./optics.ts";

export interface Development {
  readonly tone: ToneName;
  /** White noise, grey levels, before all that follows. */
  readonly noise: number;
  /** Bilateral noise reduction: radius px, and grey difference that it takes for texture. */
  readonly denoise?: { readonly radiusPx: number; readonly range: number };
  /** Local tone mapping: radius px of the surroundings, and power by which their light is lowered. */
  readonly localTone?: { readonly radiusPx: number; readonly power: number };
  /** Sharpening: amount, radius px, and largest overshoot in grey levels. */
  readonly halo?: { readonly amount: number; readonly radiusPx: number; readonly limit: number };
  /** Quality of the Independent JPEG Group's scale. */
  readonly jpeg?: number;
}

/** Grey picture, not yet rounded where no JPEG does it, from one or three planes of light. */
export function developColours(
  planes: readonly Float64Array[],
  width: number,
  settings: Development,
  seed: number,
): Float64Array {
  let grey = greyOf(planes, settings.tone);
  const random = seededRandom(seed);
  if (settings.noise > 0) grey = grey.map((g) => g + settings.noise * gaussian(random));
  if (settings.denoise) grey = bilateral(grey, width, settings.denoise);
  if (settings.localTone) grey = localTone(grey, width, settings.localTone);
  if (settings.halo) grey = sharpened(grey, width, settings.halo);
  if (settings.jpeg) grey = throughJpeg(grey, width, settings.jpeg, seed);
  return grey;
}

/** Luma of planes of light after the tone curve, 0 .. 255. */
export function greyOf(planes: readonly Float64Array[], tone: ToneName): Float64Array {
  const curve = tones[tone];
  const grey = new Float64Array(planes[0].length);
  planes.forEach((plane, k) => {
    const share = planes.length === 1 ? 1 : lumaShares[k];
    for (let i = 0; i < grey.length; i++) grey[i] += 255 * share * curve(Math.min(1, plane[i]));
  });
  return grey;
}

/** Bilateral filter (Tomasi and Manduchi 1998). */
function bilateral(
  grey: Float64Array,
  width: number,
  { radiusPx, range }: NonNullable<Development["denoise"]>,
): Float64Array {
  const height = grey.length / width;
  const reach = Math.ceil(2.5 * radiusPx);
  const out = new Float64Array(grey.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const here = grey[y * width + x];
      let [sum, total] = [0, 0];
      for (let dy = -reach; dy <= reach; dy++)
        for (let dx = -reach; dx <= reach; dx++) {
          const [xx, yy] = [x + dx, y + dy];
          if (xx < 0 || yy < 0 || xx >= width || yy >= height) continue;
          const there = grey[yy * width + xx];
          const w = Math.exp(
            -(dx * dx + dy * dy) / (2 * radiusPx * radiusPx) -
              (there - here) ** 2 / (2 * range * range),
          );
          sum += w * there;
          total += w;
        }
      out[y * width + x] = sum / total;
    }
  return out;
}

/** Gaussian blur, edges repeated. */
function softened(grey: Float64Array, width: number, radiusPx: number): Float64Array {
  const height = grey.length / width;
  const reach = Math.ceil(3 * radiusPx);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * radiusPx * radiusPx)),
  );
  const total = kernel.reduce((a, b) => a + b, 0);
  const clamp = (i: number, n: number) => Math.max(0, Math.min(n - 1, i));
  const across = new Float64Array(grey.length);
  const out = new Float64Array(grey.length);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      for (let k = -reach; k <= reach; k++)
        across[y * width + x] +=
          (kernel[k + reach] / total) * grey[y * width + clamp(x + k, width)];
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      for (let k = -reach; k <= reach; k++)
        out[y * width + x] +=
          (kernel[k + reach] / total) * across[clamp(y + k, height) * width + x];
  return out;
}

/** Dark surroundings are lifted, bright ones lowered: grey x (surroundings / middle)^-power. */
function localTone(
  grey: Float64Array,
  width: number,
  { radiusPx, power }: NonNullable<Development["localTone"]>,
): Float64Array {
  const around = softened(
    grey.map((g) => Math.log(Math.max(4, g))),
    width,
    radiusPx,
  );
  const middle = Math.log(140);
  return grey.map((g, i) => g * Math.exp(-power * (around[i] - middle)));
}

function sharpened(
  grey: Float64Array,
  width: number,
  { amount, radiusPx, limit }: NonNullable<Development["halo"]>,
): Float64Array {
  const soft = softened(grey, width, radiusPx);
  return grey.map((g, i) => g + Math.max(-limit, Math.min(limit, amount * (g - soft[i]))));
}

/**
 * Which rays a pixel is made of: places inside the pixel (nine strata), places in the opening, moments
 * of the exposure. The blur of the optics is a normal distribution that `render.ts` integrates; what
 * of it slants across the print's lines is sampled too. Several sets, so that neighbouring pixels do
 * not share the sampling's own error.
 */

/** Strata per pixel in each direction; every sample stands for a square of 1 / strata px. */
export const strata = 3;
export const sets = 16;

/** Share of each colour in luma (ITU-R BT.601), in the same order. */
export const lumaWeights = [0.587, 0.299, 0.114] as const;

/**
 * Samples per pixel and how they lie: sub-pixel place px, part of the blur that slants (standard
 * deviations), place in the opening (shares of its radius), moment (-1/2 .. 1/2).
 */
export interface SampleTable {
  /** Samples of green, red and blue per pixel, even numbers: as they weigh in luma. */
  readonly perColour: readonly number[];
  readonly perPixel: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly slant: Float64Array;
  readonly openingX: Float64Array;
  readonly openingY: Float64Array;
  readonly moment: Float64Array;
}

/**
 * Points of an additive recurrence in four dimensions with the generalised golden ratio (M. Roberts,
 * "The unreasonable effectiveness of quasirandom sequences", 2018): g^5 = g + 1, steps g^-k.
 */
const golden = 1.1673039782614187;
const steps = [1, 2, 3, 4].map((k) => golden ** -k);

/** Share of a standard normal distribution below z, by Simpson's rule on its density. */
export const normalShare = (z: number): number => {
  const n = 200;
  let sum = 1 + Math.exp((-z * z) / 2);
  for (let i = 1; i < n; i++) sum += (i % 2 === 1 ? 4 : 2) * Math.exp(-(((z * i) / n) ** 2) / 2);
  return 0.5 + (sum * z) / (3 * n) / Math.sqrt(2 * Math.PI);
};

/** The deviate below which the share p lies, by bisection. */
const normalOf = (p: number): number => {
  let [low, high] = [-6, 6];
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (normalShare(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

const sampleTable = (perStratum: readonly number[]): SampleTable => {
  const perColour = perStratum.map((count) => count * strata * strata);
  const perPixel = perColour.reduce((sum, count) => sum + count, 0);
  const n = sets * perPixel;
  const column = () => new Float64Array(n);
  const table = {
    x: column(),
    y: column(),
    slant: column(),
    openingX: column(),
    openingY: column(),
    moment: column(),
  };
  const columns = Object.values(table);
  let at = 0;
  // One long run of points over all sets: neighbouring pixels together are even finer.
  let index = 0;
  for (let set = 0; set < sets; set++) {
    for (const count of perColour)
      for (let i = 0; i < count; i++, at++) {
        // Every sample has a mirror image, so that no set pulls to one side.
        const half = count / 2;
        if (i >= half) {
          for (const values of columns) values[at] = -values[at - half];
          continue;
        }
        const stratum = i % (strata * strata);
        table.x[at] = ((stratum % strata) + 0.5) / strata - 0.5;
        table.y[at] = (Math.floor(stratum / strata) + 0.5) / strata - 0.5;
        const p = steps.map((step) => (0.5 + step * index) % 1);
        index++;
        table.slant[at] = normalOf(p[0]);
        const radius = Math.sqrt(p[1]);
        table.openingX[at] = radius * Math.cos(2 * Math.PI * p[2]);
        table.openingY[at] = radius * Math.sin(2 * Math.PI * p[2]);
        table.moment[at] = p[3] - 0.5;
      }
  }
  return { perColour, perPixel, ...table };
};

/** For boards, which have few pixels. */
export const fine: SampleTable = sampleTable([6, 4, 2]);
/** For the camera sheet, which fills the frame. */
export const coarse: SampleTable = sampleTable([4, 2, 2]);

import { type Lens, lensOrder, lensSize } from "./lens.ts";

/**
 * A photo shrunk to `factor` times its size: focal lengths scale, and the principal point scales
 * about the picture's corner. Pixel centres are whole numbers, so that the corner is at -0.5:
 * c' = (c + 0.5) factor - 0.5. Distortion acts on normalised points and does not change.
 */
export const scaleLens = (lens: Lens, factorX: number, factorY: number = factorX): Lens => ({
  ...lens,
  fx: lens.fx * factorX,
  fy: lens.fy * factorY,
  cx: (lens.cx + 0.5) * factorX - 0.5,
  cy: (lens.cy + 0.5) * factorY - 0.5,
});

/** What is not known about a resize, as standard deviations in the small picture. */
export interface ResizeDoubt {
  /** Relative, for both focal lengths, each axis on its own. */
  readonly focalSd: number;
  /** px, for both coordinates of the principal point. */
  readonly shiftSdPx: number;
}

/**
 * The doubt of a plain resize to whole pixels: each side was rounded by up to half a pixel, and
 * programs differ in where they let the picture's edge fall by up to half a small pixel.
 * Both are taken as uniform (JCGM 100, 4.3.7). The shift is common practice, no source.
 */
export const resizeDoubt = (width: number, height: number): ResizeDoubt => ({
  focalSd: 0.5 / Math.min(width, height) / Math.sqrt(3),
  shiftSdPx: 0.5 / Math.sqrt(3),
});

/**
 * Covariance (9 x 9 row-major, lensOrder) of the scaled lens: J C J^T with the scale's Jacobian,
 * plus the doubt of the resize itself.
 */
export const scaleLensCovariance = (
  covariance: ArrayLike<number>,
  lens: Lens,
  factorX: number,
  factorY: number,
  doubt: ResizeDoubt,
): Float64Array => {
  const gain = lensOrder.map((name) =>
    name === "fx" || name === "cx" ? factorX : name === "fy" || name === "cy" ? factorY : 1,
  );
  const scaled = Float64Array.from(
    { length: lensSize * lensSize },
    (_, at) => covariance[at] * gain[Math.floor(at / lensSize)] * gain[at % lensSize],
  );
  const extra = [
    (lens.fx * factorX * doubt.focalSd) ** 2,
    (lens.fy * factorY * doubt.focalSd) ** 2,
    doubt.shiftSdPx ** 2,
    doubt.shiftSdPx ** 2,
  ];
  for (const [i, variance] of extra.entries()) scaled[i * lensSize + i] += variance;
  return scaled;
};

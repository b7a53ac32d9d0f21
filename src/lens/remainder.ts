import { z } from "zod";
import { type Lens, lensSize } from "./lens.ts";
import { lensDerivatives } from "./lens-derivatives.ts";

/**
 * What the Brown lens leaves: a smooth displacement of the picture, the same in all photos, as the
 * camera step found it in the sheet photos' residuals. A radial part, uniform cubic B-splines of the
 * distance from the principal point times the direction away from it, and a general part, products
 * of such splines along and across the frame. Pixels of the profile's frame.
 */
const modeSchema = z.object({
  radialPx: z.array(z.number()),
  alongX: z.array(z.number()),
  alongY: z.array(z.number()),
  lens: z
    .array(z.number())
    .length(lensSize)
    .describe("how the nine lens numbers follow, lensOrder"),
});
export type RemainderMode = z.infer<typeof modeSchema>;

export const remainderSchema = z.object({
  centre: z.array(z.number()).length(2).describe("where the radial part is zero, px"),
  radialStepPx: z.number().positive().describe("distance of the radial spline's knots"),
  radialPx: z.array(z.number()).describe("spline coefficients; displacement per radialUnitPx"),
  radialUnitPx: z.number().positive(),
  columns: z.number().int().min(1).describe("cells of the general part's knots"),
  rows: z.number().int().min(1),
  alongX: z.array(z.number()).describe("coefficients, (columns + 3) x (rows + 3), row by row, px"),
  alongY: z.array(z.number()),
  sdPx: z
    .array(z.number().min(0))
    .describe("what is left of each coordinate, (columns + 1) x (rows + 1) corners of the cells"),
  modes: z
    .array(modeSchema)
    .max(24)
    .optional()
    .describe(
      "what is not known of the displacement: independent deviations of one standard deviation each, the same in all photos; sdPx is what they leave",
    ),
});
export type LensRemainder = z.infer<typeof remainderSchema>;

/** Size of a picture, px. */
export interface FrameSize {
  readonly width: number;
  readonly height: number;
}

/** Whether the lists have the length that columns and rows say. */
export const remainderIsSound = (remainder: LensRemainder): boolean => {
  const { columns, rows, sdPx, radialPx, modes = [] } = remainder;
  const general = (columns + 3) * (rows + 3);
  return (
    [remainder, ...modes].every(
      (one) =>
        one.alongX.length === general &&
        one.alongY.length === general &&
        one.radialPx.length === radialPx.length,
    ) &&
    sdPx.length === (columns + 1) * (rows + 1) &&
    radialPx.length >= 4
  );
};

/** Weights of the four uniform cubic B-splines at the share t of a cell (de Boor). */
export const splineWeights = (t: number): readonly [number, number, number, number] => {
  const s = 1 - t;
  return [
    s ** 3 / 6,
    (3 * t ** 3 - 6 * t * t + 4) / 6,
    (3 * s ** 3 - 6 * s * s + 4) / 6,
    t ** 3 / 6,
  ];
};

/** Cell and share of a place measured in cells; beyond the last cell its end. */
export const cellOf = (place: number, cells: number): readonly [number, number] => {
  const inside = Math.min(cells, Math.max(0, place));
  const cell = Math.min(cells - 1, Math.floor(inside));
  return [cell, inside - cell];
};

export interface Displacement {
  /** Seen minus what the lens says, px of the profile's frame. */
  readonly dx: number;
  readonly dy: number;
}

/** The displacement at a pixel of the profile's frame; beyond the frame that of its rim. */
export const displacementAt = (
  remainder: Omit<LensRemainder, "sdPx" | "modes">,
  { width, height }: FrameSize,
  x: number,
  y: number,
): Displacement => {
  const { centre, radialPx, radialStepPx, radialUnitPx, columns, rows } = remainder;
  const [u, v] = [x - centre[0], y - centre[1]];
  const [ring, t] = cellOf(Math.hypot(u, v) / radialStepPx, radialPx.length - 3);
  const radial = splineWeights(t).reduce((sum, w, k) => sum + w * radialPx[ring + k], 0);
  let dx = (radial * u) / radialUnitPx;
  let dy = (radial * v) / radialUnitPx;
  const [i, s] = cellOf((x / (width - 1)) * columns, columns);
  const [j, q] = cellOf((y / (height - 1)) * rows, rows);
  const across = splineWeights(s);
  splineWeights(q).forEach((wy, b) => {
    across.forEach((wx, a) => {
      const at = (j + b) * (columns + 3) + i + a;
      dx += wy * wx * remainder.alongX[at];
      dy += wy * wx * remainder.alongY[at];
    });
  });
  return { dx, dy };
};

/** Standard deviation of what is left of each coordinate there, px: bilinear between corners. */
export const restAt = (
  { columns, rows, sdPx }: LensRemainder,
  { width, height }: FrameSize,
  x: number,
  y: number,
): number => {
  const [i, s] = cellOf((x / (width - 1)) * columns, columns);
  const [j, t] = cellOf((y / (height - 1)) * rows, rows);
  const at = j * (columns + 1) + i;
  const below = at + columns + 1;
  return (
    (1 - t) * ((1 - s) * sdPx[at] + s * sdPx[at + 1]) +
    t * ((1 - s) * sdPx[below] + s * sdPx[below + 1])
  );
};

/** A photo as the profile's frame sees it. */
export interface PhotoFrame extends FrameSize {
  /**
   * Focal length of the photo over that of the profile, both in px of the profile's frame: what a lens
   * does belongs to the line of sight, and focusing moves where that is seen. Absent = 1.
   */
  readonly focalRatio?: number;
}

/** A photo's pixel in the profile's frame, of which the photo may be a smaller copy. */
const inFrame = (
  { centre }: Pick<LensRemainder, "centre">,
  frame: FrameSize,
  { width, height, focalRatio = 1 }: PhotoFrame,
  x: number,
  y: number,
): [number, number] => [
  centre[0] + (((x + 0.5) * frame.width) / width - 0.5 - centre[0]) / focalRatio,
  centre[1] + (((y + 0.5) * frame.height) / height - 0.5 - centre[1]) / focalRatio,
];

/**
 * Pixels x0 y0 x1 y1 .. of a photo with the displacement taken off, so that the Brown lens fits them.
 * In a smaller copy of the profile's frame the displacement is smaller, too.
 */
export const withoutRemainder = (
  remainder: LensRemainder,
  frame: FrameSize,
  photo: PhotoFrame,
  pixels: Float64Array,
): Float64Array => {
  const out = new Float64Array(pixels.length);
  for (let i = 0; i < pixels.length; i += 2) {
    const [x, y] = inFrame(remainder, frame, photo, pixels[i], pixels[i + 1]);
    const { dx, dy } = displacementAt(remainder, frame, x, y);
    out[i] = pixels[i] - (dx * photo.width) / frame.width;
    out[i + 1] = pixels[i + 1] - (dy * photo.height) / frame.height;
  }
  return out;
};

/**
 * What each mode does to pixels of a photo, px of the photo: 2n x modes, row-major. `lens` is the
 * profile's: its numbers follow the modes.
 */
export const modesAt = (
  remainder: LensRemainder,
  lens: Lens,
  frame: FrameSize,
  photo: PhotoFrame,
  pixels: Float64Array,
): Float64Array => {
  const modes = remainder.modes ?? [];
  const out = new Float64Array(pixels.length * modes.length);
  for (let i = 0; i < pixels.length; i += 2) {
    const [x, y] = inFrame(remainder, frame, photo, pixels[i], pixels[i + 1]);
    const byLens = lensDerivatives(lens, x, y);
    modes.forEach((mode, k) => {
      const { dx, dy } = displacementAt({ ...remainder, ...mode }, frame, x, y);
      let [u, v] = [dx, dy];
      for (let n = 0; byLens && n < lensSize; n++) {
        u += byLens[n] * mode.lens[n];
        v += byLens[lensSize + n] * mode.lens[n];
      }
      out[i * modes.length + k] = (u * photo.width) / frame.width;
      out[(i + 1) * modes.length + k] = (v * photo.height) / frame.height;
    });
  }
  return out;
};

/** Root mean square of what is left, over pixels of a photo, px of the photo. */
export const restOver = (
  remainder: LensRemainder,
  frame: FrameSize,
  photo: PhotoFrame,
  pixels: Float64Array,
): number => {
  let sum = 0;
  for (let i = 0; i < pixels.length; i += 2) {
    const [x, y] = inFrame(remainder, frame, photo, pixels[i], pixels[i + 1]);
    sum += ((restAt(remainder, frame, x, y) * photo.width) / frame.width) ** 2;
  }
  return Math.sqrt((2 * sum) / Math.max(1, pixels.length));
};

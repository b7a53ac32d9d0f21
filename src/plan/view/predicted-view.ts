import type { BoardObservation } from "../../adjust/problem/problem.ts";
import { withNoise } from "../../adjust/spreads/field-noise.ts";
import { type Lens, project } from "../../lens/lens.ts";
import { type Pose, transform } from "../../maths/pose.ts";

/**
 * What the finder would report of a board in a photo that is not taken yet: sixteen points of the
 * print, as `patternFeatures` gives them, with the covariance that their edges allow.
 *
 * An edge of height c, blurred with standard deviation b and read in noise of standard deviation s,
 * fixes its own place across itself with an information of c^2 / (2 sqrt(pi) b s^2) per pixel of its
 * length (Cramer and Rao's bound for a Gaussian edge: the integral of the squared slope over the
 * noise). Edges along the board's y tell the place across them, those along x the other; a slant
 * shortens one kind.
 */
export interface PictureQuality {
  /** Grey levels between the print's black and white. */
  readonly contrast: number;
  /** Noise of a grey value, levels. */
  readonly noise: number;
  /** Blur of an edge, standard deviation, px. */
  readonly blurPx: number;
  /** Displacement of whole boards that no model explains, px; see `withNoise`. */
  readonly fieldPx: number;
}

/**
 * A lit shop and an ordinary phone held still. Contrast, noise and blur lie between those of our
 * rendered samples and the simulated phones (tests/tools/phone/ranges.ts); the displacement is what
 * aspheric phone lenses leave of Brown's model in the middle of the frame, from memory.
 */
export const usualPicture: PictureQuality = {
  contrast: 140,
  noise: 2,
  blurPx: 1,
  fieldPx: 0.03,
};

/** The points that carry a print's fit, cells; see print-fit/pattern-features.ts. */
const positions = [-6, -2, 2, 6] as const;
export const viewPoints = Float64Array.from(
  positions.flatMap((y) => positions.flatMap((x) => [x, y])),
);

/**
 * Cells of edge of one direction that one of the sixteen points stands for. The print has 14 x 14
 * cells, of which about half border on the other colour: some 90 edges each way, 5.6 a point.
 */
const edgesPerPoint = 5.6;

export interface Seen extends SeenCell {
  readonly pixels: Float64Array;
}

export interface SeenCell {
  /** Mean side of a cell, px. */
  readonly cellPx: number;
  /** A cell along the board's x, and along its y, as it lies in the photo, px. */
  readonly alongX: readonly [number, number];
  readonly alongY: readonly [number, number];
}

/** Where a photo would show a board; null where a point lies behind the camera or out of the lens. */
export const seeBoard = (lens: Lens, cameraFromBoard: Pose, cellMm: number): Seen | null => {
  const at = (x: number, y: number) =>
    project(lens, transform(cameraFromBoard, [x * cellMm, y * cellMm, 0]));
  const pixels = new Float64Array(viewPoints.length);
  for (let i = 0; i < viewPoints.length; i += 2) {
    const pixel = at(viewPoints[i], viewPoints[i + 1]);
    if (!pixel) return null;
    pixels.set(pixel, i);
  }
  const cell = seeCell(lens, cameraFromBoard, cellMm);
  return cell && { pixels, ...cell };
};

/** How large a photo would show a board's cells; null where they lie behind the camera or out of the lens. */
export const seeCell = (lens: Lens, cameraFromBoard: Pose, cellMm: number): SeenCell | null => {
  const at = (x: number, y: number) =>
    project(lens, transform(cameraFromBoard, [x * cellMm, y * cellMm, 0]));
  const [left, right, low, high] = [at(-1, 0), at(1, 0), at(0, -1), at(0, 1)];
  if (!left || !right || !low || !high) return null;
  const alongX = [(right[0] - left[0]) / 2, (right[1] - left[1]) / 2] as const;
  const alongY = [(high[0] - low[0]) / 2, (high[1] - low[1]) / 2] as const;
  const area = Math.abs(alongX[0] * alongY[1] - alongX[1] * alongY[0]);
  return { cellPx: Math.sqrt(area), alongX, alongY };
};

/** Information of `length` px of edge along `direction`, as two rows W with W^T W = information. */
const edgeRow = (
  direction: readonly [number, number],
  { contrast, noise, blurPx }: PictureQuality,
): readonly [number, number] => {
  const length = Math.hypot(direction[0], direction[1]);
  const perPx = contrast ** 2 / (2 * Math.sqrt(Math.PI) * blurPx * noise ** 2);
  const weight = Math.sqrt(edgesPerPoint * length * perPx) / length;
  return [-direction[1] * weight, direction[0] * weight];
};

/** The observation that such a view would be, its noise included; pixels are those predicted. */
export const predictedObservation = (
  photo: string,
  board: string,
  seen: Seen,
  quality: PictureQuality,
): BoardObservation => {
  const n = viewPoints.length;
  const sqrtInformation = new Float64Array(n * n);
  const [acrossY, acrossX] = [edgeRow(seen.alongY, quality), edgeRow(seen.alongX, quality)];
  for (let i = 0; i < n; i += 2) {
    sqrtInformation.set(acrossY, i * n + i);
    sqrtInformation.set(acrossX, (i + 1) * n + i);
  }
  const { pixels } = seen;
  const noise = { kind: "full", rows: n, sqrtInformation } as const;
  const view = { photo, board, boardPoints: viewPoints, pixels, noise };
  return withNoise(view, { scale: 1, fieldPx: quality.fieldPx });
};

import { cellOf, type FrameSize, splineWeights } from "../../lens/remainder.ts";

/**
 * The smooth displacement beyond Brown's numbers as a linear model: a radial cubic spline, and
 * products of cubic splines along and across the frame for each coordinate (see lens/remainder.ts).
 */

/** Knots of the radial part from the middle to the corner: a lens's ripple has 3 to 5 half waves. */
export const radialCells = 10;
export const radialSize = radialCells + 3;
/** Cells of the general part, along the longer and the shorter side. */
export const columns = 4;
export const rows = 3;
export const generalSize = (columns + 3) * (rows + 3);
/** Number of coefficients: radial, general along x, general along y. */
export const modelSize = radialSize + 2 * generalSize;

/** Where the parts of the model lie in the frame. */
export interface Frame extends FrameSize {
  readonly centre: readonly [number, number];
  readonly cornerPx: number;
}

export const frameOf = (
  { width, height }: FrameSize,
  centre: readonly [number, number],
): Frame => ({
  width,
  height,
  centre,
  cornerPx: Math.hypot(width, height) / 2,
});

/** Coefficients that move a pixel, and by how much, px per unit. */
export interface Features {
  readonly at: readonly number[];
  readonly ofX: readonly number[];
  readonly ofY: readonly number[];
}

export const featuresAt = (frame: Frame, x: number, y: number): Features => {
  const [u, v] = [x - frame.centre[0], y - frame.centre[1]];
  const step = frame.cornerPx / radialCells;
  const [ring, t] = cellOf(Math.hypot(u, v) / step, radialCells);
  const [i, s] = cellOf((x / (frame.width - 1)) * columns, columns);
  const [j, q] = cellOf((y / (frame.height - 1)) * rows, rows);
  const at: number[] = [];
  const ofX: number[] = [];
  const ofY: number[] = [];
  splineWeights(t).forEach((w, k) => {
    at.push(ring + k);
    ofX.push((w * u) / frame.cornerPx);
    ofY.push((w * v) / frame.cornerPx);
  });
  const across = splineWeights(s);
  splineWeights(q).forEach((wy, b) => {
    across.forEach((wx, a) => {
      const cell = radialSize + (j + b) * (columns + 3) + i + a;
      at.push(cell, cell + generalSize);
      ofX.push(wy * wx, 0);
      ofY.push(0, wy * wx);
    });
  });
  return { at, ofX, ofY };
};

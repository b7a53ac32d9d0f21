import { type Lens, lensSize } from "../../lens/lens.ts";
import { lensDerivatives } from "../../lens/lens-derivatives.ts";
import type { LensRemainder, RemainderMode } from "../../lens/remainder.ts";
import { cholesky, choleskySolve, symmetricEigen } from "../../maths/dense.ts";
import {
  columns,
  type Frame,
  featuresAt,
  generalSize,
  modelSize,
  radialSize,
  rows,
} from "./remainder-model.ts";

/**
 * What is not known of the displacement beyond Brown's numbers, from the covariance of its
 * coefficients: the few deviations that matter most, each the same in all photos, and what they leave
 * by place in the frame.
 */

/** Deviations that are kept, and the smallest one, root mean square over the frame, px. */
const mostModes = 20;
const leastModePx = 0.002;
/** Grid on which they are compared: the corners of the cells and places between them. */
const finer = 2;

export const lensDoubt = (
  covariance: Float64Array,
  frame: Frame,
  lens: Lens | null,
  follow: Float64Array | null,
): Pick<LensRemainder, "sdPx" | "modes"> => {
  const places = gridOf(frame);
  const effects = places.map(([x, y]) => effectsAt(frame, x, y, lens, follow));
  takeOffOwn(frame, places, effects);
  const modes = largestModes(covariance, effects);
  const rest = covariance.slice();
  for (const mode of modes)
    for (let a = 0; a < modelSize; a++)
      for (let b = 0; b < modelSize; b++) rest[a * modelSize + b] -= mode[a] * mode[b];
  const sdPx: number[] = [];
  for (let j = 0; j <= rows; j++)
    for (let i = 0; i <= columns; i++) {
      const at = finer * j * (finer * columns + 1) + finer * i;
      sdPx.push(Number(Math.sqrt(spreadOf(effects[at], rest)).toFixed(6)));
    }
  return { sdPx, modes: modes.map((mode) => modeOf(mode, follow)) };
};

/** Corners of the general part's cells and places between them, row by row. */
const gridOf = ({ width, height }: Frame): [number, number][] => {
  const [across, down] = [finer * columns + 1, finer * rows + 1];
  return Array.from({ length: across * down }, (_, at) => [
    ((at % across) / (across - 1)) * (width - 1),
    (Math.floor(at / across) / (down - 1)) * (height - 1),
  ]);
};

/** Displacement at a pixel per unit of each coefficient, the lens following: 2 x coefficients. */
const effectsAt = (
  frame: Frame,
  x: number,
  y: number,
  lens: Lens | null,
  follow: Float64Array | null,
): Float64Array => {
  const out = new Float64Array(2 * modelSize);
  const { at, ofX, ofY } = featuresAt(frame, x, y);
  at.forEach((k, a) => {
    out[k] += ofX[a];
    out[modelSize + k] += ofY[a];
  });
  const byLens = lens && follow && lensDerivatives(lens, x, y);
  if (!byLens) return out;
  for (let axis = 0; axis < 2; axis++)
    for (let i = 0; i < lensSize; i++) {
      const f = byLens[axis * lensSize + i];
      for (let k = 0; k < modelSize; k++)
        out[axis * modelSize + k] += f * follow[i * modelSize + k];
    }
  return out;
};

/** Distance from the middle over which places lose weight, as a share of that of the corner. */
const reach = 0.5;
/** Displacement, scale, rotation and two keystones. */
const ownCount = 6;

/**
 * What every photo fits for itself (shift, focal length, turn about three axes: to first order a
 * displacement, a scale, a rotation and two keystones about the centre) is no error of a photo; it is
 * taken off the displacements, by least squares with most weight in the middle, where boards are.
 */
const takeOffOwn = (
  { centre, cornerPx }: Frame,
  places: readonly (readonly [number, number])[],
  effects: readonly Float64Array[],
): void => {
  const patterns = places.map(([x, y]) => {
    const [u, v] = [(x - centre[0]) / cornerPx, (y - centre[1]) / cornerPx];
    const weight = Math.exp(-(u * u + v * v) / (2 * reach ** 2));
    return { weight, x: [1, 0, u, -v, u * u, u * v], y: [0, 1, v, u, u * v, v * v] };
  });
  const normal = new Float64Array(ownCount * ownCount);
  for (const { weight, x, y } of patterns)
    for (let a = 0; a < ownCount; a++)
      for (let b = 0; b < ownCount; b++)
        normal[a * ownCount + b] += weight * (x[a] * x[b] + y[a] * y[b]);
  cholesky(normal, ownCount);
  for (let k = 0; k < modelSize; k++) {
    const amounts = new Float64Array(ownCount);
    patterns.forEach(({ weight, x, y }, i) => {
      for (let a = 0; a < ownCount; a++)
        amounts[a] += weight * (x[a] * effects[i][k] + y[a] * effects[i][modelSize + k]);
    });
    choleskySolve(normal, ownCount, amounts);
    patterns.forEach(({ x, y }, i) => {
      for (let a = 0; a < ownCount; a++) {
        effects[i][k] -= amounts[a] * x[a];
        effects[i][modelSize + k] -= amounts[a] * y[a];
      }
    });
  }
};

/**
 * Deviations v_k of the coefficients with sum v_k v_k^T close to their covariance C = L L^T, by how
 * much they move the picture: v_k = L u_k with u_k the eigenvectors of L^T G L, G being the mean square
 * displacement over the frame as a form of the coefficients.
 */
const largestModes = (
  covariance: Float64Array,
  effects: readonly Float64Array[],
): Float64Array[] => {
  const m = modelSize;
  const l = covariance.slice();
  if (cholesky(l, m).failedAt >= 0) return [];
  for (let a = 0; a < m; a++) l.fill(0, a * m + a + 1, (a + 1) * m);
  // Rows of E L, one for each place and axis: their Gram matrix is L^T G L.
  const gram = new Float64Array(m * m);
  for (const effect of effects)
    for (let axis = 0; axis < 2; axis++) {
      const row = new Float64Array(m);
      for (let a = 0; a < m; a++) {
        const e = effect[axis * m + a];
        if (e !== 0) for (let b = 0; b <= a; b++) row[b] += e * l[a * m + b];
      }
      for (let a = 0; a < m; a++) for (let b = 0; b < m; b++) gram[a * m + b] += row[a] * row[b];
    }
  const { values, vectors } = symmetricEigen(gram, m);
  const order = Array.from(values, (_, k) => k).sort((a, b) => values[b] - values[a]);
  const least = 2 * effects.length * leastModePx ** 2;
  return order
    .slice(0, mostModes)
    .filter((k) => values[k] > least)
    .map((k) => {
      const mode = new Float64Array(m);
      for (let a = 0; a < m; a++)
        for (let b = 0; b <= a; b++) mode[a] += l[a * m + b] * vectors[b * m + k];
      return mode;
    });
};

/** Mean over x and y of the displacement's variance, px^2. */
const spreadOf = (effects: Float64Array, covariance: Float64Array): number => {
  let sum = 0;
  for (let axis = 0; axis < 2; axis++) {
    const e = effects.subarray(axis * modelSize, (axis + 1) * modelSize);
    for (let a = 0; a < modelSize; a++) {
      if (e[a] === 0) continue;
      for (let b = 0; b < modelSize; b++) sum += e[a] * e[b] * covariance[a * modelSize + b];
    }
  }
  return Math.max(0, sum / 2);
};

const modeOf = (mode: Float64Array, follow: Float64Array | null): RemainderMode => {
  const list = (from: number, count: number): number[] =>
    Array.from(mode.subarray(from, from + count), short);
  return {
    radialPx: list(0, radialSize),
    alongX: list(radialSize, generalSize),
    alongY: list(radialSize + generalSize, generalSize),
    lens: Array.from({ length: lensSize }, (_, i) =>
      short(follow ? mode.reduce((sum, v, k) => sum + follow[i * modelSize + k] * v, 0) : 0),
    ),
  };
};

/** Six digits: large coefficients of neighbours cancel. */
const short = (value: number): number => Number(value.toPrecision(7));

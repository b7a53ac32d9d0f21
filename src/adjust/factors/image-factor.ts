import type { FeatureNoise } from "../../detect/findings/findings.ts";
import type { Block, Layout } from "../problem/layout.ts";
import { lineTimes } from "../problem/motion.ts";
import type { BoardObservation, Widening } from "../problem/problem.ts";
import type { State } from "../problem/state.ts";
import { type Factor, scratch, squareUp } from "./factor.ts";
import { blocksOf, congruence, innerColumnsOf, spreadInner } from "./inner-numbers.ts";
import { innerSize, lineariseProjection, projectionResiduals } from "./view-projection.ts";

/**
 * One board seen in one photo. The features depend on the unknowns only through few numbers: the
 * relative pose cameraFromBoard (6), the lens as it was in that photo (9), the board's size and
 * stretch (2) and bend (3), the motion during the read-out (9), and the amplitudes of what is left of
 * the lens beyond its numbers, if the camera has such modes. The normal equations are formed
 * for these "inner" numbers and then spread to the blocks with the chain rule, which is several times
 * faster than doing so per feature.
 */
export interface ImageFactor extends Factor {
  readonly photo: number;
  readonly board: number;
  readonly observation: BoardObservation;
  /** Predicted minus observed, px, 2n; false where the board is not in front of the camera. */
  pixelResiduals(state: State, out: Float64Array): boolean;
  /** Whitened residuals (rows) and derivatives (rows x innerCount) by the inner numbers. */
  inner(state: State, r: Float64Array, b: Float64Array): boolean;
  readonly innerColumns: readonly number[];
  /** Column of the board's first unknown; the photo's come first. */
  readonly boardAt: number;
  /**
   * innerCount x width, row-major: derivatives of the inner numbers by the block unknowns. In memory
   * that all views share: valid until the next one is asked.
   */
  spread(state: State): Float64Array;
}
export const imageFactor = (
  layout: Layout,
  observation: BoardObservation,
  indexOfBlock: (block: Block) => number,
): ImageFactor => {
  const photo = layout.photoIndex.get(observation.photo)!;
  const board = layout.boardIndex.get(observation.board)!;
  const places = blocksOf(layout, photo, board);
  const columns = innerColumnsOf(layout, photo, board);
  const count = observation.pixels.length / 2;
  const rows = observation.noise.kind === "full" ? observation.noise.rows : 2 * count;
  const width = places.width;
  const c = columns.length;
  const times = lineTimes(layout.problem.photos[photo], observation);

  const modes = modesOf(layout, photo, observation);
  const inner = (state: State, outR: Float64Array, outB: Float64Array): boolean => {
    const rawR = scratch("raw residuals", 2 * count);
    const stride = innerSize + modes.count;
    const rawB = scratch("raw derivatives", 2 * count * stride);
    if (!lineariseProjection(layout, state, photo, board, observation, times, rawR, rawB, stride))
      return false;
    modes.addTo(state, rawR);
    modes.writeTo(rawB, stride);
    whiten(observation, rawR, 2 * count, 1, [0], outR);
    whiten(observation, rawB, 2 * count, stride, columns, outB);
    return true;
  };
  const spread = (state: State): Float64Array =>
    spreadInner(layout, state, photo, board, places, columns);

  return {
    label: `board ${observation.board} in photo ${observation.photo}`,
    source: "image",
    blocks: places.blocks.map(indexOfBlock),
    width,
    rows,
    photo,
    board,
    observation,
    innerColumns: columns,
    boardAt: places.board,
    pixelResiduals(state, out) {
      const seen = projectionResiduals(layout, state, photo, board, observation, times, out);
      if (seen) modes.addTo(state, out);
      return seen;
    },
    inner,
    spread,
    cost(state) {
      const rawR = scratch("raw residuals", 2 * count);
      const r = scratch("residuals", rows);
      if (!projectionResiduals(layout, state, photo, board, observation, times, rawR))
        return Number.POSITIVE_INFINITY;
      modes.addTo(state, rawR);
      whiten(observation, rawR, 2 * count, 1, [0], r);
      let cost = 0;
      for (let i = 0; i < rows; i++) cost += r[i] * r[i];
      return cost;
    },
    normals(state, n, g) {
      const r = scratch("residuals", rows);
      const b = scratch("derivatives", rows * c);
      const innerN = scratch("inner normals", c * c);
      const innerG = scratch("inner gradient", c);
      if (!inner(state, r, b)) return Number.POSITIVE_INFINITY;
      const cost = squareUp(r, b, rows, c, innerN, innerG);
      congruence(spread(state), innerN, innerG, c, width, n, g);
      return cost;
    },
  };
};

/** What the camera's modes do to the features of a view; nothing where it has none. */
const modesOf = (layout: Layout, photo: number, { pixels, modes }: BoardObservation) => {
  const { camera } = layout.photoPlaces[photo];
  const count = layout.problem.cameras[camera].modes ?? 0;
  const effects = modes ?? new Float64Array(count * pixels.length);
  return {
    count,
    /** Adds the displacement to residuals, px. */
    addTo(state: State, residuals: Float64Array): void {
      const amplitudes = state.lensModes[camera];
      for (let i = 0; count > 0 && i < pixels.length; i++)
        for (let k = 0; k < count; k++) residuals[i] += effects[i * count + k] * amplitudes[k];
    },
    /** Writes its derivatives behind the inner numbers. */
    writeTo(derivatives: Float64Array, stride: number): void {
      for (let i = 0; count > 0 && i < pixels.length; i++)
        for (let k = 0; k < count; k++)
          derivatives[i * stride + innerSize + k] = effects[i * count + k];
    },
  };
};

/**
 * Applies a view's noise, widened where it is, to the chosen columns of a (count x stride) matrix,
 * count being the number of pixel coordinates; out has one row per independent observation.
 */
export const whiten = (
  { noise, widened = [] }: Pick<BoardObservation, "noise" | "widened">,
  raw: Float64Array,
  count: number,
  stride: number,
  columns: readonly number[],
  out: Float64Array,
): void => {
  whitenByFeatures(noise, raw, count, stride, columns, out);
  const rows = noise.kind === "full" ? noise.rows : count;
  for (const widening of widened) widen(widening, rows, columns.length, out);
};

/** out <- out - A (B (A^T out)), in place; out is rows x c. */
const widen = ({ patterns, shrinking }: Widening, rows: number, c: number, out: Float64Array) => {
  const p = patterns.length / rows;
  const along = new Float64Array(p * c);
  for (let row = 0; row < rows; row++)
    for (let k = 0; k < p; k++) {
      const f = patterns[row * p + k];
      for (let i = 0; i < c; i++) along[k * c + i] += f * out[row * c + i];
    }
  const shrunk = new Float64Array(p * c);
  for (let k = 0; k < p; k++)
    for (let l = 0; l < p; l++) {
      const f = shrinking[k * p + l];
      for (let i = 0; i < c; i++) shrunk[k * c + i] += f * along[l * c + i];
    }
  for (let row = 0; row < rows; row++)
    for (let k = 0; k < p; k++) {
      const f = patterns[row * p + k];
      for (let i = 0; i < c; i++) out[row * c + i] -= f * shrunk[k * c + i];
    }
};

const whitenByFeatures = (
  noise: FeatureNoise,
  raw: Float64Array,
  count: number,
  stride: number,
  columns: readonly number[],
  out: Float64Array,
): void => {
  const c = columns.length;
  if (noise.kind === "isotropic") {
    const weight = 1 / noise.sigmaPx;
    for (let i = 0; i < count; i++)
      for (let k = 0; k < c; k++) out[i * c + k] = raw[i * stride + columns[k]] * weight;
    return;
  }
  const w = noise.sqrtInformation;
  out.fill(0, 0, noise.rows * c);
  for (let row = 0; row < noise.rows; row++)
    for (let i = 0; i < count; i++) {
      const f = w[row * count + i];
      if (f === 0) continue;
      const at = i * stride;
      for (let k = 0; k < c; k++) out[row * c + k] += f * raw[at + columns[k]];
    }
};

import { lensSize } from "../camera/lens.ts";
import type { FeatureNoise } from "../detection/findings.ts";
import { compose, matMul, type Pose, skew, transpose } from "../geometry/pose.ts";
import { type Bend, bentPoint, bentPointDerivatives } from "./board-shape.ts";
import { type Factor, scratch, squareUp } from "./factor.ts";
import type { Block, Layout } from "./layout.ts";
import type { BoardObservation } from "./problem.ts";
import { cellOf, changeOf, lensOf, type State } from "./state.ts";

/**
 * One board seen in one photo. The features depend on the unknowns only through few numbers: the
 * relative pose cameraFromBoard (6), the lens as it was in that photo (9), the board's size (1)
 * and bend (3). The normal equations are formed for these "inner" numbers and then spread to the
 * blocks with the chain rule, which is several times faster than doing so per feature.
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
  /** innerCount x width, row-major: derivatives of the inner numbers by the block unknowns. */
  spread(state: State): Float64Array;
}

/** Inner numbers in order: turn 3, shift 3, lens 9, log size, bend 3. */
const lensAt = 6;
export const sizeAt = 15;
const bendAt = 16;
const innerSize = 19;

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

  const inner = (state: State, outR: Float64Array, outB: Float64Array): boolean => {
    const rawR = scratch("raw residuals", 2 * count);
    const rawB = scratch("raw derivatives", 2 * count * innerSize);
    if (!linearise(layout, state, photo, board, observation, rawR, rawB)) return false;
    whiten(observation.noise, rawR, 2 * count, 1, [0], outR);
    whiten(observation.noise, rawB, 2 * count, innerSize, columns, outB);
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
    pixelResiduals: (state, out) => residualsOnly(layout, state, photo, board, observation, out),
    inner,
    spread,
    cost(state) {
      const rawR = scratch("raw residuals", 2 * count);
      const r = scratch("residuals", rows);
      if (!residualsOnly(layout, state, photo, board, observation, rawR))
        return Number.POSITIVE_INFINITY;
      whiten(observation.noise, rawR, 2 * count, 1, [0], r);
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

interface Places {
  readonly blocks: readonly Block[];
  readonly width: number;
  /** First column of each part, or -1. */
  readonly board: number;
  readonly camera: number;
  readonly print: number;
}

const blocksOf = (layout: Layout, photo: number, board: number): Places => {
  const camera = layout.cameraBlock[layout.photoPlaces[photo].camera];
  const print = layout.boardPlaces[board].print;
  const blocks: Block[] = [layout.photoBlock[photo], layout.boardBlock[board]];
  let width = blocks[0].size + blocks[1].size;
  const place = (block: Block | undefined): number => {
    if (!block || block.size === 0) return -1;
    blocks.push(block);
    width += block.size;
    return width - block.size;
  };
  const boardAt = blocks[0].size;
  const cameraAt = place(camera);
  const printAt = place(print < 0 ? undefined : layout.printBlock[print]);
  return { blocks, width, board: boardAt, camera: cameraAt, print: printAt };
};

/** The inner numbers that any unknown moves, and the size. */
const innerColumnsOf = (layout: Layout, photo: number, board: number): number[] => {
  const columns = [0, 1, 2, 3, 4, 5];
  const { camera, focal, shift } = layout.photoPlaces[photo];
  const { bend } = layout.boardPlaces[board];
  const spread = layout.lensSpread[camera];
  const free = spread.length / lensSize;
  for (let i = 0; i < lensSize; i++) {
    const moved = spread.subarray(i * free, (i + 1) * free).some((v) => v !== 0);
    if (moved || (i < 2 && focal >= 0) || ((i === 2 || i === 3) && shift >= 0))
      columns.push(lensAt + i);
  }
  // The size is always kept: diagnosis asks whether a board is printed to another scale.
  columns.push(sizeAt);
  if (bend >= 0) columns.push(bendAt, bendAt + 1, bendAt + 2);
  return columns;
};

const bendOf = (state: State, board: number): Bend => ({
  m: state.bend[3 * board],
  d: state.bend[3 * board + 1],
  e: state.bend[3 * board + 2],
});

const residualsOnly = (
  layout: Layout,
  state: State,
  photo: number,
  board: number,
  observation: BoardObservation,
  out: Float64Array,
): boolean => {
  const { R, t } = compose(state.photoPose[photo], state.boardPose[board]);
  const lens = lensOf(state, layout.photoPlaces[photo].camera);
  const change = changeOf(state, photo);
  const cell = cellOf(layout, state, board);
  const bend = bendOf(state, board);
  const { boardPoints, pixels } = observation;
  const { k1, k2, k3, p1, p2 } = lens;
  const fx = lens.fx * (1 + change.focal);
  const fy = lens.fy * (1 + change.focal);
  const cx = lens.cx + change.shiftX;
  const cy = lens.cy + change.shiftY;
  for (let i = 0; i < pixels.length; i += 2) {
    const [px, py, pz] = bentPoint(bend, boardPoints[i] * cell, boardPoints[i + 1] * cell);
    const z = R[6] * px + R[7] * py + R[8] * pz + t[2];
    if (!(z > 1e-3)) return false;
    const x = (R[0] * px + R[1] * py + R[2] * pz + t[0]) / z;
    const y = (R[3] * px + R[4] * py + R[5] * pz + t[1]) / z;
    const r2 = x * x + y * y;
    const radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
    out[i] = fx * (x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x)) + cx - pixels[i];
    out[i + 1] = fy * (y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y) + cy - pixels[i + 1];
  }
  return true;
};

/** Residuals (px) and their derivatives by all 19 inner numbers. */
const linearise = (
  layout: Layout,
  state: State,
  photo: number,
  board: number,
  observation: BoardObservation,
  r: Float64Array,
  b: Float64Array,
): boolean => {
  const { R, t } = compose(state.photoPose[photo], state.boardPose[board]);
  const lens = lensOf(state, layout.photoPlaces[photo].camera);
  const change = changeOf(state, photo);
  const cell = cellOf(layout, state, board);
  const bend = bendOf(state, board);
  const { boardPoints, pixels } = observation;
  const fx = lens.fx * (1 + change.focal);
  const fy = lens.fy * (1 + change.focal);
  const bent = bend.m !== 0 || bend.d !== 0 || bend.e !== 0 || layout.boardPlaces[board].bend >= 0;
  const shape = new Float64Array(12);
  const { k1, k2, k3, p1, p2 } = lens;
  const cx = lens.cx + change.shiftX;
  const cy = lens.cy + change.shiftY;
  for (let i = 0; i < pixels.length; i += 2) {
    let px = boardPoints[i] * cell;
    let py = boardPoints[i + 1] * cell;
    let pz = 0;
    if (bent) {
      bentPointDerivatives(bend, px, py, shape);
      [px, py, pz] = bentPoint(bend, px, py);
    } else {
      shape[0] = px;
      shape[1] = py;
    }
    const z = R[6] * px + R[7] * py + R[8] * pz + t[2];
    if (!(z > 1e-3)) return false;
    const x = (R[0] * px + R[1] * py + R[2] * pz + t[0]) / z;
    const y = (R[3] * px + R[4] * py + R[5] * pz + t[1]) / z;
    const r2 = x * x + y * y;
    const radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
    const slope = 2 * (k1 + r2 * (2 * k2 + 3 * r2 * k3));
    const dx = x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x);
    const dy = y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y;
    const mixed = slope * x * y + 2 * p1 * x + 2 * p2 * y;
    r[i] = fx * dx + cx - pixels[i];
    r[i + 1] = fy * dy + cy - pixels[i + 1];
    for (let axis = 0; axis < 2; axis++) {
      const at = (i + axis) * innerSize;
      const first = axis === 0;
      const f = first ? fx : fy;
      const own = first ? x : y;
      // Derivative by the point in the camera frame, then in the board frame.
      const direct =
        radial + slope * own * own + (first ? 2 * p1 * y + 6 * p2 * x : 6 * p1 * y + 2 * p2 * x);
      const gx = (f * (first ? direct : mixed)) / z;
      const gy = (f * (first ? mixed : direct)) / z;
      const gz = -(gx * x + gy * y);
      const bx = gx * R[0] + gy * R[3] + gz * R[6];
      const by = gx * R[1] + gy * R[4] + gz * R[7];
      const bz = gx * R[2] + gy * R[5] + gz * R[8];
      b[at] = py * bz - pz * by;
      b[at + 1] = pz * bx - px * bz;
      b[at + 2] = px * by - py * bx;
      b[at + 3] = gx;
      b[at + 4] = gy;
      b[at + 5] = gz;
      b[at + lensAt] = first ? dx : 0;
      b[at + lensAt + 1] = first ? 0 : dy;
      b[at + lensAt + 2] = first ? 1 : 0;
      b[at + lensAt + 3] = first ? 0 : 1;
      b[at + lensAt + 4] = f * own * r2;
      b[at + lensAt + 5] = f * own * r2 * r2;
      b[at + lensAt + 6] = f * (first ? 2 * x * y : r2 + 2 * y * y);
      b[at + lensAt + 7] = f * (first ? r2 + 2 * x * x : 2 * x * y);
      b[at + lensAt + 8] = f * own * r2 * r2 * r2;
      b[at + sizeAt] = bx * shape[0] + by * shape[1] + bz * shape[2];
      if (!bent) continue;
      for (let k = 1; k < 4; k++)
        b[at + sizeAt + k] = bx * shape[3 * k] + by * shape[3 * k + 1] + bz * shape[3 * k + 2];
    }
  }
  return true;
};

/** Applies the feature noise to the chosen columns of a (count x stride) matrix. */
const whiten = (
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

/**
 * Chain rule from block unknowns to inner numbers. With P = cameraFromBay and B = bayFromBoard,
 * cameraFromBoard turns by w_b + R_B^T w_p and shifts by R_P (t_b - [t_B] w_p) + t_p.
 */
const spreadInner = (
  layout: Layout,
  state: State,
  photo: number,
  board: number,
  places: Places,
  columns: readonly number[],
): Float64Array => {
  const { width } = places;
  const out = new Float64Array(columns.length * width);
  const P: Pose = state.photoPose[photo];
  const B: Pose = state.boardPose[board];
  const turnByPhoto = transpose(B.R);
  const shiftByPhotoTurn = matMul(P.R, skew(B.t));
  for (let i = 0; i < 3; i++)
    for (let k = 0; k < 3; k++) {
      out[i * width + k] = turnByPhoto[3 * i + k];
      out[(3 + i) * width + k] = -shiftByPhotoTurn[3 * i + k];
      out[(3 + i) * width + 3 + k] = i === k ? 1 : 0;
      out[i * width + places.board + k] = i === k ? 1 : 0;
      out[(3 + i) * width + places.board + 3 + k] = P.R[3 * i + k];
    }
  const { camera, focal, shift } = layout.photoPlaces[photo];
  const { cell, bend, print } = layout.boardPlaces[board];
  const spread = layout.lensSpread[camera];
  const free = spread.length / lensSize;
  const f = 1 + state.photoChange[3 * photo];
  for (let row = 6; row < columns.length; row++) {
    const at = row * width;
    const inner = columns[row];
    if (inner < sizeAt) {
      const i = inner - lensAt;
      for (let k = 0; k < free; k++)
        out[at + places.camera + k] = spread[i * free + k] * (i < 2 ? f : 1);
      if (i < 2 && focal >= 0) out[at + focal] = state.lens[lensSize * camera + i];
      if (i === 2 && shift >= 0) out[at + shift] = 1;
      if (i === 3 && shift >= 0) out[at + shift + 1] = 1;
    } else if (inner === sizeAt) {
      if (cell >= 0) out[at + places.board + cell] = 1 / (1 + state.cellChange[board]);
      if (places.print >= 0) out[at + places.print] = 1 / (1 + state.printChange[print]);
    } else out[at + places.board + bend + inner - bendAt] = 1;
  }
  return out;
};

/**
 * n = T^T N T and g = T^T g for T of `rows` x `width`. Nine tenths of T are zeros: its few nonzero
 * elements are listed first and only they are multiplied.
 */
const congruence = (
  T: Float64Array,
  innerN: Float64Array,
  innerG: Float64Array,
  rows: number,
  width: number,
  n: Float64Array,
  g: Float64Array,
): void => {
  const half = scratch("half product", rows * width);
  half.fill(0, 0, rows * width);
  n.fill(0, 0, width * width);
  g.fill(0, 0, width);
  let count = 0;
  for (let i = 0; i < rows; i++)
    for (let c = 0; c < width; c++) if (T[i * width + c] !== 0) nonzero[count++] = i * width + c;
  for (let p = 0; p < count; p++) {
    const k = Math.floor(nonzero[p] / width);
    const c = nonzero[p] - k * width;
    const f = T[nonzero[p]];
    g[c] += f * innerG[k];
    for (let i = 0; i < rows; i++) half[i * width + c] += f * innerN[i * rows + k];
  }
  for (let p = 0; p < count; p++) {
    const i = Math.floor(nonzero[p] / width);
    const row = (nonzero[p] - i * width) * width;
    const at = i * width;
    const f = T[nonzero[p]];
    for (let c = 0; c < width; c++) n[row + c] += f * half[at + c];
  }
};

/** Places of T's nonzero elements; 19 inner numbers, at most 9 + 10 + 9 + 1 unknowns. */
const nonzero = new Int32Array(innerSize * 32);

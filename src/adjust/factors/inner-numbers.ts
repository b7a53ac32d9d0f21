import { lensSize } from "../../lens/lens.ts";
import { matMul, type Pose, skew, transpose } from "../../maths/pose.ts";
import type { Block, Layout } from "../problem/layout.ts";
import { changeByCamera } from "../problem/own-lens.ts";
import type { State } from "../problem/state.ts";
import { scratch } from "./factor.ts";
import { bendAt, innerSize, lensAt, motionAt, sizeAt, stretchAt } from "./view-projection.ts";

/** Blocks that one view touches (photo, board, camera, print) and where their columns begin. */
export interface Places {
  readonly blocks: readonly Block[];
  readonly width: number;
  /** First column of each part, or -1. */
  readonly board: number;
  readonly camera: number;
  readonly print: number;
  /** The column of the print's height; where a print has one number only, the same as `print`. */
  readonly lastPrint: number;
}

export const blocksOf = (layout: Layout, photo: number, board: number): Places => {
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
  const lastPrint = printAt < 0 ? -1 : width - 1;
  return { blocks, width, board: boardAt, camera: cameraAt, print: printAt, lastPrint };
};

/** The inner numbers that any unknown moves, and the size. */
export const innerColumnsOf = (layout: Layout, photo: number, board: number): number[] => {
  const columns = [0, 1, 2, 3, 4, 5];
  const { camera, focal, shift, motion } = layout.photoPlaces[photo];
  const { bend, stretch, print } = layout.boardPlaces[board];
  const spread = layout.lensSpread[camera];
  const free = spread.length / lensSize;
  for (let i = 0; i < lensSize; i++) {
    const moved = spread.subarray(i * free, (i + 1) * free).some((v) => v !== 0);
    if (moved || (i < 2 && focal >= 0) || ((i === 2 || i === 3) && shift >= 0))
      columns.push(lensAt + i);
  }
  // The size is always kept: diagnosis asks whether a board is printed to another scale.
  columns.push(sizeAt);
  if (stretch >= 0 || (print >= 0 && layout.printBlock[print].size > 1)) columns.push(stretchAt);
  if (bend >= 0) columns.push(bendAt, bendAt + 1, bendAt + 2);
  motion.forEach((place, part) => {
    for (let k = 0; place >= 0 && k < 3; k++) columns.push(motionAt + 3 * part + k);
  });
  const { modes = 0 } = layout.problem.cameras[camera];
  for (let k = 0; k < modes; k++) columns.push(innerSize + k);
  return columns;
};

/**
 * Chain rule from block unknowns to inner numbers. With P = cameraFromBay and B = bayFromBoard,
 * cameraFromBoard turns by w_b + R_B^T w_p and shifts by R_P (t_b - [t_B] w_p) + t_p. In memory that
 * all views share: valid until the next one's is asked for.
 */
export const spreadInner = (
  layout: Layout,
  state: State,
  photo: number,
  board: number,
  places: Places,
  columns: readonly number[],
): Float64Array => {
  const { width } = places;
  const out = scratch("spread", columns.length * width).fill(0, 0, columns.length * width);
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
  const { camera, focal, shift, motion } = layout.photoPlaces[photo];
  const { cell, stretch, bend, print } = layout.boardPlaces[board];
  const [byWidth, byHeight] = printDerivatives(layout, state, print);
  const free = layout.lensSpread[camera].length / lensSize;
  const byLens = ownLensByCamera(layout, state, photo);
  for (let row = 6; row < columns.length; row++) {
    const at = row * width;
    const inner = columns[row];
    if (inner < sizeAt) {
      const i = inner - lensAt;
      for (let k = 0; k < free; k++) out[at + places.camera + k] = byLens[i * free + k];
      if (i < 2 && focal >= 0) out[at + focal] = state.lens[lensSize * camera + i];
      if (i === 2 && shift >= 0) out[at + shift] = 1;
      if (i === 3 && shift >= 0) out[at + shift + 1] = 1;
    } else if (inner === sizeAt) {
      if (cell >= 0) out[at + places.board + cell] = 1 / (1 + state.cellChange[board]);
      if (places.print >= 0) {
        out[at + places.print] += byWidth / 2;
        out[at + places.lastPrint] += byHeight / 2;
      }
    } else if (inner === stretchAt) {
      if (stretch >= 0) out[at + places.board + stretch] = 1 / (1 + state.stretch[board]);
      if (places.print >= 0) {
        out[at + places.print] += byWidth / 2;
        out[at + places.lastPrint] -= byHeight / 2;
      }
    } else if (inner < motionAt) out[at + places.board + bend + inner - bendAt] = 1;
    else if (inner >= innerSize) out[at + places.camera + free + inner - innerSize] = 1;
    else {
      const k = inner - motionAt;
      out[at + motion[Math.floor(k / 3)] + (k % 3)] = 1;
    }
  }
  return out;
};

/**
 * Derivatives (9 x free) of the lens as it was in a photo by the camera's unknowns, the photo's own
 * ones held: a photo's own focal length and principal point stay where they are (see state.ts).
 */
const ownLensByCamera = (layout: Layout, state: State, photo: number): Float64Array => {
  const { camera } = layout.photoPlaces[photo];
  const out = layout.lensSpread[camera].slice();
  const free = out.length / lensSize;
  const byCamera = changeByCamera(layout, state, photo);
  const f = 1 + state.photoChange[3 * photo];
  const [fx, fy] = state.lens.subarray(lensSize * camera, lensSize * camera + 2);
  for (let k = 0; k < free; k++) {
    out[k] = f * out[k] + fx * byCamera[k];
    out[free + k] = f * out[free + k] + fy * byCamera[k];
    out[2 * free + k] += byCamera[free + k];
    out[3 * free + k] += byCamera[2 * free + k];
  }
  return out;
};

/** Derivatives of the logarithms of width and height by a print's own numbers. */
const printDerivatives = (layout: Layout, state: State, print: number): [number, number] =>
  print < 0 || layout.printBlock[print].size === 0
    ? [0, 0]
    : [1 / (1 + state.printChange[2 * print]), 1 / (1 + state.printChange[2 * print + 1])];

/**
 * n = T^T N T and g = T^T g for T of `rows` x `width`. Nine tenths of T are zeros: its few nonzero
 * elements are listed first and only they are multiplied.
 */
export const congruence = (
  T: Float64Array,
  innerN: Float64Array,
  innerG: Float64Array,
  rows: number,
  width: number,
  n: Float64Array,
  g: Float64Array,
): void => {
  if (nonzero.length < rows * width) nonzero = new Int32Array(rows * width);
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

/** Places of T's nonzero elements. */
let nonzero = new Int32Array(innerSize * 40);

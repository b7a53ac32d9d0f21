import { lensSize, lensToVector } from "../../lens/lens.ts";
import { cholesky, solveLower } from "../../maths/dense.ts";
import type { Block, Layout } from "../problem/layout.ts";
import { motionSize } from "../problem/motion.ts";
import { changeByCamera } from "../problem/own-lens.ts";
import type { Source } from "../problem/problem.ts";
import type { State } from "../problem/state.ts";
import { type IndexOfBlock, type SmallFactor, smallFactor } from "./factor.ts";

/** Key of the statement about the cell size of a board. */
export const cellSizeKey = (board: string): string => `cell size:${board}`;

/** Prior of single numbers of one block: residual (value - mean) / sd. */
const scalarPrior = (
  label: string,
  source: Source,
  block: Block,
  indexOfBlock: IndexOfBlock,
  places: readonly number[],
  sds: readonly number[],
  read: (state: State, k: number) => number,
): SmallFactor =>
  smallFactor({
    label,
    source,
    blocks: [indexOfBlock(block)],
    width: block.size,
    rows: places.length,
    residuals(state, r, j) {
      places.forEach((place, k) => {
        r[k] = read(state, k) / sds[k];
        if (j) j[k * block.size + place] = 1 / sds[k];
      });
    },
  });

/**
 * Priors of a photo's own focal length and principal point: residual (own - camera's) / sd. They are
 * what ties the camera's to the photos' (see moveBlock in state.ts).
 */
const ownLensPriors = (layout: Layout, indexOfBlock: IndexOfBlock, i: number): SmallFactor[] => {
  const { problem } = layout;
  const { camera, focal, shift } = layout.photoPlaces[i];
  const { focalSd, shiftSdPx } = problem.cameras[camera];
  const own = layout.photoBlock[i];
  const shared = layout.cameraBlock[camera];
  const free = layout.lensSpread[camera].length / lensSize;
  const width = own.size + shared.size;
  const parts = {
    source: "focus and stabilisation" as const,
    ofPhoto: problem.photos[i].key,
    blocks: (shared.size > 0 ? [own, shared] : [own]).map(indexOfBlock),
    width,
  };
  const factors: SmallFactor[] = [];
  if (focal >= 0 && Number.isFinite(focalSd))
    factors.push(
      smallFactor({
        ...parts,
        label: `focal length of photo ${problem.photos[i].key}`,
        rows: 1,
        residuals(state, r, j) {
          r[0] = state.photoChange[3 * i] / focalSd;
          if (!j) return;
          const byCamera = changeByCamera(layout, state, i);
          j[focal] = 1 / focalSd;
          for (let k = 0; k < free; k++) j[own.size + k] = byCamera[k] / focalSd;
        },
      }),
    );
  if (shift >= 0 && Number.isFinite(shiftSdPx))
    factors.push(
      smallFactor({
        ...parts,
        label: `image shift of photo ${problem.photos[i].key}`,
        rows: 2,
        residuals(state, r, j) {
          const byCamera = j && changeByCamera(layout, state, i);
          for (let c = 0; c < 2; c++) {
            r[c] = state.photoChange[3 * i + 1 + c] / shiftSdPx;
            if (!j || !byCamera) continue;
            j[c * width + shift + c] = 1 / shiftSdPx;
            for (let k = 0; k < free; k++)
              j[c * width + own.size + k] = byCamera[(1 + c) * free + k] / shiftSdPx;
          }
        },
      }),
    );
  return factors;
};

/** What is known of unknowns before anything is measured. */
export const priorFactors = (layout: Layout, indexOfBlock: IndexOfBlock): SmallFactor[] => {
  const { problem } = layout;
  const factors: SmallFactor[] = [];
  problem.photos.forEach((_, i) => {
    factors.push(...ownLensPriors(layout, indexOfBlock, i));
    motionPriors(layout, indexOfBlock, i, factors);
  });
  problem.boards.forEach((board, i) => {
    const { cell, stretch, bend } = layout.boardPlaces[i];
    const block = layout.boardBlock[i];
    if (cell >= 0 && Number.isFinite(board.cellSd))
      factors.push({
        ...scalarPrior(
          `cell size of board ${board.key}`,
          "print scale",
          block,
          indexOfBlock,
          [cell],
          [board.cellSd],
          (s) => s.cellChange[i],
        ),
        key: cellSizeKey(board.key),
      });
    if (stretch >= 0)
      factors.push(
        scalarPrior(
          `stretch of board ${board.key}`,
          "print scale",
          block,
          indexOfBlock,
          [stretch],
          [board.stretchSd!],
          (s) => s.stretch[i],
        ),
      );
    if (bend >= 0 && Number.isFinite(board.bendSd)) {
      const side = board.bendSd * Math.SQRT1_2;
      factors.push(
        scalarPrior(
          `bend of board ${board.key}`,
          "board flatness",
          block,
          indexOfBlock,
          [bend, bend + 1, bend + 2],
          [board.bendSd, side, side],
          (s, k) => s.bend[3 * i + k],
        ),
      );
    }
  });
  problem.prints.forEach((print, i) => {
    const block = layout.printBlock[i];
    if (block.size > 1) factors.push(printPrior(layout, indexOfBlock, i));
    else if (block.size > 0 && Number.isFinite(print.scaleSd))
      factors.push(
        scalarPrior(
          `scale of print ${print.key}`,
          "print scale",
          block,
          indexOfBlock,
          [0],
          [print.scaleSd],
          (s) => s.printChange[2 * i] - ((print.width ?? 1) - 1),
        ),
      );
  });
  problem.scalars.forEach((scalar, i) => {
    const free = layout.scalarFree[i];
    const stated = free
      .map((element, place) => ({ element, place }))
      .filter(({ element }) => Number.isFinite(scalar.sd[element]));
    if (stated.length > 0)
      factors.push(
        scalarPrior(
          scalar.key,
          scalar.source,
          layout.scalarBlock[i],
          indexOfBlock,
          stated.map((s) => s.place),
          stated.map((s) => scalar.sd[s.element]),
          (s, k) => s.scalars[i][stated[k].element] - scalar.mean[stated[k].element],
        ),
      );
  });
  problem.cameras.forEach((_, i) => {
    const prior = lensPrior(layout, indexOfBlock, i);
    if (prior) factors.push(prior);
    const modes = modesPrior(layout, indexOfBlock, i);
    if (modes) factors.push(modes);
  });
  return factors;
};

/** What the hand does in one photo: turn, shift and sway are zero with their spreads. */
const motionPriors = (
  layout: Layout,
  indexOfBlock: IndexOfBlock,
  i: number,
  factors: SmallFactor[],
): void => {
  const { key, camera, motionScale = 1 } = layout.problem.photos[i];
  const spread = layout.problem.cameras[layout.cameraIndex.get(camera)!].motion;
  if (!spread) return;
  const words = ["turn", "shift", "sway"];
  const sds = [spread.turnSd, spread.shiftSdMm, spread.swaySd];
  layout.photoPlaces[i].motion.forEach((place, part) => {
    if (place < 0 || !Number.isFinite(sds[part])) return;
    const sd = motionScale * sds[part];
    factors.push(
      scalarPrior(
        `${words[part]} of the hand in photo ${key}`,
        "hand motion",
        layout.photoBlock[i],
        indexOfBlock,
        [place, place + 1, place + 2],
        [sd, sd, sd],
        (s, k) => s.photoMotion[motionSize * i + 3 * part + k],
      ),
    );
  });
};

/**
 * Width and height of a set of prints: each with its own deviation, and one common to both (the
 * ruler's). Whitened by the Cholesky factor of the 2 x 2 covariance.
 */
const printPrior = (layout: Layout, indexOfBlock: IndexOfBlock, i: number): SmallFactor => {
  const { key, scaleSd, widthSd = 0, heightSd = 0, ...stated } = layout.problem.prints[i];
  const { width = 1, height = 1 } = stated;
  const first = Math.hypot(scaleSd, widthSd);
  const slope = scaleSd ** 2 / first;
  const second = Math.sqrt(scaleSd ** 2 + heightSd ** 2 - slope ** 2);
  return smallFactor({
    label: `scale of print ${key}`,
    source: "print scale",
    blocks: [indexOfBlock(layout.printBlock[i])],
    width: 2,
    rows: 2,
    residuals({ printChange }, r, j) {
      r[0] = (printChange[2 * i] - (width - 1)) / first;
      r[1] = (printChange[2 * i + 1] - (height - 1) - slope * r[0]) / second;
      j?.set([1 / first, 0, -slope / (first * second), 1 / second]);
    },
  });
};

/**
 * Lens prior: the camera step's covariance C, reduced to the numbers that are estimated.
 * Whitening by the Cholesky factor of that part: r = L^-1 (lens - stated lens).
 */
const lensPrior = (layout: Layout, indexOfBlock: IndexOfBlock, i: number): SmallFactor | null => {
  const camera = layout.problem.cameras[i];
  const block = layout.cameraBlock[i];
  const spread = layout.lensSpread[i];
  const size = spread.length / lensSize;
  if (!camera.priorCovariance || size === 0) return null;
  // Each unknown is led by the first lens number that it moves.
  const lead = Array.from({ length: size }, (_, c) => {
    let row = 0;
    while (spread[row * size + c] === 0) row++;
    return row;
  });
  const l = new Float64Array(size * size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++)
      l[a * size + b] = camera.priorCovariance[lead[a] * lensSize + lead[b]];
  if (cholesky(l, size, 1e-15).failedAt >= 0) return null;
  const whitener = new Float64Array(size * size);
  for (let c = 0; c < size; c++) {
    const e = new Float64Array(size);
    e[c] = 1;
    solveLower(l, size, e);
    for (let row = 0; row < size; row++) whitener[row * size + c] = e[row];
  }
  const stated = lensToVector(camera.lens);
  return smallFactor({
    label: `lens of camera ${camera.key}`,
    source: "lens",
    camera: camera.key,
    blocks: [indexOfBlock(block)],
    width: block.size,
    rows: size,
    residuals(state, r, j) {
      for (let row = 0; row < size; row++) {
        r[row] = 0;
        for (let c = 0; c < size; c++) {
          const f = whitener[row * size + c];
          r[row] += f * (state.lens[i * lensSize + lead[c]] - stated[lead[c]]);
          if (j) j[row * block.size + c] = f;
        }
      }
    },
  });
};

/** What is left of a lens beyond its numbers: each mode is zero with a standard deviation of one. */
const modesPrior = (layout: Layout, indexOfBlock: IndexOfBlock, i: number): SmallFactor | null => {
  const { key, modes = 0 } = layout.problem.cameras[i];
  if (modes === 0) return null;
  const block = layout.cameraBlock[i];
  const free = block.size - modes;
  const places = Array.from({ length: modes }, (_, k) => free + k);
  const prior = scalarPrior(
    `rest of the lens of camera ${key}`,
    "lens",
    block,
    indexOfBlock,
    places,
    places.map(() => 1),
    (state, k) => state.lensModes[i][k],
  );
  return { ...prior, camera: key };
};

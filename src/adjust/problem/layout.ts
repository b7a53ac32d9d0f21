import { lensSize } from "../../lens/lens.ts";
import type {
  BoardStatement,
  CameraStatement,
  NetworkProblem,
  PhotoStatement,
  PrintStatement,
} from "./problem.ts";

/**
 * Where each unknown stands in the parameter vector. A block is what belongs together: one photo
 * (pose, focal change, shift), one board (pose, own cell size, bend), one camera, one print run,
 * one frame, one group of scalars. Numbers whose stated standard deviation is zero are no unknowns.
 */
export type BlockKind = "photo" | "board" | "camera" | "print" | "frame" | "scalars";

export interface Block {
  readonly kind: BlockKind;
  readonly key: string;
  /** Index among the statements of its kind. */
  readonly index: number;
  readonly size: number;
  /** First place in the full parameter vector. */
  readonly offset: number;
}

export interface PhotoPlaces {
  readonly camera: number;
  /** Place of the focal change inside the block, or -1. */
  readonly focal: number;
  /** Place of the x shift inside the block (y follows), or -1. */
  readonly shift: number;
  /** Places of the first of three numbers of the motion (turn, shift, sway), or -1. */
  readonly motion: readonly [turn: number, shift: number, sway: number];
  readonly size: number;
}

export interface BoardPlaces {
  /** Place of the own cell-size factor inside the block, or -1. */
  readonly cell: number;
  /** Place of the own stretch inside the block, or -1. */
  readonly stretch: number;
  /** Place of the first of three bend numbers inside the block, or -1. */
  readonly bend: number;
  /** Index of the print run, or -1. */
  readonly print: number;
  readonly size: number;
}

export interface Layout {
  readonly problem: NetworkProblem;
  readonly blocks: readonly Block[];
  /** Number of unknowns. */
  readonly size: number;
  readonly photoBlock: readonly Block[];
  readonly boardBlock: readonly Block[];
  /** Size 0 where nothing of the camera is estimated; such a block is not in `blocks`. */
  readonly cameraBlock: readonly Block[];
  readonly printBlock: readonly Block[];
  readonly frameBlock: readonly Block[];
  readonly scalarBlock: readonly Block[];
  readonly photoPlaces: readonly PhotoPlaces[];
  readonly boardPlaces: readonly BoardPlaces[];
  /**
   * Per camera: 9 x n matrix from the first n of its unknowns to the nine lens numbers (row-major); its
   * modes follow in the block.
   */
  readonly lensSpread: readonly Float64Array[];
  /** Per scalar statement: indices of its elements that are unknown. */
  readonly scalarFree: readonly (readonly number[])[];
  readonly photoIndex: ReadonlyMap<string, number>;
  readonly boardIndex: ReadonlyMap<string, number>;
  readonly cameraIndex: ReadonlyMap<string, number>;
  readonly printIndex: ReadonlyMap<string, number>;
  readonly frameIndex: ReadonlyMap<string, number>;
  readonly scalarIndex: ReadonlyMap<string, number>;
}

const indexOf = (statements: readonly { readonly key: string }[]): ReadonlyMap<string, number> =>
  new Map(statements.map((statement, i) => [statement.key, i]));

export const layOut = (problem: NetworkProblem): Layout => {
  const blocks: Block[] = [];
  let size = 0;
  const block = (kind: BlockKind, key: string, index: number, blockSize: number): Block => {
    const made: Block = { kind, key, index, size: blockSize, offset: size };
    if (blockSize > 0) blocks.push(made);
    size += blockSize;
    return made;
  };
  const cameraIndex = indexOf(problem.cameras);
  const printIndex = indexOf(problem.prints);
  const photoPlaces = problem.photos.map((photo) =>
    placesOfPhoto(photo, problem.cameras, cameraIndex),
  );
  const boardPlaces = problem.boards.map((board) => placesOfBoard(board, printIndex));
  const lensSpread = problem.cameras.map(spreadOfLens);
  const scalarFree = problem.scalars.map((scalar) =>
    scalar.mean.map((_, i) => i).filter((i) => scalar.sd[i] > 0),
  );
  const photoBlock = problem.photos.map((photo, i) =>
    block("photo", photo.key, i, photoPlaces[i].size),
  );
  const boardBlock = problem.boards.map((board, i) =>
    block("board", board.key, i, boardPlaces[i].size),
  );
  const frameBlock = problem.frames.map((frame, i) => block("frame", frame.key, i, 6));
  const cameraBlock = problem.cameras.map((camera, i) =>
    block("camera", camera.key, i, lensSpread[i].length / lensSize + (camera.modes ?? 0)),
  );
  const printBlock = problem.prints.map((print, i) =>
    block("print", print.key, i, hasTwoScales(print) ? 2 : print.scaleSd > 0 ? 1 : 0),
  );
  const scalarBlock = problem.scalars.map((scalar, i) =>
    block("scalars", scalar.key, i, scalarFree[i].length),
  );
  return {
    problem,
    blocks,
    size,
    photoBlock,
    boardBlock,
    cameraBlock,
    printBlock,
    frameBlock,
    scalarBlock,
    photoPlaces,
    boardPlaces,
    lensSpread,
    scalarFree,
    photoIndex: indexOf(problem.photos),
    boardIndex: indexOf(problem.boards),
    cameraIndex,
    printIndex,
    frameIndex: indexOf(problem.frames),
    scalarIndex: indexOf(problem.scalars),
  };
};

/** Hands out places behind the six numbers of a pose. */
const placer = () => {
  let size = 6;
  return {
    place: (unknown: boolean, count: number): number => {
      if (!unknown) return -1;
      size += count;
      return size - count;
    },
    size: () => size,
  };
};

const placesOfPhoto = (
  photo: PhotoStatement,
  cameras: readonly CameraStatement[],
  cameraIndex: ReadonlyMap<string, number>,
): PhotoPlaces => {
  const camera = cameraIndex.get(photo.camera)!;
  const { focalSd, shiftSdPx, motion } = cameras[camera];
  const { place, size } = placer();
  const moves = photo.readout !== undefined && motion !== undefined;
  return {
    camera,
    focal: place(focalSd > 0, 1),
    shift: place(shiftSdPx > 0, 2),
    motion: [
      place(moves && motion.turnSd > 0, 3),
      place(moves && motion.shiftSdMm > 0, 3),
      place(moves && motion.swaySd > 0, 3),
    ],
    size: size(),
  };
};

const placesOfBoard = (
  board: BoardStatement,
  printIndex: ReadonlyMap<string, number>,
): BoardPlaces => {
  const { place, size } = placer();
  return {
    cell: place(board.cellSd > 0, 1),
    stretch: place((board.stretchSd ?? 0) > 0, 1),
    bend: place(board.bendSd > 0, 3),
    print: board.print === null ? -1 : (printIndex.get(board.print) ?? -1),
    size: size(),
  };
};

/** Whether width and height of a print are unknowns apart. */
export const hasTwoScales = ({ widthSd, heightSd }: PrintStatement): boolean =>
  (widthSd ?? 0) > 0 || (heightSd ?? 0) > 0;

/**
 * One column per unknown of the lens. With a fixed aspect one unknown moves fx and fy together in
 * the proportion that the start values have. A number with a prior variance of zero is known.
 */
const spreadOfLens = (camera: CameraStatement): Float64Array => {
  const columns: Float64Array[] = [];
  const tied = camera.fixedAspect === true && (camera.free[0] || camera.free[1]);
  for (let i = 0; i < lensSize; i++) {
    if (!camera.free[i] && !(tied && i === 0)) continue;
    if (tied && i === 1) continue;
    if (camera.priorCovariance && !(camera.priorCovariance[i * lensSize + i] > 0)) continue;
    const column = new Float64Array(lensSize);
    column[i] = 1;
    if (tied && i === 0) column[1] = camera.lens.fy / camera.lens.fx;
    columns.push(column);
  }
  const spread = new Float64Array(lensSize * columns.length);
  columns.forEach((column, c) => {
    for (let i = 0; i < lensSize; i++) spread[i * columns.length + c] = column[i];
  });
  return spread;
};

import {
  type Lens,
  lensFromVector,
  lensSize,
  lensToVector,
  type PhotoChange,
} from "../../lens/lens.ts";
import { identityPose, type Pose, retract } from "../../maths/pose.ts";
import type { Block, Layout } from "./layout.ts";
import { motionSize } from "./motion.ts";
import type { StateView } from "./problem.ts";

/** Cells along a board's side (DEVELOPERS.md, boards). */
const cellsAcross = 14;

/** Values of all unknowns (and of what is held fixed), one entry per statement. */
export interface State {
  /** cameraFromBay. */
  readonly photoPose: Pose[];
  /** Three per photo: focal, shiftX, shiftY, against the camera's lens. */
  readonly photoChange: Float64Array;
  /** Nine per photo: turn (rad), shift (mm) and sway (rad) during the read-out; see motion.ts. */
  readonly photoMotion: Float64Array;
  /** bayFromBoard. */
  readonly boardPose: Pose[];
  /** Own relative cell-size change per board. */
  readonly cellChange: Float64Array;
  /** Own stretch per board: width (1 + s), height / (1 + s). */
  readonly stretch: Float64Array;
  /** Three per board: m, d, e of the bend (see board-shape.ts), 1/mm. */
  readonly bend: Float64Array;
  /** Nine per camera, in lensOrder. */
  readonly lens: Float64Array;
  /** Amplitudes of each camera's modes. */
  readonly lensModes: readonly Float64Array[];
  /** Two per print run: relative change of width and of height. */
  readonly printChange: Float64Array;
  /** bayFromFrame. */
  readonly framePose: Pose[];
  readonly scalars: Float64Array[];
}

/** State before anything was estimated: priors at their means, every pose the identity. */
export const priorState = (layout: Layout): State => {
  const { problem } = layout;
  const lens = new Float64Array(problem.cameras.length * lensSize);
  problem.cameras.forEach((camera, i) => {
    lens.set(lensToVector(camera.lens), i * lensSize);
  });
  return {
    photoPose: problem.photos.map(() => identityPose),
    photoChange: new Float64Array(3 * problem.photos.length),
    photoMotion: new Float64Array(motionSize * problem.photos.length),
    boardPose: problem.boards.map(() => identityPose),
    cellChange: new Float64Array(problem.boards.length),
    stretch: new Float64Array(problem.boards.length),
    bend: new Float64Array(3 * problem.boards.length),
    lens,
    lensModes: problem.cameras.map(({ modes = 0 }) => new Float64Array(modes)),
    printChange: Float64Array.from(
      problem.prints.flatMap(({ width = 1, height = 1 }) => [width - 1, height - 1]),
    ),
    framePose: problem.frames.map((frame) => frame.start ?? identityPose),
    scalars: problem.scalars.map((scalar) => Float64Array.from(scalar.mean)),
  };
};

export const copyState = (state: State): State => ({
  photoPose: state.photoPose.slice(),
  photoChange: state.photoChange.slice(),
  photoMotion: state.photoMotion.slice(),
  boardPose: state.boardPose.slice(),
  cellChange: state.cellChange.slice(),
  stretch: state.stretch.slice(),
  bend: state.bend.slice(),
  lens: state.lens.slice(),
  lensModes: state.lensModes.map((values) => values.slice()),
  printChange: state.printChange.slice(),
  framePose: state.framePose.slice(),
  scalars: state.scalars.map((values) => values.slice()),
});

/**
 * Moves one block of `state` in place by the tangent numbers `delta[at ..]`.
 *
 * Where a photo has a focal length or a principal point of its own, these are its unknowns, not their
 * difference from the camera's: a step of the camera's leaves them where they are and moves the
 * differences. Only the priors of the differences then tie camera and photos. With the differences as
 * unknowns the camera's normal equations would be what remains of image information many times as large
 * (some 10^9 times for one sheet), and rounding would be all that remains.
 */
export const moveBlock = (
  layout: Layout,
  state: State,
  block: Block,
  delta: ArrayLike<number>,
  at: number,
): void => {
  const i = block.index;
  switch (block.kind) {
    case "photo": {
      const { focal, shift, motion } = layout.photoPlaces[i];
      state.photoPose[i] = retract(state.photoPose[i], delta, at);
      if (focal >= 0) state.photoChange[3 * i] += delta[at + focal];
      if (shift >= 0) {
        state.photoChange[3 * i + 1] += delta[at + shift];
        state.photoChange[3 * i + 2] += delta[at + shift + 1];
      }
      motion.forEach((place, part) => {
        if (place < 0) return;
        for (let k = 0; k < 3; k++)
          state.photoMotion[motionSize * i + 3 * part + k] += delta[at + place + k];
      });
      return;
    }
    case "board": {
      const { cell, stretch, bend } = layout.boardPlaces[i];
      state.boardPose[i] = retract(state.boardPose[i], delta, at);
      if (cell >= 0) state.cellChange[i] += delta[at + cell];
      if (stretch >= 0) state.stretch[i] += delta[at + stretch];
      if (bend >= 0) for (let k = 0; k < 3; k++) state.bend[3 * i + k] += delta[at + bend + k];
      return;
    }
    case "frame":
      state.framePose[i] = retract(state.framePose[i], delta, at);
      return;
    case "camera": {
      const spread = layout.lensSpread[i];
      const free = spread.length / lensSize;
      const before = state.lens.slice(lensSize * i, lensSize * (i + 1));
      for (let k = 0; k < lensSize; k++)
        for (let c = 0; c < free; c++)
          state.lens[lensSize * i + k] += spread[k * free + c] * delta[at + c];
      keepOwnLenses(layout, state, i, before);
      for (let k = 0; k < block.size - free; k++) state.lensModes[i][k] += delta[at + free + k];
      return;
    }
    case "print":
      state.printChange[2 * i] += delta[at];
      state.printChange[2 * i + 1] += delta[at + block.size - 1];
      return;
    case "scalars":
      layout.scalarFree[i].forEach((element, c) => {
        state.scalars[i][element] += delta[at + c];
      });
  }
};

/** After the lens of `camera` moved from `before`: its photos' own focal lengths and points stay. */
const keepOwnLenses = (
  layout: Layout,
  { lens, photoChange }: State,
  camera: number,
  before: Float64Array,
): void => {
  const [fx, fy, cx, cy] = lens.subarray(lensSize * camera);
  const longer = (fx + fy) / (before[0] + before[1]);
  layout.photoPlaces.forEach((places, photo) => {
    if (places.camera !== camera) return;
    if (places.focal >= 0) photoChange[3 * photo] = (1 + photoChange[3 * photo]) / longer - 1;
    if (places.shift < 0) return;
    photoChange[3 * photo + 1] -= cx - before[2];
    photoChange[3 * photo + 2] -= cy - before[3];
  });
};

/** New state moved by a full parameter vector. */
export const moveState = (layout: Layout, state: State, delta: Float64Array): State => {
  const moved = copyState(state);
  for (const block of layout.blocks) moveBlock(layout, moved, block, delta, block.offset);
  return moved;
};

export const lensOf = (state: State, camera: number): Lens =>
  lensFromVector(state.lens, lensSize * camera);

export const changeOf = (state: State, photo: number): PhotoChange => ({
  focal: state.photoChange[3 * photo],
  shiftX: state.photoChange[3 * photo + 1],
  shiftY: state.photoChange[3 * photo + 2],
});

/** Width and height of a board's cells, mm. */
export const cellOf = (
  layout: Layout,
  state: State,
  board: number,
): { readonly width: number; readonly height: number } => {
  const { print } = layout.boardPlaces[board];
  const own = layout.problem.boards[board].cellMm * (1 + state.cellChange[board]);
  const stretched = 1 + state.stretch[board];
  const wider = print < 0 ? 0 : state.printChange[2 * print];
  const taller = print < 0 ? 0 : state.printChange[2 * print + 1];
  return { width: own * (1 + wider) * stretched, height: (own * (1 + taller)) / stretched };
};

/**
 * Read access for quantities. Every block that an accessor reads is added to `touched`, so that
 * derivatives need be taken over those blocks only. Unknown keys are programmer errors and throw.
 */
export const viewOf = (layout: Layout, state: State, touched?: Set<Block>): StateView => {
  const find = (index: ReadonlyMap<string, number>, key: string, what: string): number => {
    const i = index.get(key);
    if (i === undefined) throw new Error(`The network has no ${what} "${key}".`);
    return i;
  };
  const touch = (block: Block) => {
    if (block.size > 0) touched?.add(block);
  };
  return {
    pose(key) {
      const board = layout.boardIndex.get(key);
      if (board !== undefined) {
        touch(layout.boardBlock[board]);
        return state.boardPose[board];
      }
      const frame = find(layout.frameIndex, key, "board or frame");
      touch(layout.frameBlock[frame]);
      return state.framePose[frame];
    },
    photoPose(key) {
      const photo = find(layout.photoIndex, key, "photo");
      touch(layout.photoBlock[photo]);
      return state.photoPose[photo];
    },
    scalars(key) {
      const i = find(layout.scalarIndex, key, "scalar");
      touch(layout.scalarBlock[i]);
      return state.scalars[i];
    },
    cellMm(key) {
      const board = find(layout.boardIndex, key, "board");
      touch(layout.boardBlock[board]);
      const { print } = layout.boardPlaces[board];
      if (print >= 0) touch(layout.printBlock[print]);
      const { width, height } = cellOf(layout, state, board);
      return (width + height) / 2;
    },
    cellSides(key) {
      const board = find(layout.boardIndex, key, "board");
      touch(layout.boardBlock[board]);
      const { print } = layout.boardPlaces[board];
      if (print >= 0) touch(layout.printBlock[print]);
      return cellOf(layout, state, board);
    },
    bulgeMm(key) {
      const board = find(layout.boardIndex, key, "board");
      touch(layout.boardBlock[board]);
      const width = cellsAcross * layout.problem.boards[board].cellMm;
      return (state.bend[3 * board] * width ** 2) / 8;
    },
    lens(key) {
      const camera = find(layout.cameraIndex, key, "camera");
      touch(layout.cameraBlock[camera]);
      return lensOf(state, camera);
    },
  };
};

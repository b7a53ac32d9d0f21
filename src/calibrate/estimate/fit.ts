import { type Adjusted, adjust, type Internals } from "../../adjust/adjust.ts";
import type { Block, Layout } from "../../adjust/problem/layout.ts";
import { motionSize } from "../../adjust/problem/motion.ts";
import { changeByCamera } from "../../adjust/problem/own-lens.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { lensOf, type State } from "../../adjust/problem/state.ts";
import { estimateMotion, type MotionEstimate } from "../../adjust/spreads/motion-spread.ts";
import { type Lens, lensSize, lensToVector, type PhotoChange } from "../../lens/lens.ts";
import { compose, type Pose } from "../../maths/pose.ts";
import { bendLengthMm } from "../photos/remarks.ts";
import type { SheetPhoto } from "../photos/sheet-photo.ts";
import { type SheetSettings, sheetProblem } from "./sheet-problem.ts";

/** Result of one adjustment of sheet photos. */
export interface SheetFit {
  readonly lens: Lens;
  /** 9 x 9 row-major, lensOrder; zero where a number was not estimated. */
  readonly lensCovariance: Float64Array;
  readonly photos: readonly FittedPhoto[];
  /** Per photo focal, shiftX, shiftY, and their posterior variances. */
  readonly changes: Float64Array;
  readonly changeVariances: Float64Array;
  /** Weighted sum of squares, priors included. */
  readonly cost: number;
  readonly redundancy: number;
  readonly residualPx: number;
  readonly sagittaMm: number;
  readonly sagittaSdMm: number;
  /** The sheet's own stretch: width (1 + s), height / (1 + s). */
  readonly stretch: number;
  /** What the hand did, one step better than the spread that was stated. */
  readonly hand: MotionEstimate | null;
  readonly state: State;
  /** The adjustment in the solver's own terms. */
  readonly internals: Internals;
}

export interface FittedPhoto {
  readonly photo: string;
  readonly cameraFromSheet: Pose;
  readonly change: PhotoChange;
  readonly residualPx: number;
}

export interface FitOptions {
  /** Down-weights photos that do not fit. */
  readonly robust?: boolean;
  /** An earlier fit of these photos (or more) to start from. */
  readonly from?: SheetFit;
}

/** Adjusts the sheet photos; null where the adjustment finds no solution. */
export const fitSheet = (
  photos: readonly SheetPhoto[],
  settings: SheetSettings,
  options: FitOptions = {},
): SheetFit | null => {
  const startState = options.from && startFrom(photos, settings, options.from);
  const problem = sheetProblem(photos, settings);
  const outcome = adjust(problem, {
    robust: options.robust ?? true,
    ...(startState && { startState }),
  });
  return outcome.ok ? reduce(photos, problem, outcome) : null;
};

/** Start values for other settings or fewer photos; lens numbers held fixed go to their values. */
const startFrom = (
  photos: readonly SheetPhoto[],
  settings: SheetSettings,
  { state, photos: known }: SheetFit,
): State | undefined => {
  const index = photos.map(({ photo }) => known.findIndex((one) => one.photo === photo));
  if (index.includes(-1)) return undefined;
  const fixed = lensToVector(settings.lens);
  return {
    ...state,
    photoPose: index.map((i) => state.photoPose[i]),
    photoChange: Float64Array.from(
      index.flatMap((i) => [0, 1, 2].map((k) => state.photoChange[3 * i + k])),
    ),
    photoMotion: Float64Array.from(
      index.flatMap((i) => [...state.photoMotion.subarray(motionSize * i, motionSize * (i + 1))]),
    ),
    lens: state.lens.map((value, i) => (settings.free[i] ? value : fixed[i])),
    bend: settings.bendSd > 0 ? state.bend : new Float64Array(state.bend.length),
  };
};

const reduce = (
  photos: readonly SheetPhoto[],
  problem: NetworkProblem,
  adjusted: Adjusted,
): SheetFit => {
  const { state, model, propagator } = adjusted.internals;
  const { layout } = model;
  const column = (block: Block, k: number): Float64Array => {
    const x = new Float64Array(layout.size);
    x[block.offset + k] = 1;
    propagator.solve(x);
    return x;
  };
  const changeVariances = new Float64Array(3 * photos.length);
  photos.forEach((_, i) => {
    for (const [part, row] of changeRows(layout, state, i).entries())
      if (row) changeVariances[3 * i + part] = varianceOf(row, propagator.solve);
  });
  const board = layout.boardBlock[0];
  const { bend } = layout.boardPlaces[0];
  const toSagitta = bendLengthMm ** 2 / 8;
  const bendVariance = bend < 0 ? 0 : column(board, bend)[board.offset + bend];
  return {
    lens: lensOf(state, 0),
    lensCovariance: lensCovariance(adjusted, column),
    photos: photos.map(({ photo }, i) => ({
      photo,
      cameraFromSheet: compose(state.photoPose[i], state.boardPose[0]),
      change: adjusted.photoChange(photo),
      residualPx: adjusted.photoResidualPx.get(photo) ?? 0,
    })),
    changes: state.photoChange,
    changeVariances,
    cost: adjusted.sigma0Squared * adjusted.redundancy,
    redundancy: adjusted.redundancy,
    residualPx: adjusted.residualPx,
    sagittaMm: state.bend[0] * toSagitta,
    sagittaSdMm: Math.sqrt(bendVariance) * toSagitta,
    stretch: state.stretch[0],
    hand: estimateMotion(problem, adjusted),
    state,
    internals: adjusted.internals,
  };
};

/**
 * Derivatives of a photo's focal change and shift by all unknowns: those of its own focal length and
 * principal point less those of the camera's. Null for what is no unknown.
 */
const changeRows = (layout: Layout, state: State, photo: number): (Float64Array | null)[] => {
  const { camera, focal, shift } = layout.photoPlaces[photo];
  const [own, shared] = [layout.photoBlock[photo], layout.cameraBlock[camera]];
  const byCamera = changeByCamera(layout, state, photo);
  const free = byCamera.length / 3;
  return [focal, shift, shift < 0 ? -1 : shift + 1].map((place, part) => {
    if (place < 0) return null;
    const x = new Float64Array(layout.size);
    x[own.offset + place] = 1;
    x.set(byCamera.subarray(part * free, (part + 1) * free), shared.offset);
    return x;
  });
};

const varianceOf = (row: Float64Array, solve: (x: Float64Array) => void): number => {
  const influence = row.slice();
  solve(influence);
  return row.reduce((sum, f, i) => sum + f * influence[i], 0);
};

const lensCovariance = (
  { internals }: Adjusted,
  column: (block: Block, k: number) => Float64Array,
): Float64Array => {
  const { layout } = internals.model;
  const block = layout.cameraBlock[0];
  const spread = layout.lensSpread[0];
  const out = new Float64Array(lensSize * lensSize);
  for (let b = 0; b < block.size; b++) {
    const x = column(block, b);
    for (let a = 0; a < block.size; a++) {
      const c = x[block.offset + a];
      for (let i = 0; i < lensSize; i++)
        for (let j = 0; j < lensSize; j++)
          out[i * lensSize + j] += spread[i * block.size + a] * c * spread[j * block.size + b];
    }
  }
  for (let i = 0; i < lensSize; i++)
    for (let j = 0; j < i; j++) {
      const mean = (out[i * lensSize + j] + out[j * lensSize + i]) / 2;
      out[i * lensSize + j] = out[j * lensSize + i] = mean;
    }
  return out;
};

import type { FeatureNoise } from "../../detect/findings/findings.ts";
import type { Lens } from "../../lens/lens.ts";
import type { Pose, Vec3 } from "../../maths/pose.ts";
import type { Millimetres, Pixels, Radians } from "../../maths/units.ts";

/**
 * The adjustment's input. Everything that is known about a bay is stated here once: what was seen,
 * what was measured by other means, and how sure each of it is. Lengths mm, angles rad, pixels.
 *
 * The bay frame is the network's own: its plane z = 0 is the floor (mean of the floor boards) where
 * floor statements exist; otherwise it is free. The remaining freedom (datum) is fixed by inner
 * constraints over all boards, so that no board is special. Report only quantities that do not
 * depend on the bay frame, such as poses in the vehicle frame.
 */

/** Where a share of a reported variance comes from (uncertainty budget). */
export type Source =
  | "image"
  | "lens"
  | "focus and stabilisation"
  | "hand motion"
  | "print scale"
  | "board flatness"
  | "length reference"
  | "floor"
  | "wheel plates"
  | "target offset"
  | "other";

export interface CameraStatement {
  readonly key: string;
  /** Best knowledge of the lens before this adjustment; also the start value. */
  readonly lens: Lens;
  /** 9 x 9 row-major prior covariance in lensOrder, or null for no prior (camera step). */
  readonly priorCovariance: Float64Array | null;
  /** Which of the nine parameters are estimated; the others stay at the value in `lens`. */
  readonly free: readonly boolean[];
  /** Ties fx = fy (the published chessboard example needs it). */
  readonly fixedAspect?: boolean;
  /** Prior spread of the per-photo changes: relative focal length, and shift in px. 0 = none. */
  readonly focalSd: number;
  readonly shiftSdPx: Pixels;
  /** Prior spread of the motion while a photo's rows are read out; absent = none. */
  readonly motion?: MotionSpread;
  /**
   * Cameras with the same word are one phone in one hand: the spread of its motion is estimated from
   * the photos of all of them. Absent = the one phone of the job.
   */
  readonly hand?: string;
  /**
   * Number of displacements of the picture that all photos share besides the lens numbers, each an
   * unknown with mean 0 and standard deviation 1; see {@link BoardObservation.modes}. Absent = 0.
   */
  readonly modes?: number;
}

/**
 * Standard deviations of what a hand-held camera does between the first and the last row of a photo
 * (rolling shutter), per axis of the camera frame. 0 = not estimated.
 */
export interface MotionSpread {
  /** Turn from the first to the last row, rad. */
  readonly turnSd: Radians;
  /** Shift from the first to the last row, mm. */
  readonly shiftSdMm: Millimetres;
  /** Sway: how far the turn at the first and last row differs from that at the middle row, rad. */
  readonly swaySd: number;
}

export interface PhotoStatement {
  readonly key: string;
  readonly camera: string;
  /** In which order the sensor was read; without it the photo has no motion. */
  readonly readout?: Readout;
  /** Factor on the motion's standard deviations for a photo that moved more than the others. */
  readonly motionScale?: number;
}

/** The sensor's lines follow each other along y ("rows") or, in turned pixels, along x ("columns"). */
export interface Readout {
  readonly along: "rows" | "columns";
  /** Number of lines, px. */
  readonly length: number;
}

export interface BoardStatement {
  /** "7", or "1@B" for the same board at car position B, or "sheet". */
  readonly key: string;
  /** Cell side as printed, mm: nominal times what the print check says. */
  readonly cellMm: Millimetres;
  /** Relative standard deviation of this board's own cell size. */
  readonly cellSd: number;
  /** The same of its own stretch: width (1 + s), height / (1 + s). Absent or 0 = none. */
  readonly stretchSd?: number;
  /** Boards with the same print key also share a common scale error with that print's sd. */
  readonly print: string | null;
  /**
   * Standard deviation of the cylindrical bend as curvature, 1/mm; 0 = flat. (A sagitta s over a
   * width w is a curvature of 8 s / w^2.) The axis direction is estimated with it.
   */
  readonly bendSd: number;
}

export interface PrintStatement {
  readonly key: string;
  /** Relative standard deviation of the scale common to all boards of this print run. */
  readonly scaleSd: number;
  /** The same of its width and of its height, each on its own, on top. Absent or 0 = none. */
  readonly widthSd?: number;
  readonly heightSd?: number;
  /** Best knowledge of width and height against `cellMm` of its boards, 1 = as stated there. */
  readonly width?: number;
  readonly height?: number;
}

/** One board seen in one photo. */
export interface BoardObservation {
  readonly photo: string;
  readonly board: string;
  /** 2n, cells, board frame. */
  readonly boardPoints: Float64Array;
  /** 2n, px. */
  readonly pixels: Float64Array;
  readonly noise: FeatureNoise;
  /** What widens that noise, applied to whitened rows one after the other; see {@link Widening}. */
  readonly widened?: readonly Widening[];
  /** How the features move per unit of each of the camera's modes, px: 2n x modes, row-major. */
  readonly modes?: Float64Array;
}

/**
 * I - A B A^T: takes from whitened residuals, along a few patterns, what a displacement of the whole
 * board explains. Kept in this form because the dense matrix of a view has (2n)^2 numbers.
 */
export interface Widening {
  /** A, rows x k, row-major, whitened. */
  readonly patterns: Float64Array;
  /** B, k x k, symmetric. */
  readonly shrinking: Float64Array;
}

/** A measured straight distance between two points fixed to boards (board centres by default). */
export interface LengthStatement {
  readonly key: string;
  readonly from: { readonly board: string; readonly pointMm?: Vec3 };
  readonly to: { readonly board: string; readonly pointMm?: Vec3 };
  readonly lengthMm: Millimetres;
  readonly sdMm: Millimetres;
  /** Lengths read with the same instrument share its scale error: key of a scalar, or null. */
  readonly scale?: string | null;
}

/** A board that lies on the floor: height of its face above the floor plane, and its tilt. */
export interface FloorStatement {
  /** A board's key, or a frame's: a frame is level and at this height by definition. */
  readonly board: string;
  readonly heightMm: Millimetres;
  readonly heightSdMm: Millimetres;
  readonly tiltSd: Radians;
}

/** A six-number pose unknown that is not a board: "target", "car@B", "wheel:FL". */
export interface FrameStatement {
  readonly key: string;
  readonly start?: Pose;
}

/** Scalars with priors: type B contributions. Sd Infinity = no prior (start value only). */
export interface ScalarStatement {
  readonly key: string;
  readonly mean: readonly number[];
  readonly sd: readonly number[];
  readonly source: Source;
}

/** One link of a chain of poses. */
export type Link =
  | { readonly kind: "pose"; readonly key: string; readonly inverse?: boolean }
  | { readonly kind: "fixed"; readonly pose: Pose }
  /** Turn about the moving frame's axis by scalar `index` of block `key` (sign +1 or -1). */
  | {
      readonly kind: "turn";
      readonly key: string;
      readonly index: number;
      readonly axis: 0 | 1 | 2;
      readonly sign?: 1 | -1;
    }
  /** Small pose from six scalars [wx wy wz tx ty tz] of block `key`: R = Exp(w), t. */
  | { readonly kind: "small"; readonly key: string; readonly inverse?: boolean };

/**
 * Statement that a product of poses is the identity: residual = [log R; t] of the product, each
 * component with its standard deviation. A board rigid with the target, a wheel plate on its
 * spindle, a bar of known length are all chains.
 */
export interface ChainStatement {
  readonly key: string;
  readonly links: readonly Link[];
  /** Six standard deviations: three rad, three mm. Infinity = not stated. */
  readonly sd: readonly [number, number, number, number, number, number];
  readonly source: Source;
}

/** Two board keys that stand for one print at two times: size, stretch and bend are the same. */
export interface SamePrintStatement {
  readonly boards: readonly [string, string];
}

export interface NetworkProblem {
  readonly cameras: readonly CameraStatement[];
  readonly photos: readonly PhotoStatement[];
  readonly boards: readonly BoardStatement[];
  readonly prints: readonly PrintStatement[];
  readonly observations: readonly BoardObservation[];
  readonly lengths: readonly LengthStatement[];
  readonly floor: readonly FloorStatement[];
  readonly frames: readonly FrameStatement[];
  readonly scalars: readonly ScalarStatement[];
  readonly chains: readonly ChainStatement[];
  readonly samePrints?: readonly SamePrintStatement[];
}

/**
 * Read access to the unknowns, for functions of them. Poses: `bayFrom<key>` for boards and frames,
 * `cameraFromBay` for photos.
 */
export interface StateView {
  /** bayFromBoard or bayFromFrame. */
  pose(key: string): Pose;
  /** cameraFromBay of a photo. */
  photoPose(key: string): Pose;
  /** Scalar block (type B parameters). */
  scalars(key: string): Float64Array;
  /** True cell side of a board, mm, mean of width and height. */
  cellMm(board: string): Millimetres;
  /** True width and height of a board's cells, mm. */
  cellSides(board: string): { readonly width: number; readonly height: number };
  /** Bulge of a board over its whole width, mm: bend (its mean curvature number m) times width^2 / 8. */
  bulgeMm(board: string): Millimetres;
  lens(camera: string): Lens;
}

/** A number to report: any smooth function of the unknowns that the datum does not change. */
export interface Quantity {
  readonly key: string;
  evaluate(state: StateView): number;
}

/** Values with full covariance and, per value, the variance that each source contributes. */
export interface Propagated {
  readonly keys: readonly string[];
  readonly values: Float64Array;
  /** m x m row-major. */
  readonly covariance: Float64Array;
  /** budget[i][source] = variance; the sources of one value add up to its variance. */
  readonly budget: readonly Readonly<Partial<Record<Source, number>>>[];
  /** lenses[i][camera] = the part of the variance from "lens" that this camera's lens contributes. */
  readonly lenses?: readonly Readonly<Record<string, number>>[];
}

/**
 * What was found in one photo: the message that detection hands to the network, the job and the
 * screens. Plain data and typed arrays only, so that it can cross a worker border.
 */

import type { ExifFacts } from "../../photo/exif/exif-facts.ts";
import type { Said } from "../../say/remark.ts";
import type { Remark } from "./codes.ts";

export type { ExifFacts };

/** How exactly the features of one board are known. */
export type FeatureNoise =
  /** Every coordinate independent with the same standard deviation. */
  | { readonly kind: "isotropic"; readonly sigmaPx: number }
  /**
   * Full covariance C of the 2n pixel coordinates, given as W (rows x 2n, row-major) with
   * W^T W = C^-1 (or its pseudo-inverse where features were made from fewer fitted numbers).
   * Whitened residual = W (pixels - predicted).
   */
  | { readonly kind: "full"; readonly rows: number; readonly sqrtInformation: Float64Array };

export type Grade = "good" | "weak" | "not used";

export interface BoardQuality {
  readonly grade: Grade;
  /** Plain sentences, empty when good. */
  readonly reasons: readonly string[];
  /** The same as data; absent in findings of earlier programs. */
  readonly said?: readonly Said[];
  /** Mean side of one cell in the photo, px. */
  readonly cellPx: number;
  /** Angle between the board's normal and the line of sight, degrees (0 = face on). */
  readonly obliquityDeg: number;
  /** Blur: standard deviation of the edge spread, px. */
  readonly blurPx: number;
  /** Grey difference white minus black, 0..255. */
  readonly contrast: number;
  /** Share of the pattern left out by the robust weights (finger, cable, reflection), 0..1. */
  readonly coveredShare: number;
  /** Camera sheet: features missing because they lie in pure white, where a lamp is mirrored. */
  readonly burntFeatures?: number;
  /** Root mean square of the feature residuals of the board's own fit, px. */
  readonly residualPx: number;
}

/** One board (or the camera sheet) in one photo. */
export interface BoardView {
  /** Tag id; the camera sheet is `sheetId`. */
  readonly id: number;
  /** Feature positions x0 y0 x1 y1 .. in cells, board frame (x right, y up, origin centre). */
  readonly boardPoints: Float64Array;
  /** The same features in the photo, px (sensor orientation, never turned by EXIF). */
  readonly pixels: Float64Array;
  readonly noise: FeatureNoise;
  /** Outline of the printed pattern's outer corners in px, for drawing: x0 y0 .. x3 y3. */
  readonly outline: Float64Array;
  readonly quality: BoardQuality;
}

/** Stands for the camera sheet in `BoardView.id`. */
export { sheetId } from "../../boards/sheet.ts";

export interface PhotoFindings {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly exif: ExifFacts | null;
  readonly boards: readonly BoardView[];
  readonly remarks: readonly Remark[];
  readonly timesMs: { readonly decode: number; readonly find: number; readonly refine: number };
}

/** Outcome of examining one photo; a photo that cannot be read is data, not an exception. */
export type PhotoOutcome =
  | { readonly ok: true; readonly findings: PhotoFindings }
  | { readonly ok: false; readonly name: string; readonly remark: Remark };

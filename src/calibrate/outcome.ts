import type { CameraProfile } from "../lens/profile.ts";
import type { ModelChoice } from "./estimate/model.ts";
import type { Remark } from "./photos/codes.ts";

export interface CameraStepOptions {
  /** ISO 8601 date that goes into the profile; the computing has no clock. */
  readonly date?: string;
  /** Side of one square, mm; the lens does not depend on it. */
  readonly squareMm?: number;
  /** True where the sheet was shown on a flat screen: no bend is estimated. */
  readonly flat?: boolean;
  /** Ties fx = fy. */
  readonly fixedAspect?: boolean;
  /** False keeps focal length and principal point the same in all photos. */
  readonly photoChanges?: boolean;
  /** False leaves out the held-out error, which takes one adjustment a photo. */
  readonly heldOut?: boolean;
  /** False leaves out the millimetres at 4 m. */
  readonly effect?: boolean;
  /** False looks for nothing beyond Brown's numbers. */
  readonly remainder?: boolean;
  /** False takes the phone as at rest while a photo is read, and the sheet as evenly scaled. */
  readonly motionAndStretch?: boolean;
  /** Keeps the model with all five distortion numbers instead of choosing. */
  readonly fullModel?: boolean;
  /** Keeps photos that do not fit the others. */
  readonly keepOutliers?: boolean;
  /** Rounds of the variance components after the first, 20 by default. */
  readonly mostRounds?: number;
}

/** What the camera step says about one photo. */
export interface PhotoReport {
  readonly photo: string;
  readonly used: boolean;
  /** Root mean square per coordinate, px. */
  readonly residualPx: number;
  /** The same with the lens of the other photos; null where not computed or not used. */
  readonly heldOutPx: number | null;
  /** Relative change of the focal length, and shift of the principal point, px. */
  readonly focalChange: number;
  readonly shiftPx: readonly [number, number];
  readonly tiltDeg: number;
  readonly distanceMm: number;
  /** Features used. */
  readonly features: number;
}

export type CameraOutcome =
  | {
      readonly ok: true;
      readonly profile: CameraProfile;
      readonly choice: ModelChoice;
      readonly photos: readonly PhotoReport[];
      /** Sagitta over the sheet's length, mm, and its standard uncertainty; zero where held flat. */
      readonly bendMm: number;
      readonly bendSdMm: number;
      readonly remarks: readonly Remark[];
    }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

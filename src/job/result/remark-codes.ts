import type { AdjustCode } from "../../adjust/problem/codes.ts";
import type { BoardCode } from "../../boards/codes.ts";
import type { CalibrateCode } from "../../calibrate/photos/codes.ts";
import type { DetectCode } from "../../detect/findings/codes.ts";
import type { LensCode } from "../../lens/codes.ts";
import type { PhotoCode } from "../../photo/file/codes.ts";
import type { PlacementCode } from "../../placement/sheet/codes.ts";
import type { Remark as AnyRemark } from "../../say/remark.ts";
import type { VehicleCode } from "../../vehicle/codes.ts";

/**
 * Every code that a remark may carry: each room declares its own, and they are collected here, where
 * all rooms are known. The compiler refuses any other code, and a language without a sentence for one.
 */
export type RemarkCode =
  | PhotoCode
  | LensCode
  | BoardCode
  | DetectCode
  | AdjustCode
  | CalibrateCode
  | VehicleCode
  | PlacementCode
  | JobCode;

/** Codes of the remarks about a whole job. */
export type JobCode =
  | "job-input"
  | "entry-unread"
  | "no-photos"
  | "photos-missing"
  | "position-photos-unlisted"
  | "nothing-usable"
  | "board-misread"
  | "length-without-board"
  | "reading-without-check"
  | "reading-disagrees"
  | "stand-photo-weak"
  | "unsteady"
  | "body-moved"
  | "body-placed-again"
  | "stand-board-turned"
  | "last-view-odd"
  | "majority-unclear"
  | "required-other-unit"
  | "print-check-elsewhere"
  | "misfit-shared"
  | "misfit-large"
  | "check-depends"
  | "moved-after-run"
  | "same-board"
  | "teach-board-missing"
  | "teach-points-close"
  | "teach-points-mixed"
  | "teach-too-unsure"
  | "photo-twin"
  | "photo-repeated"
  | "photos-cropped"
  | "no-camera"
  | "own-lens"
  | "own-lens-weak"
  | "hand-turned"
  | "photo-on-the-move"
  | "second-position-brought"
  | "acceptance-on"
  | "acceptance-missing"
  | "acceptance-old"
  | "acceptance-changed"
  | "acceptance-failed"
  | "acceptance-not-shown";

export type Remark = AnyRemark<RemarkCode>;

import type { AdjustCode } from "../../adjust/problem/codes.ts";
import type { DetectCode } from "../../detect/findings/codes.ts";
import type { LensCode } from "../../lens/codes.ts";
import type { PhotoCode } from "../../photo/file/codes.ts";
import type { Remark as AnyRemark } from "../../say/remark.ts";

/** Codes of the remarks about sheet photos and the lens they give. */
export type CalibrateCode =
  | "photo-of-another-phone"
  | "photo-of-unknown-phone"
  | "photo-of-another-size"
  | "photo-through-another-lens"
  | "photo-with-digital-zoom"
  | "photo-alike"
  | "photo-not-used"
  | "photo-zoomed"
  | "photo-off-centre"
  | "photo-does-not-fit"
  | "no-tilt"
  | "little-tilt"
  | "corner-not-covered"
  | "all-from-one-place"
  | "sheet-partly-seen"
  | "sheet-reflects"
  | "sheet-bent"
  | "sheet-stretched"
  | "sheet-two-scales"
  | "features-noisy"
  | "changes-unsettled"
  | "no-solution";

/** A remark of this room or of one below it. */
export type Remark = AnyRemark<PhotoCode | LensCode | DetectCode | AdjustCode | CalibrateCode>;

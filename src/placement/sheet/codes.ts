import type { Remark as AnyRemark } from "../../say/remark.ts";
import type { VehicleCode } from "../../vehicle/codes.ts";

/** Codes of the remarks about a placement sheet and what its checks lack. */
export type PlacementCode =
  | "sheet-not-json"
  | "sheet-not-object"
  | "sheet-format"
  | "sheet-version"
  | "sheet-field"
  | "sheet-repeated-id"
  | "sheet-tilt-kind"
  | "sheet-no-limit"
  | "sheet-no-width"
  | "sheet-lower-above-upper"
  | "sheet-required-outside"
  | "sheet-no-reference"
  | "sheet-angle-size"
  | "sheet-unit"
  | "sheet-negative"
  | "sheet-tolerance-size"
  | "sheet-invented"
  | "no-such-step"
  | "wheels-missing"
  | "wheels-unseen"
  | "thrust-needs-plates"
  | "origin-missing"
  | "centreline-point-missing"
  | "floor-from-wheels"
  | "floor-boards-few"
  | "flatness-needs-boards"
  | "flatness-board-unknown"
  | "point-missing"
  | "point-unseen"
  | "stand-unseen"
  | "target-missing"
  | "target-other-name"
  | "target-size-missing"
  | "target-turned-over"
  | "second-position-asked"
  | "second-position-helps"
  | "position-not-used";

/** A remark of this room or of one below it. */
export type Remark = AnyRemark<VehicleCode | PlacementCode>;

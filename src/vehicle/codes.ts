import type { Remark as AnyRemark } from "../say/remark.ts";

/** Codes of the remarks about wheels, floor and car positions. */
export type VehicleCode =
  | "floor-board-off-plane"
  | "floor-differs"
  | "methods-agree"
  | "methods-disagree"
  | "rolled-too-little"
  | "plate-sits-badly"
  | "wheel-board-upside-down"
  | "wheel-boards-no-fit"
  | "wheel-boards-swapped";

/** A remark of this room. */
export type Remark = AnyRemark<VehicleCode>;

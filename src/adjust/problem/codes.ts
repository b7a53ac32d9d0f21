import type { Remark as AnyRemark } from "../../say/remark.ts";

/** Codes of the remarks about an adjustment and its tests. */
export type AdjustCode =
  | "network-input"
  | "not-connected"
  | "not-determined"
  | "not-converged"
  | "two-solutions"
  | "one-place"
  | "board-moved"
  | "board-two-places"
  | "board-scaled"
  | "boards-of-two-prints"
  | "does-not-fit"
  | "statement-does-not-fit"
  | "lengths-against-print"
  | "photo-altered"
  | "misfits-more"
  | "given-less-weight"
  | "misfit-overall"
  | "noise-widened"
  | "too-few-photos";

/** A remark of this room. */
export type Remark = AnyRemark<AdjustCode>;

import type { PhotoCode } from "../../photo/file/codes.ts";
import type { Remark as AnyRemark } from "../../say/remark.ts";

/** Codes of the remarks about what was found in a photo. */
export type DetectCode =
  | "no-board"
  | "no-sheet"
  | "same-board-twice"
  | "mirrored-print"
  | "reflection"
  | "unknown-board"
  | "worker-failed";

/** A remark of this room or of one below it. */
export type Remark = AnyRemark<PhotoCode | DetectCode>;

import type { Remark as AnyRemark } from "../say/remark.ts";

/** Codes of the remarks about a printed page. */
export type BoardCode = "print-unchecked" | "print-scaled" | "print-stretched" | "print-reading";

/** A remark of this room. */
export type Remark = AnyRemark<BoardCode>;

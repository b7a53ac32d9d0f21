import type { Remark, SaidValues } from "../photo/remark.ts";
import type { RemarkCode } from "../photo/remark-codes.ts";

/** Something for which a placement sheet cannot be used. */
export const error = (
  code: RemarkCode,
  about: string,
  message: string,
  remedy: string,
  values?: SaidValues,
): Remark => ({
  code,
  values,
  severity: "error",
  message,
  remedy,
  about,
});

/** Something that looks like a slip. */
export const question = (
  code: RemarkCode,
  about: string,
  message: string,
  remedy: string,
  values?: SaidValues,
): Remark => ({
  code,
  values,
  severity: "warning",
  message,
  remedy,
  about,
});

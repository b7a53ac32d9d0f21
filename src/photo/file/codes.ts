import type { Remark as AnyRemark } from "../../say/remark.ts";

/** Codes of the remarks about a file and its pixels. Knows no other room. */
export type PhotoCode =
  | `photo-format-${"heic" | "avif" | "jpeg-xl" | "raw" | "webp" | "tiff" | "gif" | "bmp"}`
  | `photo-format-${"video" | "pdf" | "empty" | "unknown"}`
  | "photo-too-small"
  | "photo-too-large"
  | "photo-shrunk"
  | "photo-memory"
  | "photo-through-browser"
  | "exif-missing"
  | "exif-damaged"
  | "jpeg-damaged"
  | "jpeg-ends-early"
  | "jpeg-unsupported"
  | "jpeg-colour"
  | "png-damaged"
  | "png-unsupported"
  | "png-ends-early"
  | "heic-damaged"
  | "heic-unsupported"
  | "heic-several-pictures"
  | "unreadable";

/** A remark of this room. */
export type Remark = AnyRemark<PhotoCode>;

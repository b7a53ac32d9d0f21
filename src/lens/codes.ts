import type { PhotoCode } from "../photo/file/codes.ts";
import type { Remark as AnyRemark } from "../say/remark.ts";

/** Codes of the remarks about which camera took a photo and whether its profile applies. */
export type LensCode =
  | `photo-${"other-phone" | "other-lens" | "digital-zoom" | "cropped" | "turned"}`
  | `photo-${"screenshot" | "panorama" | "enlarged" | "other-size"}`
  | "exif-names-no-camera"
  | "photo-portrait"
  | "photo-size-contradicts"
  | "photo-other-program"
  | "photo-resized"
  | "profile-unreadable"
  | "profile-disagrees"
  | "profile-disagrees-zoomed"
  | "photo-lens-unknown"
  | "photo-phone-unclear";

/** A remark of this room or of one below it. */
export type Remark = AnyRemark<PhotoCode | LensCode>;

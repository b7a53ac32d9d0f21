/**
 * Every code that a remark may carry, by the part that makes it. The compiler refuses any other
 * code, and a language without a sentence for one of these.
 */
export type RemarkCode =
  | PhotoCode
  | CameraCode
  | BoardCode
  | NetworkCode
  | VehicleCode
  | SheetCode
  | JobCode;

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
  | "unreadable"
  | "worker-failed";

export type CameraCode =
  | `photo-${"other-phone" | "other-lens" | "digital-zoom" | "cropped" | "turned"}`
  | `photo-${"screenshot" | "panorama" | "enlarged" | "other-size"}`
  | "exif-names-no-camera"
  | "photo-portrait"
  | "photo-size-contradicts"
  | "photo-other-program"
  | "photo-twin"
  | "photo-repeated"
  | "photos-cropped"
  | "photo-resized"
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
  | "too-few-photos"
  | "no-tilt"
  | "little-tilt"
  | "corner-not-covered"
  | "all-from-one-place"
  | "sheet-partly-seen"
  | "sheet-reflects"
  | "sheet-bent"
  | "sheet-stretched"
  | "features-noisy"
  | "changes-unsettled"
  | "profile-unreadable"
  | "profile-disagrees"
  | "profile-disagrees-zoomed"
  | "no-solution"
  | "no-camera"
  | "own-lens"
  | "own-lens-weak";

export type BoardCode =
  | "no-board"
  | "no-sheet"
  | "same-board-twice"
  | "mirrored-print"
  | "reflection"
  | "unknown-board"
  | "print-unchecked"
  | "print-scaled"
  | "print-stretched"
  | "print-reading";

export type NetworkCode =
  | "network-input"
  | "not-connected"
  | "not-determined"
  | "not-converged"
  | "two-solutions"
  | "one-place"
  | "board-moved"
  | "board-two-places"
  | "board-scaled"
  | "does-not-fit"
  | "given-less-weight"
  | "misfit-overall"
  | "noise-widened";

export type VehicleCode =
  | "floor-board-off-plane"
  | "floor-differs"
  | "methods-agree"
  | "methods-disagree"
  | "position-not-used"
  | "rolled-too-little"
  | "plate-sits-badly"
  | "wheel-board-upside-down"
  | "wheel-boards-no-fit"
  | "wheel-boards-swapped";

export type SheetCode =
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
  | "second-position-helps";

export type JobCode =
  | "job-input"
  | "no-photos"
  | "photos-missing"
  | "position-photos-unlisted"
  | "nothing-usable"
  | "length-without-board"
  | "reading-without-check"
  | "reading-disagrees"
  | "stand-photo-weak"
  | "unsteady"
  | "moved-after-run"
  | "same-board"
  | "teach-board-missing"
  | "teach-points-close"
  | "teach-points-mixed"
  | "teach-too-unsure";

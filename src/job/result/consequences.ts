import type { RemarkCode } from "./remark-codes.ts";

/**
 * What every remark means for the verdict, in one table. A remark code without an entry here does not
 * compile; `consequences.md` beside this file is written from it (`npm run docs:consequences`).
 *
 *   harmless     the numbers are not affected: a photo was left out, or the remark is only information
 *   widens       the doubt is in the stated intervals already
 *   holds back   the numbers may be wrong by more than the intervals include: nothing is proven
 *   refuses      there is no result
 */
export type Consequence = "harmless" | "widens" | "holds back" | "refuses";

interface Entry {
  readonly consequence: Consequence;
  readonly why: string;
}

const entries =
  (consequence: Consequence) =>
  (why: string): Entry => ({ consequence, why });
const harmless = entries("harmless");
const widens = entries("widens");
const holdsBack = entries("holds back");
const refuses = entries("refuses");

const leftOut = harmless("the photo is left out; what the others show decides");
const sheetPhotoLeftOut = harmless("the photo is left out of the camera step");
const noSheet = refuses("the sheet cannot be read without guessing");
const notInJob = refuses("the sheet asks for something that the job does not have");
const notTaught = refuses("the target is not taught");

export const consequences: Readonly<Record<RemarkCode, Entry>> = {
  // Files and photos
  "photo-format-heic": leftOut,
  "photo-format-avif": leftOut,
  "photo-format-jpeg-xl": leftOut,
  "photo-format-raw": leftOut,
  "photo-format-webp": leftOut,
  "photo-format-tiff": leftOut,
  "photo-format-gif": leftOut,
  "photo-format-bmp": leftOut,
  "photo-format-video": leftOut,
  "photo-format-pdf": leftOut,
  "photo-format-empty": leftOut,
  "photo-format-unknown": leftOut,
  "photo-too-small": leftOut,
  "photo-too-large": leftOut,
  "photo-shrunk": widens("a smaller picture carries larger covariances of its points"),
  "photo-memory": leftOut,
  "photo-through-browser": harmless("grey values by the browser's decoder are as good"),
  "exif-missing": harmless("phone and lens must then agree with the job's own photos"),
  "exif-damaged": harmless("phone and lens must then agree with the job's own photos"),
  "jpeg-damaged": leftOut,
  "jpeg-ends-early": leftOut,
  "jpeg-unsupported": leftOut,
  "jpeg-colour": leftOut,
  "png-damaged": leftOut,
  "png-unsupported": leftOut,
  "png-ends-early": leftOut,
  "heic-damaged": leftOut,
  "heic-unsupported": leftOut,
  "heic-several-pictures": harmless("the main picture is measured, and what it shows decides"),
  unreadable: leftOut,
  "worker-failed": leftOut,

  // Phone and lens
  "photo-other-phone": leftOut,
  "photo-lens-unknown": leftOut,
  "photo-phone-unclear": leftOut,
  "photo-other-lens": leftOut,
  "photo-digital-zoom": leftOut,
  "photo-cropped": leftOut,
  "photo-turned": leftOut,
  "photo-screenshot": leftOut,
  "photo-panorama": leftOut,
  "photo-portrait": leftOut,
  "photo-enlarged": leftOut,
  "photo-other-size": leftOut,
  "exif-names-no-camera": harmless("phone and lens must then agree with the job's own photos"),
  "photo-size-contradicts": harmless("the lens must then agree with the job's own photos"),
  "photo-other-program": harmless("an edited picture shows as a view or a lens that does not fit"),
  "photo-twin": harmless("a copy is counted once"),
  "photo-repeated": harmless("a copy is counted once"),
  "photos-cropped": leftOut,
  "photo-resized": widens("the doubt of the resize is in the lens of that size"),
  "photo-of-another-phone": sheetPhotoLeftOut,
  "photo-of-unknown-phone": sheetPhotoLeftOut,
  "photo-of-another-size": sheetPhotoLeftOut,
  "photo-through-another-lens": sheetPhotoLeftOut,
  "photo-with-digital-zoom": sheetPhotoLeftOut,
  "photo-alike": harmless("it adds little"),
  "photo-not-used": sheetPhotoLeftOut,
  "photo-zoomed": sheetPhotoLeftOut,
  "photo-off-centre": sheetPhotoLeftOut,
  "photo-does-not-fit": sheetPhotoLeftOut,
  "too-few-photos": refuses("nothing would show an error"),
  "no-tilt": refuses("focal length and distance cannot be told apart"),
  "little-tilt": widens("the lens is less sure, and its covariance says so"),
  "corner-not-covered": widens("the lens is less sure there, and its covariance says so"),
  "all-from-one-place": refuses("focal length and distance cannot be told apart"),
  "sheet-partly-seen": widens("fewer points carry larger covariances"),
  "sheet-reflects": widens("fewer points carry larger covariances"),
  "sheet-bent": widens("the bend is estimated with its own uncertainty"),
  "sheet-stretched": holdsBack("the lens was taken from a sheet of wrong proportions"),
  "sheet-two-scales": harmless(
    "the sheet's stretch was estimated along, and the lens is free of it",
  ),
  "features-noisy": widens("the lens's covariance was widened to match"),
  "changes-unsettled": widens("the general spread of the phone stands in"),
  "profile-unreadable": refuses("there is no lens"),
  "profile-disagrees": holdsBack("the photos contradict the lens that all numbers rest on"),
  "profile-disagrees-zoomed": holdsBack("the photos contradict the lens that all numbers rest on"),
  "no-solution": refuses("there is no lens"),
  "no-camera": refuses("there is no lens"),
  "own-lens": widens("the lens comes from the job's photos with its own covariance"),
  "hand-turned": harmless("the hand's motion was estimated along"),
  "photo-on-the-move": widens("its motion has a spread of its own"),
  "own-lens-weak": widens("the lens comes from the job's photos with its own covariance"),

  // Boards and prints
  "no-board": leftOut,
  "no-sheet": sheetPhotoLeftOut,
  "same-board-twice": holdsBack("two prints of one number: other photos may show the wrong one"),
  "mirrored-print": harmless("the mirrored board is left out; one that is needed refuses"),
  reflection: harmless("the reflection is left out"),
  "board-misread": harmless("the view is left out"),
  "unknown-board": harmless("the board is left out"),
  "print-unchecked": widens("the scale carries the spread of an unknown printer"),
  "print-check-elsewhere": widens("these boards carry the spread of an unknown printer"),
  "print-scaled": harmless("the measured scale is used"),
  "print-stretched": harmless("both scales are used as measured"),
  "print-reading": refuses("a reading that cannot be right must not scale anything"),

  // Adjustment
  "network-input": refuses("nothing can be computed"),
  "not-connected": refuses("nothing can be computed"),
  "not-determined": refuses("nothing can be computed"),
  "not-converged": refuses("nothing can be computed"),
  "two-solutions": holdsBack("the mirrored answer fits nearly as well"),
  "one-place": holdsBack("nothing checks the depths"),
  "board-moved": harmless("both places are kept apart; of car and stand see unsteady"),
  "board-two-places": holdsBack("two prints of one number, or photos of two set-ups mixed"),
  "board-scaled": widens("a size that counts for a check holds it back as check-depends"),
  "boards-of-two-prints": holdsBack("which of the two sizes the ruler was read on no photo tells"),
  "check-depends": holdsBack("a check hangs on one statement or view that contradicts the rest"),
  "statement-does-not-fit": harmless("one that decides a check holds it back as check-depends"),
  "lengths-against-print": harmless("a check that hangs on it is held back as check-depends"),
  "photo-altered": harmless("one that decides a check holds it back as check-depends"),
  "misfits-more": harmless("what they cost is in what is named first"),
  "misfit-shared": widens("the noise was widened to match"),
  "misfit-large": holdsBack("so large a misfit is systematic: no common factor is honest"),
  "does-not-fit": harmless("the view counts for little; one that decides a check is check-depends"),
  "given-less-weight": harmless("the view counts for little"),
  "misfit-overall": widens("the noise was widened to match"),
  "noise-widened": widens("all intervals grew by this factor"),

  // Car and floor
  "floor-board-off-plane": widens("the floor's unevenness is in the heights"),
  "floor-differs": harmless("heights are counted from the floor that the sheet names"),
  "methods-agree": harmless("two methods agree"),
  "methods-disagree": holdsBack("two methods give two cars"),
  "position-not-used": harmless("where the sheet asks for it, see second-position-asked"),
  "rolled-too-little": widens("the plates' run-out stays in the intervals"),
  "plate-sits-badly": holdsBack("a plate that slipped turns the car's lines"),
  "wheel-board-upside-down": harmless("a plate may be turned about its spindle"),
  "wheel-boards-no-fit": refuses("the boards are not on the wheels as stated"),
  "wheel-boards-swapped": refuses("the boards are not on the wheels as stated"),

  // Placement sheet
  "sheet-not-json": noSheet,
  "sheet-not-object": noSheet,
  "sheet-format": noSheet,
  "sheet-version": noSheet,
  "sheet-field": noSheet,
  "sheet-repeated-id": noSheet,
  "sheet-tilt-kind": harmless("a question; the numbers are decided as the sheet states them"),
  "sheet-no-limit": noSheet,
  "sheet-no-width": noSheet,
  "sheet-lower-above-upper": noSheet,
  "sheet-required-outside": holdsBack("a sign was lost, or limits were typed as deviations"),
  "sheet-no-reference": harmless("a question; the numbers are decided as the sheet states them"),
  "sheet-angle-size": holdsBack("no angle of more than a full turn is meant"),
  "sheet-negative": harmless("a question; the numbers are decided as the sheet states them"),
  "sheet-unit": harmless("a question; the numbers are decided as the sheet states them"),
  "sheet-tolerance-size": harmless("a question; the numbers are decided as the sheet states them"),
  "sheet-invented": holdsBack("no maker's procedure stands behind an example's numbers"),
  "no-such-step": notInJob,
  "wheels-missing": notInJob,
  "wheels-unseen": notInJob,
  "thrust-needs-plates": notInJob,
  "origin-missing": notInJob,
  "centreline-point-missing": notInJob,
  "floor-from-wheels": widens("the stated wheel heights carry their own uncertainty"),
  "floor-boards-few": notInJob,
  "flatness-needs-boards": notInJob,
  "flatness-board-unknown": notInJob,
  "point-missing": notInJob,
  "point-unseen": notInJob,
  "stand-unseen": notInJob,
  "target-missing": notInJob,
  "target-other-name": holdsBack("another target than the sheet's may have been measured"),
  "target-size-missing": notInJob,
  "target-turned-over": holdsBack("a stand board or the facing is the wrong way round"),
  "second-position-asked": holdsBack("the procedure's second position is missing"),
  "second-position-helps": widens("the plates' tilt stays in the intervals"),

  // Job
  "entry-unread": refuses("the number that was there before would count in silence"),
  "job-input": refuses("the entry cannot be used"),
  "no-photos": refuses("there is nothing to measure"),
  "photos-missing": refuses("photos would be counted in another group"),
  "position-photos-unlisted": refuses("photos of two car positions would be mixed"),
  "nothing-usable": refuses("there is nothing to measure"),
  "length-without-board": widens("the length is not used, and the scale is less sure"),
  "required-other-unit": holdsBack("the sheet's number may be in another unit"),
  "reading-without-check": harmless("the reading is not used"),
  "reading-disagrees": holdsBack("a reading by other means contradicts the check"),
  "stand-photo-weak": widens("the stand is less sure, and its covariance says so"),
  "stand-board-turned": holdsBack("which of the stand boards sits as taught no photo tells"),
  "body-moved": holdsBack("car or stand moved while the photos were taken"),
  "body-placed-again": holdsBack("the photos show two places of car or stand"),
  unsteady: holdsBack("car, stand or a dropped point moved while the photos were taken"),
  "last-view-odd": holdsBack("it may have moved just then, and no later photo shows it"),
  "majority-unclear": holdsBack("a photo and the others contradict each other without a majority"),
  "moved-after-run": holdsBack("what was measured is no longer where it was"),
  "second-position-brought": harmless("it says what the further position changed"),
  "acceptance-on": harmless("information"),
  "acceptance-missing": harmless("the intervals rest on this job's own photos and statements"),
  "acceptance-old": harmless("the intervals rest on this job's own photos and statements"),
  "acceptance-changed": harmless("the intervals rest on this job's own photos and statements"),
  "acceptance-not-shown": harmless("the intervals rest on this job's own photos and statements"),
  "acceptance-failed": holdsBack("this phone or these prints measured wrong lengths, unexplained"),
  "same-board": notTaught,
  "teach-board-missing": notTaught,
  "teach-points-close": notTaught,
  "teach-points-mixed": notTaught,
  "teach-too-unsure": notTaught,
};

const known = new Map<string, Entry>(Object.entries(consequences));

/** A code of another version of the program is doubtful until somebody has looked at it. */
export const consequenceOf = (code: string): Consequence =>
  known.get(code)?.consequence ?? "holds back";

const order: readonly Consequence[] = ["refuses", "holds back", "widens", "harmless"];

/** The table for people, Markdown. */
export const consequencesTable = (): string =>
  [
    "| remark | what it does to the verdict | why |",
    "| --- | --- | --- |",
    ...order.flatMap((wanted) =>
      Object.entries(consequences)
        .filter(([, { consequence }]) => consequence === wanted)
        .sort(([a], [b]) => (a < b ? -1 : 1))
        .map(([code, { consequence, why }]) => `| \`${code}\` | ${consequence} | ${why} |`),
    ),
  ].join("\n");

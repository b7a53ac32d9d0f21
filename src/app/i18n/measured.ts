import type { AdviceCode } from "../../placement/decide/advice.ts";
import type { MethodCode } from "../../vehicle/methods.ts";
import type { RemarkPair } from "./en/text-types.ts";
import type { saidEs } from "./es/engine/sentences.ts";
import type { remarksEs } from "./es/spanish.ts";

/**
 * The engine's sentences that carry lengths or angles, for the units that the person chose. All
 * others are shown as the engine writes them. Which these are follows from the other language: the
 * compiler refuses a sentence that shows a length or an angle there and is missing here.
 *
 * Degrees stay where they tell how a photo is taken or how far a wheel turned: a slope in mm per
 * metre means nothing there. Questions about a number of a placement sheet give it in the chosen unit
 * and as the sheet's file holds it.
 */
type Measured = `${string}:${"mm" | "deg" | "amount" | "fine" | "stated"}${string}`;
type MeasuredRemark = {
  [Code in keyof typeof remarksEs]: Extract<
    (typeof remarksEs)[Code][number],
    Measured
  > extends never
    ? never
    : Code;
}[keyof typeof remarksEs];
type MeasuredSaid = {
  [Code in keyof typeof saidEs]: (typeof saidEs)[Code] extends Measured ? Code : never;
}[keyof typeof saidEs];

const rollAgain =
  "Roll the car by about half a turn of the wheels, photograph the wheel plates and floor boards " +
  "again, and add these photos as a second position.";
const oneDoubt =
  "With one position of the car the thrust line is sure to {deg:deg2}, {mm:mm0} at the target, " +
  "because it carries the tilt of the plates on the rims.";

const shared =
  "The photos fit {factor:n1} times worse than sharp prints do, and they share one cause: {cause?motion=the phone moved faster than hands do while the pictures were read out|lens=the lens is not the one of the camera step|print=the boards are not printed at the size that the print check gave|focus=the camera changed from photo to photo more than this phone did before: another camera mode, zoom or crop|*=it is in most photos, and none of lens, print, focus and hand explains it}. {costs?yes=Without it a check would be {amount:amount} other|*=All intervals are wider for it}.";
const sharedRemedy =
  "{cause?motion=Stand still, hold the phone with both hands, wait a moment before each photo|lens=Do the camera step again with this phone at this zoom, and measure again|print=Measure the check bars on the boards again; boards of another print need their own|focus=Set the camera app as in the camera step, without zoom, and take the photos again|*=Check that the boards are flat and lie still, and that the photos are the phone's originals}.";

const remarks: Readonly<Record<MeasuredRemark, RemarkPair>> = {
  "print-check-elsewhere": [
    "The print check was read on pages with cells of {cell:mm0}; it says nothing about {count|board|boards} {boards} of another size, which {count|counts|count} as unchecked (sure to 1 %).",
    "Name them as a print of their own with its two bars, or measure a length to one of them.",
  ],
  "misfit-shared": [shared, sharedRemedy],
  "misfit-large": [shared, sharedRemedy],
  "required-other-unit": [
    "“{check:said}”: the sheet asks for {required:mm1}, and {measured:mm1} were measured. They agree if the sheet's number is in {unit}.",
    "Look at the procedure again and correct the number in the placement sheet.",
  ],
  "check-depends": [
    '"{check:said}" changes by {amount:amount} with one thing that contradicts the rest. {what:said}',
    "Put right what is named, and measure again.",
  ],
  "print-scaled": [
    "The page was printed at {scale:pct1}, not at 100 %, as when a printer fits it to its paper. Unnoticed, this would make a distance of {typed?mm=4 m|*=13.1 ft} {error:mm1} too {way}.",
    "Best print the boards again at 100 % (actual size). The measured size is used until then; it holds only for pages printed in the same way.",
  ],
  "print-reading": [
    "{why?swapped=The two readings seem to be swapped: each fits the other bar.|inches=The reading {reading:mm1} on the {bar} of {nominal:mm1} looks like inches.|centimetres=The reading {reading:mm1} on the {bar} of {nominal:mm1} looks like centimetres.|off=The reading {reading:mm1} on the {bar} of {nominal:mm1} cannot be right: it is more than 10 % off.|*=How exactly the rule was read must be more than 0.}",
    "Measure from tick to tick and type the length in the unit beside the field.",
  ],
  "photo-on-the-move": [
    "{photo} was taken on the move: the phone turned by {turn:deg2} while it was read, far more than in the other photos. It counts for less.",
    "Stand still while the photo is taken; nothing is lost if there are other photos.",
  ],
  "board-moved": [
    "Board {board:board} moved by {shift:mm1} and {turn:deg2} between photo {before} and photo {after}.",
    "Its place before and its place after are kept apart. Fix the board and take the photos again if both are needed.",
  ],
  "body-moved": [
    "The {body} moved by {shift:mm1} and {turn:deg2} between photo {before} and photo {after}.",
    "{body?car=Chock the wheels, let nobody get in or lean on the car,|*=Fix the stand, keep off it,} and take all photos again.",
  ],
  "body-placed-again": [
    "The {body} stood elsewhere in part of the photos: {count|photo|photos} {photos} {count|shows|show} it {shift:mm0} from where it stands from photo {after} on.",
    "{body?car=If it was rolled or turned for a second position, say which photos belong to which position. If not, chock the wheels and take all photos again.|*=Take out the photos of the place where it no longer stands, or take all photos again.}",
  ],
  "board-two-places": [
    "Board {board:board} lies in two places, {apart:mm0} apart: {count|photo|photos} {photos} {count|shows|show} it elsewhere than the others.",
    "Look for a second print of this number and take it out of the bay. If the board was moved, take all photos of it again.",
  ],
  "floor-board-off-plane": [
    "The floor at board {board:board} lies {rise:mm1} {way} the plane of the others (stated unevenness {stated:mm1}).",
    "Look under the board; if the floor is really so, state its unevenness.",
  ],
  "floor-differs": [
    "The floor under the target lies {rise:mm1} {way} than under the car. The sheet counts heights from the {counted}.",
    "Make sure that the procedure means the same floor.",
  ],
  "methods-agree": [
    "Two methods agree: {what:said} are {gap:mm1} apart (standard uncertainty {sd:mm1}).",
    "",
  ],
  "methods-disagree": [
    "Two methods disagree: {what:said} are {gap:mm1} apart (standard uncertainty {sd:mm1}).",
    "Drop the point again and check that the plate sits flat on the rim.",
  ],
  "plate-sits-badly": [
    "The plate on the {place} wheel is {what?tilt=tilted by {amount:amount}|*={amount:amount} off the spindle}, far more than stated: it sits badly, or it slipped between the positions.",
    "Seat the plate again and photograph both positions again.",
  ],
  "sheet-bent": [
    "The sheet is bent by {size:mm1} over its length; the bend was estimated along, at a loss of accuracy, and only a simple bend can be.",
    "Glue the sheet to something flat, or show it on a flat screen, and take the photos again.",
  ],
  "sheet-no-width": [
    "Placement sheet, {about:path}: lower and upper deviation are both {lower:stated}; no measurement can prove a tolerance without width.",
    "State the tolerance of the procedure, for instance −5 and 5.",
  ],
  "sheet-lower-above-upper": [
    "Placement sheet, {about:path}: the lower deviation {lower:stated} lies above the upper {upper:stated}.",
    "Swap them, or correct the sign.",
  ],
  "sheet-required-outside": [
    "Placement sheet, {about:path}: the required value itself is outside its tolerance ({lower:stated} to {upper:stated}). Are these deviations, not limits?",
    "Enter deviations from the required value, for instance −5 and 5.",
  ],
  "sheet-negative": [
    "Placement sheet, {about:path}: {kind:word} of {required:stated} is {behind?yes=behind the line, though the target faces the car from ahead.|*=negative.}",
    "Take the minus sign away, or confirm it.",
  ],
  "sheet-unit": [
    "Placement sheet, {about:path}: {kind:word} of {required:stated} is unusual.{typed?mm={guess?=|*= Is it {guess}?}|*= Is that the right unit?}",
    "{typed?mm=All lengths are millimetres.|*=Lengths are typed in inches here; the sheet's file holds millimetres.} Correct the number, or confirm it.",
  ],
  "sheet-tolerance-size": [
    "Placement sheet, {about:path}: a tolerance {width:stated} wide is unusually {size} for {kind:word}. Right unit?",
    "Enter signed deviations from the required value.",
  ],
  "second-position-asked": [
    `The placement sheet asks for a second position{known?no= of the car, and none counts|*=}. {known?no=|*=${oneDoubt}}`,
    rollAgain,
  ],
  "second-position-helps": [oneDoubt, rollAgain],
  "second-position-brought": [
    'Run-out compensation: "{check:said}" was {was:amount} ± {unsure:amount} by the first position alone and is {is:amount} ± {sure:amount} with all positions.',
    "",
  ],
  "acceptance-on": ["Last acceptance test: {date}, passed, errors up to {error:mm1}.", ""],
  "acceptance-failed": [
    "The acceptance test of {date} failed: lengths were off by more than their limits, up to {error:mm1}.",
    "Find out why, put it right, and take the test again before you rely on a verdict.",
  ],
  "accept-short": [
    "The longest tested length is {longest:mm0}, less than two thirds of the {diagonal:mm0} from end to end of the boards.",
    "Measure a length from one end of the layout to the other.",
  ],
  "accept-flat": [
    "The boards lie nearly in one plane ({height:mm0} thick): heights are hardly tested.",
    "Put boards on stand and wall, too, and measure lengths up to them.",
  ],
  "accept-zero-error": [
    "{instrument} reads every length {zero:mm1} off, short ones like long ones (beyond {limit:mm1}): its hook or zero point is worn, or was laid on wrongly.",
    "Measure again from a line of the scale, not from the hook, or with another instrument.",
  ],
  "accept-scale-error": [
    "{instrument} and the photos differ by {error:mm2} in every metre (beyond {limit:mm2}): the print check, a length that gives the scale, or {instrument} is wrong.",
    "Read the bars of the print check again, and measure one long length by a third means.",
  ],
  "accept-instruments-disagree": [
    "{instruments} differ by {apart:mm2} in every metre.",
    "Measure one long length with both, one after the other, and find the wrong one.",
  ],
  "accept-scatter": [
    "The rounds differ more than a job would state: standard deviation {sd:mm2}, stated {stated:mm2}.",
    "Look whether a board was touched between the rounds, and whether all lie flat and firm.",
  ],
  "accept-board-moved": [
    'Board {board:board} lay {shift:mm1} elsewhere in "{after}" than in "{before}".',
    "Fix the board, measure its lengths again, and take both rounds again.",
  ],
  "teach-points-close": [
    "The pointers' tips are too near to each other or to one line: {across:mm0} apart sideways, {up:mm0} upwards; at least {least:mm0} are needed.",
    "Lay them farther apart on the face, near its edges, and take the photos again.",
  ],
  "teach-too-unsure": [
    "Where the target is against board {board:board} is known to {shift:mm1} and {turn:deg1} only (standard deviations): too little to place it by.",
    "Lay the tips farther apart on the face, hold them more exactly, and take more photos from different sides.",
  ],
};

/** Advice is several sentences, shown only if all are here; methods stand inside remarks. */
const said: Readonly<Record<MeasuredSaid | AdviceCode | MethodCode | "stability-moved", string>> = {
  "advice-because": "Most of the uncertainty ({share:pct0} of its variance) is {source}.",
  "advice-outside":
    "The measured value is outside the tolerance: make the move, then shoot the stand again.",
  "advice-nearer": "A value nearer to the middle of the tolerance would prove it. Or else:",
  "advice-inside": "A value farther inside the limit would prove it. Or else:",
  "advice-cannot":
    "Even a value at the middle of the tolerance could not be proven with this uncertainty.",
  "advice-enough": "That alone can be enough.",
  "advice-not-enough": "That alone is not enough: the next largest share must fall too.",
  "advice-needed": "A standard uncertainty of {needed:fine} is needed, it is {sd:fine}.",
  "mend: image":
    "Take more photos, nearer and from more sides, with car boards and stand boards together.",
  "mend: lens":
    "Do the camera step again with more photos of the camera sheet, filling the picture.",
  "mend: focus and stabilisation":
    "Take more photos from different places; each averages the phone's own focus and shift.",
  "mend: hand motion":
    "Hold the phone still with both hands, leaning on something, and take more photos.",
  "mend: print scale":
    "Measure the check bars of the prints with a steel rule, or add a longer length.",
  "mend: board flatness": "Glue the boards to something flat and state it.",
  "mend: length reference":
    "Measure a longer length between two boards, with a better tape or twice.",
  "mend: floor": "Put more floor boards by the wheels and under the target.",
  "mend: wheel plates":
    "Roll the car by about half a turn of the wheels and photograph the wheel plates again.",
  "mend: target offset": "Teach the target again, with a pointer board on its reference point.",
  "mend: other": "Mark the dropped points again with a finer plumb bob.",

  "stability-board": "board {board:board} by {shift:mm1} (± {expanded:mm1})",
  "stability-moved": "Moved since the first photos: {boards:said}.",
  "stability-still": "None of the {count} boards moved by more than {least:mm1} (95 %).",

  "plan-shot":
    "{posture?kneeling=Kneel|arms up=Stand, phone held up high,|*=Stand, phone at the chest,} {asideWay?none=|left={aside:mm0} left |*={aside:mm0} right }{both?yes=and |*=}{aheadWay?none=|ahead={ahead:mm0} ahead |*={ahead:mm0} behind }{some?yes={aheadWay?behind=|*=of}|*=at} the {near}, lens {height:mm0} high, phone {held?upright=upright|*=on its side, level}; in the picture: boards {boards}.",
  "plan-floor-board":
    "Board {board}: {aheadWay?none=level with the front axle|ahead={ahead:mm0} ahead of the front axle|*={ahead:mm0} behind the front axle}, {asideWay?none=on the centreline|left={aside:mm0} left of the centreline|*={aside:mm0} right of the centreline}.",
  "plan-length":
    "Measuring from board {from} to board {to} to {sd:mm0} would make “{check}” surer: ± {with:amount} instead of ± {without:amount}.",
  "plan-slip":
    "A board that slips by {slip:mm0} between two of these photos is sure to be noticed.",

  "cross-agree":
    "Agrees with {by}: {gap:amount} apart, within the {room:amount} that both uncertainties allow (En {en:n2}).",
  "cross-disagree":
    "Does not agree with {by}: {gap:amount} apart, more than the {room:amount} that both uncertainties allow (En {en:n2}). One of the two is wrong or surer than it should be; measure both again.",

  "method-hub":
    "the {place} hub's dropped point and its wheel plate, {way?along=along|across=across} the car",
  "method-point": 'the dropped point "{name}" and the centreline',
  "method-axle": "the {place}-axle midpoint and the centreline through the dropped points",
};

export const measuredEn = { remarks, said };

/** The verdict first, and the moves as hands do them. */
export const verdictTexts = {
  "inside.middle": "inside the tolerance, at its middle",
  "inside.limit": "inside the limit",
  "inside.ahead": "inside the tolerance, {amount} ahead of its middle",
  "inside.behind": "inside the tolerance, {amount} behind its middle",
  "inside.left": "inside the tolerance, {amount} left of its middle",
  "inside.right": "inside the tolerance, {amount} right of its middle",
  "inside.above": "inside the tolerance, {amount} above its middle",
  "inside.below": "inside the tolerance, {amount} below its middle",
  "inside.counterClockwise":
    "inside the tolerance, turned {amount} counter-clockwise from its middle, seen from above",
  "inside.clockwise":
    "inside the tolerance, turned {amount} clockwise from its middle, seen from above",
  "inside.looksUp": "inside the tolerance, face {amount} up from its middle",
  "inside.looksDown": "inside the tolerance, face {amount} down from its middle",
  "inside.leftHigh": "inside the tolerance, left end high by {amount} from its middle",
  "inside.rightHigh": "inside the tolerance, right end high by {amount} from its middle",
  "inside.more": "inside the tolerance, {amount} more than its middle",
  "inside.less": "inside the tolerance, {amount} less than its middle",

  "verdict.byNumber": "Doubtful; the number alone says: {verdict}.",
  "verdict.next": "Next",
  "verdict.nextRun":
    "Run the calibration on the scan tool. Touch nothing. Then photograph stand and wheels again.",
  "verdict.nextAfter": "Photograph after the run",
  "verdict.nextMove": "Make the moves below, one after the other, then photograph the stand again.",
  "verdict.nextProve": "Nothing has to move yet: it has to be measured better.",
  "verdict.nextDoubt": "Put right what stands against the verdict.",
  "verdict.nextRecord": "Finish the record.",
  "verdict.figures": "The figures",
  "verdict.measured": "Measured {measured}, sure to ± {uncertainty} (95\u00a0%).",
  "verdict.probability": "Probability of meeting: {probability}.",
  "verdict.cautions": "What else was noticed ({count})",
  "verdict.allBelow": "Sheet and step",

  "moves.close": "Close",
  "moves.wholeStand": "whole stand",
  "moves.inOrder":
    "One after the other; each counts from where the stand is then. Drawn from above, the car's front to the right.",
  "drawing.car": "car",
  "word.left end": "left end",
  "word.right end": "right end",

  "was.title": "Before the move and now",
  "was.moved": "The stand has moved: {what}.",
  "was.still": "No move can be seen: all values are as before, within what is sure.",
  "was.was": "was",
  "was.now": "is now",
  "was.by": "{name} by {amount}",

  "aloud.on": "Read aloud",
  "aloud.off": "Stop reading aloud",
} as const;

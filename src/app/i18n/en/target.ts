/** The target on its stand: taught by photos, taken from the shop, or typed. */
export const targetTexts = {
  "target.viewFront": "from the front",
  "target.where": "Where “{name}” is on its stand",
  "target.why":
    "Photos find the boards on the stand. Once per target, the tool must learn where the target is from them.",
  "target.fromShop": "A target of this shop",
  "target.byPhotos":
    "By photos, the surest way: the tips of three pointer boards touch the target's middle, a point to the right of it and one above it.",
  "target.byRuleExplain":
    "With a rule: three dimensions per board, measured from the target's middle to the board's middle.",
  "target.byRule": "Type what the rule says",
  "target.incomplete": "A dimension is still missing.",
  "target.measureTo":
    "From the middle of the target to the middle of board {board}, seen from the front.",
  "target.nextBoard": "Next: board {board}",
  "target.removeBoard": "Remove this board",
  "target.addBoard": "Add board {board}",
  "target.remove": "Remove this target from the job",
  "target.sure": "Boards sit where it says within ± {mm} and ± {angle}",
  "target.sureExplain":
    "95 of 100 such boards lie within this. For a rule and an eye: ± {mm} and ± {angle} (common practice, no source).",
  "target.sureShift": "Place, ±",
  "target.sureTurn": "Turned against the face, ±",
  "target.feet": "Feet of the stand ({count})",
  "target.feetExplain":
    "With them, a move says which foot goes where. Measured from the target's middle; the floor is below it.",
  "target.addFoot": "Add a foot",
  "target.foot": "foot {number}",
  "target.footLeft": "left foot",
  "target.footRight": "right foot",
  "target.footFar": "far foot",
  "target.pointersHeard":
    "Pointer board {reference} touches the middle of the target, {right} a point to the right, {above} a point above.",

  "offset.sideways": "From the middle to the side",
  "offset.upDown": "Above or below the middle",
  "offset.inOut": "In front of the face or behind",
  "offset.left": "left of the middle",
  "offset.right": "right of the middle",
  "offset.above": "above it",
  "offset.below": "below it",
  "offset.inFront": "in front",
  "offset.behindFace": "behind",
  "offset.words": "{amount} {side}",
  "offset.missing": "?",

  "stage.sheet": "Sheet and target",
  "next.sheet": "Copy the numbers of the maker's page, and say where the target is on its stand.",
  "status.sheetDone": "{count} {count|number|numbers}, target known",
  "status.sheetNoTarget": "target on its stand not known",
  "status.sheetOpen": "numbers missing or in doubt",
} as const;

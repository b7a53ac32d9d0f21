export const recordTexts = {
  "stability.title": "Did anything move during the run?",
  "stability.none": "Photograph the bay again after the run, and it is worked out here.",
  "stability.nothing": "nothing moved",
  "stability.moved": "moved",
  "stability.notProven": "not proven",

  "record.after": "After the run",
  "record.who": "Who, by which procedure",
  "record.technician": "Technician",
  "record.shop": "Shop",
  "record.procedure": "Procedure",
  "record.procedureHint": "Document, revision, and when it was read.",
  "record.scanBefore": "Scan before the work",
  "record.scanAfter": "Scan after the work",
  "record.note": "Note",
  "record.close": "Close the record",
  "record.closedAt": "Closed {when}",
  "record.reopen": "Open it again",
  "record.keep": "Print and save",
  "record.keepExplain":
    "The print carries everything that led to the verdict. The job file carries the photos too: any Plumbshot opens it and works out the same numbers.",
  "record.print": "Print",

  "paper.checks": "Checks",
  "paper.open": "{count} of {of}",
  "paper.title": "Record of target placement",
  "paper.measured": "Measured",
  "paper.camera":
    "Camera: {phone}. {photos} photos, {boards} boards in one least-squares adjustment, redundancy {redundancy}. Uncertainties are expanded (95\u00a0%); verdicts by conformance probability (JCGM 106).",
  "paper.caution":
    "This record says where the target stood. It does not say that a sensor is calibrated: only the end of the vehicle maker's procedure says so.",
  "paper.date": "Date",
  "paper.signature": "Signature",
  "paper.photos": "Photos and what was found in them",
  "paper.boards": "Boards",
  "paper.yes": "done",
  "paper.notDone": "not marked",
} as const;

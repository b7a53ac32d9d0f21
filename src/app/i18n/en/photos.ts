export const photosTexts = {
  "photos.add": "Add photos",
  "photos.howTo":
    "Walk around car and target. Three or more boards in each photo, every board in three or more photos, neighbours overlapping. Same phone and lens as for the sheet.",
  "photos.addAfter": "Add photos after the run",
  "photos.howToAfter":
    "Before anything is touched: photograph the stand with the floor boards around it, and the wheels, from four or more places. Then it is worked out whether anything has moved.",
  "photos.take": "Take a photo",
  "photos.choose": "Choose photos",
  "photos.drop": "Or drop files here.",
  "photos.adding": "Storing {count} {count|photo|photos}",
  "photos.where": "Before or after, car position",
  "photos.epoch": "These photos are taken",
  "photos.before": "before the run",
  "photos.after": "after the run",
  "photos.epochHint": "Photos after the calibration run prove that nothing moved.",
  "photos.position": "Car position",
  "photos.positionNumber": "Position {number}",
  "photos.positionHint":
    "A second position (car rolled by half a wheel turn) removes the plates' own error.",
  "photos.groupBefore": "Before the run, position {number}",
  "photos.groupAfter": "After the run, position {number}",
  "photos.removed": "{count} {count|photo|photos} put aside.",
  "photos.setupNote":
    "The stand was moved: {count} {count|photo shows|photos show} it where it stands now.",
  "photos.positionKind": "Between the positions",
  "photos.rolled": "the car was rolled",
  "photos.turned": "the wheels were turned",

  "photo.working": "being examined",
  "photo.waiting": "waiting",
  "photo.unusable": "cannot be used",
  "photo.boards": "{count} {count|board|boards}",
  "photo.sheetFound": "sheet found",
  "photo.noSheet": "no sheet found",
  "photo.remove": "Remove photo",
  "photo.all": "All photos",
  "photo.previous": "Previous photo",
  "photo.following": "Next photo",
  "photo.found": "{count} {count|board|boards} found",
  "photo.nothingHelp":
    "No board was found. Go nearer, hold still, and keep whole boards with their white margin in the picture.",
  "photo.showPoints": "Show points",
  "photo.drawingHeard": "Photo with {count} {count|board|boards} marked",
  "photo.board": "Board",
  "photo.grade": "Use",
  "photo.cell": "Cell",
  "photo.slant": "Slant",
  "photo.residual": "Residual",

  "grade.good": "good",
  "grade.weak": "weak",
  "grade.notUsed": "not used",

  "refused.video": "{name} is a video. Take single photos instead.",
  "refused.notImage":
    "{name} is not a photo this tool can read. JPEG photos straight from the camera are best.",
  "refused.notReadable":
    "{name} cannot be read: this device gives its name, but not its content. Copy it again.",
  "refused.notStored": "{name} was not stored. Add it again.",
  "refused.empty": "{name} is empty. Copy it again.",
  "refused.twice": "{name} is in this job already; it was not added again.",
} as const;

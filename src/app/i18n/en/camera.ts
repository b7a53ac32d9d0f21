export const cameraTexts = {
  "camera.source": "Lens of this phone",
  "camera.sourceLabel": "Where the lens comes from",
  "camera.fromSheet": "Sheet photos",
  "camera.fromProfile": "Saved profile",
  "camera.fromOwn": "The job's own photos",
  "camera.fromSheetHint":
    "Eight to fourteen photos of the camera sheet: five minutes, once per phone.",
  "camera.fromProfileHint": "From an earlier job with the same phone, lens and photo size.",
  "camera.fromOwnHint": "Possible with many boards all over the photos; costs certainty.",
  "camera.sheetPhotos": "Photos of the camera sheet",
  "camera.sheetHowTo":
    "Lay the printed sheet flat, or show it on a flat screen. Same phone, same lens, no zoom.",
  "camera.openSheet": "Camera sheet (in the kit)",
  "camera.onScreen": "Show the sheet on this screen",
  "camera.coverage": "Where in the frame the sheet has been seen so far",
  "camera.lens": "The lens",
  "camera.phone": "Phone",
  "camera.size": "Photo size",
  "camera.focal": "Focal length",
  "camera.residual": "Residual",
  "camera.photoCount": "Photos",
  "camera.at4m": "Its share at 4 m (95 %)",
  "camera.made": "Made",
  "camera.keep": "Keep for later jobs",
  "camera.kept": "Kept for later jobs",
  "camera.profiles": "Saved profiles",
  "camera.noProfiles": "No profile is kept on this device yet.",
  "camera.unnamed": "Phone without a name",
  "camera.forget": "Forget profile",

  "guide.first": "First photo: the whole sheet, straight on, filling most of the picture.",
  "guide.slant":
    "Now {count} more at a slant: look at the sheet at about 35 degrees, from other sides.",
  "guide.topLeftBetter":
    "Good enough. One more with the sheet in the top left corner would make the lens surer there.",
  "guide.topLeft": "Next: the sheet in the top left corner of the picture.",
  "guide.topRightBetter":
    "Good enough. One more with the sheet in the top right corner would make the lens surer there.",
  "guide.topRight": "Next: the sheet in the top right corner of the picture.",
  "guide.bottomLeftBetter":
    "Good enough. One more with the sheet in the bottom left corner would make the lens surer there.",
  "guide.bottomLeft": "Next: the sheet in the bottom left corner of the picture.",
  "guide.bottomRightBetter":
    "Good enough. One more with the sheet in the bottom right corner would make the lens surer there.",
  "guide.bottomRight": "Next: the sheet in the bottom right corner of the picture.",
  "guide.more":
    "Good so far. {count} more from other places, some with the phone turned on its side.",
  "guide.failed": "The photos do not give a lens yet: see below which photo is wrong.",
  "guide.wait": "Enough sheet photos; the lens is being worked out.",
  "guide.enough": "Enough sheet photos.",
} as const;

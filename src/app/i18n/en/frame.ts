export const frameTexts = {
  "action.keep": "Keep it",
  "action.tryAgain": "Try again",
  "action.understood": "Understood",
  "action.undo": "Undo",

  "frame.skip": "To the main part",

  "needs.vectors": "This browser cannot measure photos.",
  "needs.vectorsExplain":
    "It lacks WebAssembly with 128-bit vectors. Update it, or use a browser of the middle of 2023 or later. Lockdown Mode of a phone takes it away, too: switch it off for this page.",
  "needs.storage": "This browser stores nothing for this page, so no job can be kept.",
  "needs.storageExplain":
    "Allow this page to store data (cookies and site data), or use another browser.",

  "notice.caution": "Caution.",
  "notice.stop": "Stop.",

  "stage.car": "Car",
  "stage.bay": "Bay",
  "stage.boards": "Boards",
  "stage.camera": "Camera",
  "stage.photos": "Photos",
  "stage.placement": "Placement",
  "stage.record": "Record",

  "next.car": "Say which car this is and go through the checks before starting.",
  "next.bay": "Check floor, space and light of the bay.",
  "next.boards": "Type what the ruler says on the printed bars, and one long measured length.",
  "next.camera": "Photograph the camera sheet once, so that this phone's lens is known.",
  "next.photos": "Lay out the boards and photograph them from all around.",
  "next.placement": "Choose the placement sheet and read the verdict.",
  "next.move": "Move the stand as shown, then photograph it again.",
  "next.reshoot": "The stand was moved: photograph it where it stands now.",
  "next.step": "This step stands right: go on with the next step of the sheet.",
  "next.record": "Finish the record, print it and save the job as a file.",

  "status.done": "done",
  "status.next": "Do this now",
  "status.carUnnamed": "no car named yet",
  "status.checksOpen": "{count} {count|check|checks} open",
  "status.checksDone": "all checks done",
  "status.printUnchecked": "print not checked",
  "status.noLength": "no measured length yet",
  "status.boardsDone": "print checked, {count} {count|length|lengths}",
  "status.cameraOwn": "lens from the job's own photos",
  "status.cameraProfile": "saved profile chosen",
  "status.cameraNone": "lens not known yet",
  "status.cameraFailed": "the sheet photos do not give a lens",
  "status.cameraRunning": "being worked out",
  "status.cameraFew": "{count} of at least {least} sheet photos",
  "status.cameraMore": "lens from {count} sheet {count|photo|photos}, more are asked for",
  "status.cameraSheet": "lens from {count} sheet {count|photo|photos}",
  "status.noPhotos": "no photos yet",
  "status.reshoot": "the moved stand is not photographed yet",
  "status.stepStands": "step {number} of {count} stands right",
  "status.photosOpen": "{open} of {count} still to examine",
  "status.photosDone": "{count} {count|photo|photos} examined",
  "status.photosSome": "{count} {count|photo|photos} examined, {useless} of no use",
  "status.noSheet": "no placement sheet",
  "status.noResult": "no result: see why",
  "status.notMeasured": "not measured yet",
  "status.closed": "closed",

  "outcome.allMeet": "All checks meet",
  "outcome.someMiss": "Does not meet yet",
  "outcome.notProven": "Not proven yet",
  "outcome.open": "not measured",

  "verdict.meets": "meets",
  "verdict.misses": "misses",
  "verdict.notProven": "not proven",

  "trouble.otherTab": "This job is open in another tab.",
  "trouble.otherTabExplain": "Here you can only look, so that nothing is overwritten.",
  "trouble.takeOver": "Go on in this tab",
  "trouble.changed": "Another tab has changed this job. The last change here is not stored yet.",
  "trouble.changedExplain": "Choose which of the two is kept. Photos of both are kept anyway.",
  "trouble.takeTheirs": "Keep what the other tab stored",
  "trouble.keepMine": "Keep what is shown here",
  "trouble.full": "This device has no room left for photos.",
  "trouble.fullExplain":
    "Nothing that was stored is lost. Save older jobs as files, delete them here, then try again.",
  "trouble.engine": "The measuring part could not run.",
  "trouble.engineExplain":
    "Its code could not be loaded or stopped. Check the network if this is the first use; all photos and findings are kept.",

  "work.loading": "Loading the vision code: {percent} %",
  "work.starting": "Starting the vision code",
  "work.photos": "Examining photos: {done} of {count}",
  "work.camera": "Working out the lens",
  "work.adjustment": "Measuring: everything in one adjustment",
  "work.stop": "Stop",
  "work.paused": "Stopped. {open} {open|photo|photos} still to examine.",
  "work.resume": "Go on",

  "update.ready": "A newer version is ready. It is used the next time the app starts.",
  "update.use": "Use it now",

  "offline.unsupported":
    "No offline use here: the address must begin with https, or be this machine itself.",
  "offline.starting": "Getting ready for offline use.",
  "offline.shell": "Works offline; the vision code is still being stored.",
  "offline.all": "Works offline, vision code and prints included.",

  "storage.used": "{used} MB used of about {quota} MB that this browser allows.",
  "storage.low": "This device has only {left} MB left for photos.",
  "storage.persisted": "The browser has promised not to delete the jobs on its own.",
  "storage.notPersisted":
    "The browser may delete the jobs when room is short or after a week without use.",
  "storage.ask": "Ask the browser to keep them",
  "storage.refused":
    "The browser did not promise it. Install the app to the home screen, and save jobs as files.",
} as const;

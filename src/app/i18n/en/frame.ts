export const frameTexts = {
  "action.keep": "Keep it",
  "action.tryAgain": "Try again",
  "action.understood": "Understood",
  "action.undo": "Undo",

  "frame.skip": "To the main part",

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
  "status.cameraSheet": "lens from {count} sheet {count|photo|photos}",
  "status.noPhotos": "no photos yet",
  "status.photosOpen": "{open} of {count} still to examine",
  "status.photosDone": "{count} {count|photo|photos} examined",
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

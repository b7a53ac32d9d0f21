export const liveTexts = {
  "live.title": "Through the camera",
  "live.open": "Look through the camera",
  "live.explain":
    "The picture tells what the boards look like from here. It guides only: the photo itself is taken with the phone's own camera.",
  "live.back": "Back to the photos",
  "live.starting": "The camera starts",
  "live.loading": "Loading the vision code",
  "live.seen": "{count} {count|board|boards} in view",
  "live.torch": "Lamp",
  "live.lens": "Lens",
  "live.lensNote":
    "Stay with one lens: another one is another camera and needs its own sheet photos.",
  "live.lensChanged":
    "The lens was changed from {before} to {now}. Photos through another lens need their own sheet photos.",
  "live.counts": "Photos per board",
  "live.countsNone": "No board is known yet. Hold the phone so that boards come into view.",
  "live.take": "Take it now with the phone's camera",
  "live.auto": "Photo from this page, by itself when still",
  "live.autoHint":
    "Photos from this page are a camera of their own. Take the sheet photos here as well, and none with the phone's own camera in this job.",
  "live.autoTaken": "{count} {count|photo|photos} taken from this page",
  "live.check": "Check this phone for photos from the page",
  "live.checking": "Two photos are being compared",
  "live.checkSmall":
    "Photos from this page have only {width} x {height} px here. Use the phone's own camera.",
  "live.checkUnsteady":
    "Two photos from this page differ in size or in the places of boards. Use the phone's own camera.",
  "live.checkNothing": "Hold two boards or more in view and still, then check again.",
  "live.checkGood":
    "Two photos of {width} x {height} px agree to {px} px. This page may take photos.",
  "advice.none": "No board in view",
  "advice.closer": "Closer: board {board} is too small",
  "advice.flat": "Board {board} is seen too flat: go round it",
  "advice.glare": "Glare on board {board}: step aside",
  "advice.hold still": "Hold still",
  "advice.more boards": "Only {count} in view: three or more",
  "advice.wanted": "Still needed: board {board}",
  "advice.nothing new": "Enough of these: go on to the next place",
  "advice.good": "Good: take the photo",
  "camera.problem.insecure":
    "The browser gives the camera only to pages with a certificate that it trusts. Open Plumbshot by https (npm start -- --https on the computer), or take photos with the phone's own camera.",
  "camera.problem.no camera":
    "No camera was found. Use a phone, or take photos with its own camera and choose them.",
  "camera.problem.denied":
    "The camera was refused. Allow it for this page in the browser's settings (the sign beside the address), then try again. iPhones ask every time: allow it each time.",
  "camera.problem.busy":
    "Another app holds the camera. Close the other app, or the other tab, then try again.",
  "camera.problem.too coarse":
    "This stream is too coarse to see boards at a distance. Choose another lens, or take photos with the phone's own camera.",
  "camera.problem.stopped": "The camera was taken away. Try again.",
  "camera.problem.unknown": "The camera does not start. Try again, or start the phone anew.",
  "camera.again": "Try again",
  "watch.title": "Watch during the run",
  "watch.explain":
    "Phone on a tripod or wedged firm, stand and two or three floor boards in view, none of them covered. Then let nobody touch it.",
  "watch.open": "Watch the stand",
  "watch.start": "Start watching",
  "watch.stop": "Stop and keep the log",
  "watch.settling": "Settling: {count} more",
  "watch.quiet": "Nothing has moved",
  "watch.hasMoved": "Something moved: see the list",
  "watch.quietLong": "Watched for {minutes} min; {count} {count|board|boards} in view.",
  "watch.moved":
    "{body} moved: {sideways} ± {sidewaysU} sideways, {depth} ± {depthU} in depth. Stop the run, put it right, measure again.",
  "watch.stand": "The stand",
  "watch.board": "Board {board}",
  "watch.phone moved":
    "The phone was touched ({px} px). The boards kept their places to each other.",
  "watch.begun anew":
    "The phone was moved. Watching begins anew; whether the stand moved meanwhile is not known. Take photos after the run.",
  "watch.hidden": "Board {board} has been hidden for {seconds} s.",
  "watch.not seen": "The page was out of sight for {seconds} s: nothing was watched then.",
  "watch.watching": "Watching {count} {count|board|boards}.",
  "watch.noAnchor": "No floor board in view: a touched phone cannot be told from a moved stand.",
  "watch.seen": "Understood",
  "watch.chart": "{board}: movement, last ten minutes. Shaded: what noise alone does.",
  "watch.sideways": "right",
  "watch.down": "down",
  "watch.depth": "away",
  "watch.kept": "The log is kept with the record's files.",
  "watch.caution":
    "An aid: it says that something moved. Whether nothing moved is proven by the photos after the run.",
  "level.title": "Level a bar with the phone",
  "level.open": "Level the bar with the phone",
  "level.explain":
    "Stand the phone with a long edge on the bar, screen towards you, and read. Turn it end for end, same edge on the bar, screen away from you, and read again. What phone and case add cancels.",
  "level.first": "First face: set it down, then read",
  "level.second": "Now turn it end for end, then read",
  "level.reading": "Three seconds: do not touch it",
  "level.read": "Read",
  "level.again": "Begin again",
  "level.result": "{angle} ± {u} ({slope} ± {slopeU} in {length})",
  "level.topHigher": "The end where the phone's top was first is higher.",
  "level.topLower": "The end where the phone's top was first is lower.",
  "level.noTilt": "No tilt beyond what this phone can tell.",
  "level.none":
    "The phone gives no motion to this page. Open it by https, allow motion when asked, or use a bubble level.",
  "level.too few": "Too few readings came. Read again.",
  "level.shaken": "The phone was not at rest. Let go of it and read again.",
  "level.not on edge": "The phone does not stand on a long edge. Set it up and read again.",
  "level.caution":
    "An aid for setting the bar: it enters no measurement. The photos decide whether the target is level.",
} as const;

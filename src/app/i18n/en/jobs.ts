export const jobsTexts = {
  "jobs.title": "Jobs",
  "jobs.welcome": "Put the target where it belongs, and prove it",
  "jobs.new": "New job",
  "jobs.demo": "Try the demo job",
  "jobs.search": "Search by car, plate, customer or date",
  "jobs.noneFound": "No job fits “{search}”.",
  "jobs.untitled": "Job without a name",
  "jobs.invented": "invented",
  "jobs.inventedLong": "Invented car, bay and numbers. Never use them on a car.",
  "jobs.delete": "Delete job",
  "jobs.deleteAsk": "Delete “{title}” from this device?",
  "jobs.deleteExplain":
    "Its photos and its result are deleted too. A saved job file is not touched.",
  "jobs.unreadable": "One stored job cannot be read: {reason}. It is kept as it is.",

  "demo.copying": "Copying the sample photos to this device",
  "demo.failed":
    "The sample photos cannot be loaded ({reason}). They need the network the first time.",

  "teach.lead":
    "With this phone and printed paper you find the car's own lines and see where the target stands against them: as a distance and a turn, with an honest error.",
  "teach.print": "Print the boards",
  "teach.printText":
    "At 100 %, on matt paper, glued to something flat. Measure the printed bars once.",
  "teach.lay": "Lay them out",
  "teach.layText": "Four on the wheels, six or more on the floor, two on the target's stand.",
  "teach.shoot": "Take a dozen photos",
  "teach.shootText":
    "From all around, three or more boards in each. The phone does the rest, offline.",
  "teach.read": "Read the verdict and the move",
  "teach.readText":
    "“{amount} to the left, turn 0.7° clockwise.” Move, photograph the stand again, done.",
  "teach.sketch": "Sketch from above: a car, boards on wheels and floor, a target ahead",
  "teach.caution":
    "The vehicle maker's procedure and the law of the place go before this tool. A sensor is calibrated only when the procedure itself says so.",

  "job.missing": "This job is not on this device",
  "job.missingHelp":
    "It may have been deleted, or it lies on another device. If it was saved as a file, open that file on the page of jobs.",
  "job.unreadable": "This job cannot be read: {reason}",
  "job.unreadableHelp":
    "It is kept as it is. If a newer version of this tool wrote it, use that version; otherwise open a saved file of this job.",
  "job.overview": "Overview",
  "job.stages": "Stages of the job",

  "block.car": "Car",
  "block.reason": "Reason",
  "block.opened": "Opened",
  "block.technician": "Technician",

  "backup.save": "Save job as a file",
  "backup.saving": "Saving",
  "backup.open": "Open a job file",
  "backup.failed": "The job could not be saved as a file. {reason}",
  "backup.unreadable": "{name} cannot be opened: {reason}.",
  "backup.leftOut": "Not opened, because it is no photo or result of this tool: {names}",
  "backup.missing": "Not in the file, because this device no longer has it: {names}",
  "backup.noZip": "it is not a zip file",
  "backup.cutOff":
    "its end is missing: it was cut off when it was copied or sent; get it once more",
  "backup.damaged": "it is damaged or ends too early",
  "backup.tooLarge": "it unpacks to more than any job takes",
  "backup.photoDiffers": "a photo is not the one that was saved",
  "backup.noJob": "it holds no job",
  "backup.newerVersion": "a newer version wrote it",
  "backup.notReadable": "it is damaged or of another kind",
  "backup.due": "{count} {count|job is|jobs are} on this device only.",
  "backup.why":
    "Some phones delete what a web page keeps after a week without use. A job saved as a file is safe.",

  "settings.title": "Settings",
  "settings.display": "Language and units",
  "settings.language": "Language",
  "settings.auto": "As the device",
  "settings.theme": "Paper",
  "settings.light": "light",
  "settings.dark": "dark",
  "settings.length": "Lengths",
  "settings.inch": "inches, decimal",
  "settings.inch16": "inches, 1/16",
  "settings.lengthHint":
    "Files always hold millimetres. Comma and point both work when typing. Sixteenths are for what a hand sets; measured values keep their decimals.",
  "settings.angle": "Angles",
  "settings.degrees": "degrees",
  "settings.mmPerM": "mm per metre",
  "settings.shop": "For new jobs",
  "settings.offline": "Offline and storage",
  "settings.about": "About",
  "settings.aboutText":
    "Everything is measured on this device. Nothing is sent anywhere, and the tool does not talk to the vehicle.",
  "settings.caution":
    "The maker's procedure and local rules govern. Trained people only. Wheels chocked, never under a car held by a jack alone; mind exhaust gas and lasers. In doubt measure again by another way.",
  "settings.licences":
    "Apache-2.0. Typeface Atkinson Hyperlegible Next, SIL Open Font License 1.1. Vision code OpenCV, Apache-2.0. HEIC photos: libheif and libde265, LGPL-3.0, a separate file that can be replaced.",
} as const;

/** What leaves the device and how, signing, backup and moving to another phone. */
export const keepingTexts = {
  "leaving.title": "Photos in it",
  "leaving.covered": "Covered copies",
  "leaving.boards only": "The boards only",
  "leaving.none": "No photos",
  "leaving.originals": "Originals, for proof",
  "leaving.hint.covered":
    "Small copies without camera data. Faces that this device finds, and whatever you brush over, are covered for good.",
  "leaving.hint.boards only": "Small copies in which everything but the boards is white.",
  "leaving.hint.none": "Numbers, inputs and the photos' hashes, without any picture.",
  "leaving.hint.originals":
    "Only with the originals can somebody else check the photos and measure them again. They show faces, number plates and everything around, and carry what the phone wrote into them: time, phone, and the place where it noted that. Hand them to nobody but an insurer, an expert or a court.",
  "leaving.unseen": "Nobody has looked at {count} of these photos so far.",
  "leaving.look": "Look at the photos",
  "leaving.close": "Do not make it",
  "handOver.makePdf": "Make the PDF",
  "handOver.makeArchive": "Make the archive",
  "paper.photoHeld": "not printed: nobody has looked at it for faces",
  "record.printPhotos":
    "Photos are printed with what was covered in them; those that nobody has looked at are left out (Copies of photos for others).",
  "share.askTitle": "Share the job's file with all photos?",
  "share.ask":
    "It holds the photos as they were taken: faces, number plates, and the place where the phone noted it. It is meant for another phone or computer of your shop. For a customer make the PDF, or copies of the photos.",
  "share.go": "Share with all photos",
  "backup.withheld":
    "it holds a record without its photos; it can be verified and read, not opened as a job",

  "sign.title": "Signing",
  "sign.explain":
    "With a key of this device every record is signed when it is closed. The key is made here and cannot leave the browser, not even in a backup.",
  "sign.proves":
    "A signature proves that whoever holds this device closed exactly this record, to everybody who knows the device's public key. It does not prove who that was: the key has no name that anybody has checked. Give the public key to your customers or insurer before it is needed, and compare the fingerprint by telephone.",
  "sign.none": "This device has no key; records are closed without a signature.",
  "sign.make": "Make a key",
  "sign.has": "Key made {when}. Fingerprint: {fingerprint}",
  "sign.export": "Save the public key",
  "sign.delete": "Delete the key",
  "sign.deleteAsk": "Delete this device's key?",
  "sign.deleteExplain":
    "What was signed stays signed and can be verified with the public key. Nothing more can be signed with this key, ever; a new one has another fingerprint.",
  "sign.insecure":
    "Signing needs a page opened by https or on the device itself: the browser makes no keys otherwise.",
  "sign.failed": "The key was not made: {reason}",
  "sign.signed": "signed, key {fingerprint}",
  "sign.unsigned": "not signed",
  "sign.now": "Sign",
  "sign.notSigned": "It was closed, but not signed: {reason}",
  "verify.key": "Check against a public key",
  "verify.keyWrong": "{name} is no public key of Plumbshot.",
  "verify.keyUsed": "Every revision must be signed by {owner}, key {fingerprint}.",
  "verify.anyKey": "Any key or none",
  "verify.ownKey": "The key {fingerprint} is this device's own.",

  "guide.open": "Field guide",

  "keep.title": "Backup of everything",
  "keep.explain":
    "One file with all jobs, photos, closed records, sheets, targets, profiles and settings of this device. Keep it on another device; it holds customers' data.",
  "keep.make": "Back up everything",
  "keep.making": "Writing the backup",
  "keep.made":
    "Backed up: {jobs} {jobs|job|jobs}, {photos} {photos|photo|photos}, {records} closed {records|record|records}.",
  "keep.missing": "This device could no longer read: {names}",
  "keep.last": "Last backup: {when}.",
  "keep.never": "There is no backup so far.",
  "keep.due":
    "{count} closed {count|record is|records are} on this device only, the oldest since {days} {days|day|days}.",
  "keep.dueWhy":
    "If the phone is lost, so is the proof. Some phones also delete what a web page keeps after a week without use.",
  "keep.go": "Back up",
  "keep.failed": "There is no backup: {reason}",
  "keep.restore": "Restore a backup",
  "keep.reading": "Checking every byte of the backup",
  "keep.restoreAsk": "Take in this backup of {when}?",
  "keep.restoreAdds": "New here: {count} {count|job|jobs}.",
  "keep.restoreReplaces": "Replaced by the backup's, which is newer: {names}",
  "keep.restoreKeeps": "Kept as they are here, because they are newer here: {names}",
  "keep.restoreDeleted": "Left out, because they were deleted for good here: {names}",
  "keep.restoreRecords":
    "Closed records that are not here yet: {count}. None that is here is changed.",
  "keep.restoreSettings":
    "Settings, sheets, targets and profiles of the same name are taken from the backup.",
  "keep.restoreAction": "Take it in",
  "keep.restored": "Everything was taken in.",
  "keep.refused": "{name} was not taken in, nothing was changed: {reason}.",
  "keep.problem.no zip": "it is not a zip file",
  "keep.problem.damaged": "it is damaged or ends too early ({detail})",
  "keep.problem.too large": "it unpacks to more than any backup takes",
  "keep.problem.no backup":
    "it is no backup of everything; a single job is opened in the list of jobs",
  "keep.problem.newer version": "a newer version wrote it ({detail})",
  "keep.problem.not readable": "a part of it cannot be read ({detail})",
  "keep.problem.file differs": "a part of it is not as it was saved ({detail})",
  "keep.problem.job open": "a job is open in another tab; close it first",
  "keep.moveTitle": "Moving to another phone",
  "keep.moveExplain":
    "Back up everything here, open the file on the other phone (Settings, Restore a backup), look whether all jobs are there, and only then delete everything here. The key for signing stays behind: make a new one on the other phone, and keep the old public key for what it has signed.",
  "keep.wipe": "Delete everything on this device",
  "keep.wipeAsk": "Delete everything for good?",
  "keep.wipeExplain":
    "All jobs, photos and closed records of this device, its key and its settings. Nobody can bring them back.",
  "keep.wipeUnsaved":
    "{count} closed {count|record is|records are} in no backup and would be lost.",
  "keep.wipeAction": "Delete everything",
} as const;

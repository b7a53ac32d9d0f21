import { type FaultCode, faultTexts } from "../../../replicate/faults/faults.ts";

/** The shop's store: what several phones and vans share, and what can go wrong with it. */
const faults = Object.fromEntries(
  Object.entries(faultTexts).map(([code, text]) => [`fault.${code}`, text]),
) as Readonly<Record<`fault.${FaultCode}`, string>>;

export const storeTexts = {
  ...faults,
  "store.title": "Shop",
  "store.lead":
    "Several phones and vans of one shop share closed records, photos, targets, lenses, plates, prints and sheets through a store of your own: network storage (WebDAV) or S3. Everything is sealed on this phone before it leaves; the store sees names and sizes only.",
  "store.none": "Without a store everything stays on this phone, as before.",

  "store.join": "Join with a code",
  "store.joinText":
    "On a phone that has the store: Shop, Add a device. Photograph its code here, or paste its text.",
  "store.joinPaste":
    "On a phone that has the store: Shop, Add a device. Copy the text of its code, send it to this device on a way that nobody else reads, and paste it here.",
  "store.panel": "Store",
  "store.code": "Text of the code",
  "store.joinNow": "Join",
  "store.photograph": "Photograph the code",
  "store.noCode": "This is no code of a shop's store. Copy all of it, from PLUMBSHOT: to the end.",
  "store.noCodeSeen": "No code is seen in this photo. Go closer, hold still, or paste its text.",

  "store.setUp": "Set up a store",
  "store.kind": "Kind of store",
  "store.kindWebdav": "WebDAV",
  "store.kindS3": "S3",
  "store.address": "Address",
  "store.addressHint": "For instance https://storage.example/dav/shop/. The folder must exist.",
  "store.addressHintS3": "The service without the bucket, for instance https://s3.example.",
  "store.user": "User name",
  "store.password": "Password",
  "store.bucket": "Bucket",
  "store.region": "Region",
  "store.accessKey": "Access key",
  "store.secretKey": "Secret key",
  "store.keyKind": "Shop key",
  "store.keyNew": "make a new one",
  "store.keyPhrase": "from a phrase",
  "store.keyText": "I have one",
  "store.keyHint":
    "The key seals everything. A new one is for the first device; a phrase must have 20 characters or more, for instance five words that nobody guesses.",
  "store.phrase": "Phrase",
  "store.keyEntry": "Key (43 characters, or the text of a key file)",
  "store.connect": "Connect",
  "store.connecting": "Connecting. A phrase takes up to half a minute.",
  "store.phraseShort": "The phrase is too short: 20 characters or more.",
  "store.addressWrong": "The address must begin with https:// or http://.",
  "store.forbidden":
    "This app may not speak to {origin}. Whoever runs it must start it with: npm start -- --store {origin}",
  "store.keepKey":
    "Keep the key: save it as a file and lay a copy where no fire reaches both. Without it nobody can open what is stored.",
  "store.saveKey": "Save the key as a file",

  "store.now": "Replicate now",
  "store.itself":
    "It also happens by itself when the app is opened, looked at again, or gets a network.",
  "store.at": "Store: {address}",
  "store.reading": "Reading what is new",
  "store.storing": "Sending {done} of {of}",
  "store.fetching": "Fetching {done} of {of}",
  "store.last": "Last time {when}: {stored} sent, {fetched} fetched.",
  "store.never": "Nothing was replicated yet.",
  "store.held":
    "{count} {count|photo waits|photos wait} for a network that does not cost by the byte ({megabytes} MB).",
  "store.sendHeld": "Send photos now, too",
  "store.photos": "Photos",
  "store.photosAlways": "always",
  "store.photosNot": "not on mobile data",
  "store.photosHint":
    "Records go first, photos last. Not every browser says that it is on mobile data; where it does not, photos are sent.",
  "store.records": "Closed records of other devices",
  "store.recordsYes": "keep here, too",
  "store.recordsNo": "leave in the store",

  "store.add": "Add a device",
  "store.addText":
    "The code holds the store's address, its password and the shop key. Show it to nobody else, and leave no photo of it behind.",
  "store.showCode": "Show the code",
  "store.hideCode": "Hide the code",
  "store.qr": "Code to photograph with the other phone",

  "store.jobs": "Two phones on one job",
  "store.jobsText":
    "Share a job, and let the other phone photograph the code. It gets the job as it is now; after that photos flow both ways with every replication. Entries do not: make them on one phone. Every phone brings its own lens: do the camera step on each, or choose its saved profile there. Photos whose lens is not known are left out by name.",
  "store.share": "Share “{title}”",
  "store.shared": "“{title}” is shared.",
  "store.noJobs": "There is no job on this phone.",

  "store.lost": "A device was lost",
  "store.lostText":
    "Change the key: what is stored from now on does not open with the old one, old records stay readable here. Then change the store's password, and add every other device again. What the lost device could read before, it can still read if it gets to the store.",
  "store.change": "Change the key",
  "store.changeAsk": "Change the shop's key?",
  "store.changed": "The key was changed. Add the other devices again, and save the new key.",

  "store.repair": "Check the store",
  "store.repairText":
    "Looks whether the store still has, at full length, everything of this phone that it should have. What is missing or cut off is written again from here. Reading it all back also finds what was damaged, and costs as much data as everything together.",
  "store.repairNow": "Check and repair",
  "store.repairAll": "Read all back and repair",
  "store.repairing": "Looking at {done} of {of}",
  "store.repairSound":
    "{looked} {looked|object of this phone is|objects of this phone are} in the store as they should be.",
  "store.repaired":
    "{looked} {looked|object of this phone was|objects of this phone were} looked at; {mended} {mended|was|were} missing or damaged in the store and {mended|was|were} written again.",
  "store.repairElsewhere":
    "{count} more {count|is|are} not on this phone: check them from the device that has them.",

  "store.remove": "Deleted on this phone, still in the store",
  "store.removeText":
    "{count} closed {count|record|records} that this phone no longer has {count|lies|lie} in the store, with photos. Deleting for good reaches every device of the shop and cannot be undone.",
  "store.removeNow": "Delete for good on all devices",

  "store.jobNotYet":
    "The shared job is not in the store yet. Leave the app open on the phone that shared it; this one looks again every few seconds.",
  "store.jobStop": "Stop looking",

  "store.leave": "Disconnect this phone",
  "store.leaveAsk": "Disconnect this phone from the store?",
  "store.leaveText":
    "Jobs and records stay on this phone, the store stays as it is. The key is forgotten here: save it first if this is the only device.",
} as const;

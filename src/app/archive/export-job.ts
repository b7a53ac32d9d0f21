import {
  BlobReader,
  BlobWriter,
  configure,
  TextReader,
  ZipWriter,
} from "@zip.js/zip.js/lib/zip-core-native.js";
import { revisionFileName, signatureFileName } from "../../record/archive/record-files.ts";
import { jobFileInput } from "../state/job-file.ts";
import { loadJob } from "../store/jobs.ts";
import { loadSteps } from "../store/kept-steps.ts";
import { loadPhoneLenses } from "../store/phone-lenses.ts";
import { listPhotos, photoBytes } from "../store/photos.ts";
import { listProfiles } from "../store/profiles.ts";
import {
  attachmentBytes,
  listRevisions,
  loadRevision,
  loadSignature,
} from "../store/records/revisions.ts";
import {
  folderOf,
  phonesName,
  photosName,
  profileName,
  recordName,
  stepsName,
} from "./archive-format.ts";
import { attachedPath } from "./closed-records.ts";

// Workers of the library are made from text, which the page's security policy forbids.
configure({ useWebWorkers: false });

export interface Export {
  readonly blob: Blob;
  /** Photos whose bytes are no longer on this device. */
  readonly missing: readonly string[];
}

/** Writes the archive photo by photo, so that memory holds one photo at a time. */
export async function exportJob(id: string): Promise<Export> {
  const record = await loadJob(id);
  if (!record) {
    throw new Error("There is no such job on this device.");
  }
  const photos = (await listPhotos(id)).filter((photo) => !photo.removed);
  // Photos do not shrink any further.
  const zip = new ZipWriter(new BlobWriter("application/zip"), { level: 0 });
  const add = (name: string, value: unknown) =>
    zip.add(name, new TextReader(JSON.stringify(value, null, 2)));
  await add(recordName, record);
  await add(
    photosName,
    photos.map(({ thumb: _thumb, ...photo }) => photo),
  );
  const steps = await loadSteps(id);
  if (steps.size > 0) {
    await add(stepsName, Object.fromEntries(steps));
  }
  await add("job.json", jobFileInput(record, photos));
  if (record.camera.source === "saved profile" && record.camera.profileId) {
    const profiles = await listProfiles();
    const chosen = profiles.find((item) => item.id === record.camera.profileId);
    if (chosen) {
      await add(profileName, chosen.profile);
    }
  }
  const lenses = await loadPhoneLenses(id);
  if (lenses.length > 0) {
    await add(phonesName, lenses);
  }
  for (const { phone, profile } of lenses) {
    await add(`camera/${phone}/profile.json`, profile);
  }
  const missing: string[] = [];
  for (const photo of photos) {
    const blob = await photoBytes(photo.id);
    if (blob) {
      await zip.add(`${folderOf(photo)}/${photo.name}`, new BlobReader(blob));
    } else {
      missing.push(photo.name);
    }
  }
  for (const { id: file, name } of record.record.attachments) {
    const blob = await attachmentBytes(file);
    if (blob) {
      await zip.add(attachedPath(name), new BlobReader(blob));
    } else {
      missing.push(name);
    }
  }
  for (const { sha256 } of await listRevisions(id)) {
    const sealed = await loadRevision(sha256);
    const signature = await loadSignature(sha256);
    if (sealed) {
      await zip.add(revisionFileName(sha256), new BlobReader(new Blob([sealed.bytes])));
    }
    if (signature) {
      await zip.add(signatureFileName(sha256), new TextReader(signature));
    }
  }
  return { blob: await zip.close(), missing };
}

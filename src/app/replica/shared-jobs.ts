import { canonicalBytes, plainCopy } from "../../record/canonical.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import {
  type JobPhoto,
  jobPhotoSchema,
  type SharedJob,
  sharedJobSchema,
} from "../../replicate/formats/job-photo.ts";
import type { Bytes } from "../../replicate/stores/store.ts";
import type { Outgoing } from "../../replicate/sync/replica.ts";
import { newId } from "../store/database/database.ts";
import { readJobRecord } from "../store/database/migrate.ts";
import type { PhotoRecord } from "../store/database/schema.ts";
import { loadJob, saveJob } from "../store/jobs.ts";
import { notMeasured } from "../store/listings.ts";
import { addPhoto, listPhotos, photoBytes } from "../store/photos.ts";
import { documentsOf, keepHash, knownHash, saveDocument } from "./shop-database.ts";

/**
 * A job that several phones work on. Its entries travel once, when it is shared; after that photos flow
 * both ways, each with the place that its phone gave it.
 */

const parsed = (bytes: Uint8Array): unknown => JSON.parse(new TextDecoder().decode(bytes));

/** Writes the job down for the others. */
export async function shareJob(jobId: string, device: string, now: string): Promise<void> {
  const record = await loadJob(jobId);
  if (!record) throw new Error("There is no such job on this device.");
  const shared: SharedJob = {
    format: "plumbshot-shared-job",
    version: 1,
    job: jobId,
    title: record.title || record.car.description || record.car.plate,
    device,
    sharedAt: now,
    // What was taken over and closed belongs to the phone that did it.
    value: plainCopy({ ...record, record: { ...record.record, attachments: [], closedAt: null } }),
  };
  const bytes = canonicalBytes(shared);
  await saveDocument({ sha256: hashOf(bytes), kind: "job", of: jobId, bytes });
}

export const photoHash = async (photo: Pick<PhotoRecord, "id">): Promise<Sha256 | null> => {
  const known = await knownHash(photo.id);
  if (known) return known;
  const blob = await photoBytes(photo.id);
  if (!blob) return null;
  const sha256 = hashOf(new Uint8Array(await blob.arrayBuffer()));
  await keepHash(photo.id, sha256);
  return sha256;
};

/** Photos of shared jobs, and the documents that say where they belong; `places` tells their ids. */
export async function outgoingOfJobs(
  jobs: readonly string[],
  device: string,
  places: Map<Sha256, string>,
): Promise<Outgoing[]> {
  const outgoing: Outgoing[] = [];
  const described = new Set(
    (await documentsOf("job photo")).flatMap(({ bytes }) => {
      const { data } = jobPhotoSchema.safeParse(parsed(bytes));
      return data ? [`${data.job}/${data.sha256}`] : [];
    }),
  );
  for (const job of jobs) {
    for (const photo of (await listPhotos(job)).filter(({ removed }) => !removed)) {
      const sha256 = await photoHash(photo);
      if (!sha256) continue;
      places.set(sha256, photo.id);
      outgoing.push({ kind: "photo", sha256, bytes: photo.byteLength, of: job });
      if (!described.has(`${job}/${sha256}`)) await describe(photo, sha256, device);
    }
  }
  for (const kind of ["job", "job photo"] as const) {
    for (const { sha256, of, bytes } of await documentsOf(kind)) {
      if (of && jobs.includes(of)) outgoing.push({ kind, sha256, bytes: bytes.length, of });
    }
  }
  return outgoing;
}

async function describe(photo: PhotoRecord, sha256: Sha256, device: string): Promise<void> {
  const { jobId: job, byteLength, name, purpose, position, setup, epoch, about, addedAt } = photo;
  const document: JobPhoto = {
    format: "plumbshot-job-photo",
    version: 1,
    job,
    device,
    sha256,
    bytes: byteLength,
    name,
    purpose,
    position,
    setup,
    epoch,
    about,
    addedAt,
  };
  const bytes = canonicalBytes(document);
  await saveDocument({ sha256: hashOf(bytes), kind: "job photo", of: job, bytes });
}

/** Makes the job of another phone one of this device; one that is here already stays as it is. */
export async function takeSharedJob(bytes: Bytes): Promise<void> {
  const shared = sharedJobSchema.safeParse(parsed(bytes));
  if (!shared.success || (await loadJob(shared.data.job))) return;
  const read = readJobRecord(shared.data.value);
  if (!read.ok) return;
  const source =
    read.record.camera.source === "saved profile" ? "sheet photos" : read.record.camera.source;
  const camera = { source, profileId: null } as const;
  await saveJob({ ...read.record, id: shared.data.job, camera }, notMeasured);
}

/** Where a photo belongs in the shared jobs that do not have it yet. */
export async function placesWithout(
  jobs: readonly string[],
  sha256: Sha256,
): Promise<readonly JobPhoto[]> {
  const places: JobPhoto[] = [];
  for (const { of, bytes } of await documentsOf("job photo")) {
    if (of === null || !jobs.includes(of)) continue;
    const { data } = jobPhotoSchema.safeParse(parsed(bytes));
    if (data?.job === of && data.sha256 === sha256 && !(await hasPhoto(of, sha256))) {
      places.push(data);
    }
  }
  return places;
}

async function hasPhoto(job: string, sha256: Sha256): Promise<boolean> {
  for (const photo of await listPhotos(job)) {
    if ((await photoHash(photo)) === sha256) return true;
  }
  return false;
}

/** Adds a photo that another phone took, under the place that it was given there. */
export async function takePhoto(
  place: JobPhoto,
  bytes: Bytes,
  fingerprint: (photo: Blob) => Promise<string>,
): Promise<void> {
  const { job, sha256, name, purpose, position, setup, epoch, about, addedAt } = place;
  if (!(await loadJob(job))) return;
  const names = new Set((await listPhotos(job)).map((photo) => photo.name));
  const blob = new Blob([bytes], { type: "image/jpeg" });
  const photo: PhotoRecord = {
    id: newId(),
    jobId: job,
    name: freeName(name, names),
    purpose,
    position,
    setup,
    epoch,
    about,
    addedAt,
    byteLength: bytes.length,
    fingerprint: await fingerprint(blob),
    thumb: null,
    removed: false,
  };
  await addPhoto(photo, blob);
  await keepHash(photo.id, sha256);
}

/** Two phones may both have an IMG_0001.jpg: "IMG_0001 (2).jpg". */
function freeName(name: string, taken: ReadonlySet<string>): string {
  const dot = name.lastIndexOf(".");
  const [stem, ending] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, ""];
  let free = name;
  for (let n = 2; taken.has(free); n++) free = `${stem} (${n})${ending}`;
  return free;
}

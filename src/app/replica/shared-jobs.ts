import { profileSchema } from "../../lens/profile.ts";
import { canonicalBytes, canonicalText, plainCopy } from "../../record/canonical.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import { type JobLens, jobLensSchema } from "../../replicate/formats/job-lens.ts";
import {
  type JobPhoto,
  jobPhotoSchema,
  type SharedJob,
  sharedJobSchema,
} from "../../replicate/formats/job-photo.ts";
import { shopItemSchema } from "../../replicate/formats/shop-item.ts";
import type { Bytes } from "../../replicate/stores/store.ts";
import type { Outgoing } from "../../replicate/sync/replica.ts";
import { after } from "../state/clock.ts";
import { newId } from "../store/database/database.ts";
import { readJobRecord } from "../store/database/migrate.ts";
import type { JobRecord, PhotoRecord } from "../store/database/schema.ts";
import { loadJob, saveJob } from "../store/jobs.ts";
import { notMeasured } from "../store/listings.ts";
import { keepPhoneLens } from "../store/phone-lenses.ts";
import { addPhoto, listPhotos, photoBytes } from "../store/photos.ts";
import { listProfiles } from "../store/profiles.ts";
import { loadCamera } from "../store/results.ts";
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
  for (const job of jobs) await noteOwnLens(job, device);
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

/** Writes down this phone's lens for a shared job, where it is not what was last written. */
async function noteOwnLens(job: string, device: string): Promise<void> {
  const record = await loadJob(job);
  const lens = record && (await ownLens(record));
  if (!lens) return;
  const last = (await documentsOf("job"))
    .filter(({ of }) => of === job)
    .flatMap(({ bytes }) => jobLensSchema.safeParse(parsed(bytes)).data ?? [])
    .filter((document) => document.device === device)
    .sort((a, b) => b.since.localeCompare(a.since))
    .at(0);
  if (last && canonicalText({ ...lens }) === canonicalText(lensIn(last))) return;
  const document: JobLens = {
    format: "plumbshot-job-lens",
    version: 1,
    job,
    device,
    ...lens,
    since: after(last?.since ?? "", new Date()),
  };
  const bytes = canonicalBytes(document);
  await saveDocument({ sha256: hashOf(bytes), kind: "job", of: job, bytes });
}

const lensIn = ({ source, profile }: JobLens) => ({ source, profile });

/** The lens that this phone's photos of the job are solved with; null while there is none. */
async function ownLens({
  id,
  camera,
}: JobRecord): Promise<Pick<JobLens, "source" | "profile"> | null> {
  if (camera.source === "own photos") return null;
  const { source } = camera;
  if (source === "saved profile") {
    const kept = (await listProfiles()).find((one) => one.id === camera.profileId);
    return kept ? { source, profile: kept.profile } : null;
  }
  const learned = (await loadCamera(id))?.answer;
  return learned?.ok ? { source, profile: learned.camera.profile } : null;
}

/** Takes in a document about a job: the job itself, or the lens of a phone that works on it. */
export async function takeJobDocument(bytes: Bytes, ownDevice: string): Promise<string | null> {
  const lens = jobLensSchema.safeParse(parsed(bytes));
  if (!lens.success) {
    await takeSharedJob(bytes, ownDevice);
    return null;
  }
  const { job, device, source, since } = lens.data;
  const profile = profileSchema.safeParse(lens.data.profile);
  if (device === ownDevice || !profile.success) return null;
  await keepPhoneLens(job, { phone: device, source, profile: profile.data, since });
  return job;
}

/** Makes the job of another phone one of this device; one that is here already stays as it is. */
export async function takeSharedJob(bytes: Bytes, device: string): Promise<void> {
  const shared = sharedJobSchema.safeParse(parsed(bytes));
  if (!shared.success || (await loadJob(shared.data.job))) return;
  const read = readJobRecord(shared.data.value);
  if (!read.ok) return;
  await saveJob(
    { ...read.record, id: shared.data.job, camera: await lensHere(device) },
    notMeasured,
  );
}

/**
 * The lens that was last kept on this very phone; else its sheet photos are asked for. A lens of another
 * phone of the same model would be taken for its own by every check but the photos'.
 */
async function lensHere(device: string): Promise<JobRecord["camera"]> {
  const kept = new Set((await listProfiles()).map(({ id }) => id));
  const own = (await documentsOf("item"))
    .flatMap(({ bytes }) => shopItemSchema.safeParse(parsed(bytes)).data ?? [])
    .filter((item) => item.kind === "lens" && item.device === device && !item.gone)
    .filter(({ id }) => kept.has(id))
    .sort((a, b) => b.changedAt.localeCompare(a.changedAt));
  return own.length > 0
    ? { source: "saved profile", profileId: own[0].id }
    : { source: "sheet photos", profileId: null };
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
    // Photos of the camera sheet stay with their phone: its lens comes as a document of its own.
    if (data?.job !== of || data.sha256 !== sha256 || data.purpose === "sheet") continue;
    if (!(await hasPhoto(of, sha256))) places.push(data);
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
  const { job, device, sha256, name, purpose, position, setup, epoch, about, addedAt } = place;
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
    device,
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

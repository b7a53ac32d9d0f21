import { z } from "zod";
import { type Result, resultSchema } from "../../job/result/result.ts";
import type { CameraAnswer } from "../../job/run/run.ts";
import { type CameraProfile, profileSchema } from "../../lens/profile.ts";
import { database } from "./database.ts";
import { readGuidance, type StoredGuidance } from "./guidance-record.ts";
import { type RecordProblem, readJobRecord } from "./migrate.ts";
import {
  defaultSettings,
  type JobRecord,
  type PhotoRecord,
  photoRecordSchema,
  type Settings,
  settingsSchema,
} from "./schema.ts";
import { storable, storedBlobSchema } from "./stored-blob.ts";

/** A job in the list that could not be read: shown with its reason, never dropped silently. */
export interface UnreadableJob {
  readonly id: string;
  readonly reason: RecordProblem;
  readonly detail: string;
}

export interface JobList {
  readonly jobs: readonly JobRecord[];
  readonly unreadable: readonly UnreadableJob[];
}

/** All jobs, the latest change first. */
export async function listJobs(): Promise<JobList> {
  const db = await database();
  const keys = await db.getAllKeys("jobs");
  const jobs: JobRecord[] = [];
  const unreadable: UnreadableJob[] = [];
  for (const key of keys) {
    const outcome = readJobRecord(await db.get("jobs", key));
    if (outcome.ok) {
      jobs.push(outcome.record);
    } else {
      unreadable.push({ id: key, reason: outcome.reason, detail: outcome.detail });
    }
  }
  jobs.sort((a, b) => b.updatedAt.localeCompare(a.updatedAt));
  return { jobs, unreadable };
}

export async function loadJob(id: string): Promise<JobRecord | null> {
  const raw = await (await database()).get("jobs", id);
  const outcome = readJobRecord(raw);
  return outcome.ok ? outcome.record : null;
}

/** Committed at once, so that a page closed a moment later has it stored. */
export async function saveJob(record: JobRecord): Promise<void> {
  const transaction = (await database()).transaction("jobs", "readwrite");
  const put = transaction.store.put(record, record.id);
  transaction.commit();
  await Promise.all([put, transaction.done]);
}

/**
 * Saves a job if the stored one is still the revision that the change began from; false where
 * another tab has written meanwhile, and then nothing is written. Only for browsers without Web
 * Locks: reading first costs the certainty of {@link saveJob} that a page closed a moment later has
 * it stored.
 */
export async function saveJobIfUnchanged(record: JobRecord, from: number): Promise<boolean> {
  const transaction = (await database()).transaction("jobs", "readwrite");
  const stored = readJobRecord(await transaction.store.get(record.id));
  const unchanged = !stored.ok || stored.record.revision === from;
  if (unchanged) {
    await transaction.store.put(record, record.id);
  }
  await transaction.done;
  return unchanged;
}

/** Notes when a job was saved as a file, whatever else was written to it meanwhile. */
export async function noteBackup(id: string, backedUpAt: string): Promise<void> {
  const transaction = (await database()).transaction("jobs", "readwrite");
  const stored = readJobRecord(await transaction.store.get(id));
  if (stored.ok) {
    await transaction.store.put({ ...stored.record, backedUpAt }, id);
  }
  await transaction.done;
}

/** Removes a job with its photos, findings and result in one transaction. */
export async function deleteJob(id: string): Promise<void> {
  const db = await database();
  const transaction = db.transaction(
    ["jobs", "photos", "photoBytes", "outcomes", "results"],
    "readwrite",
  );
  const photoIds = await transaction.objectStore("photos").index("jobId").getAllKeys(id);
  for (const photoId of photoIds) {
    await transaction.objectStore("photos").delete(photoId);
    await transaction.objectStore("photoBytes").delete(photoId);
    await transaction.objectStore("outcomes").delete(photoId);
  }
  await transaction.objectStore("results").delete(id);
  // The camera's answer and the results of single steps.
  await transaction.objectStore("results").delete(IDBKeyRange.bound(`${id}/`, `${id}/\uffff`));
  await transaction.objectStore("results").delete(guidanceKey(id));
  await transaction.objectStore("jobs").delete(id);
  await transaction.done;
}

/** Photos of a job in the order in which they were added. */
export async function listPhotos(jobId: string): Promise<PhotoRecord[]> {
  const raw = await (await database()).getAllFromIndex("photos", "jobId", jobId);
  const photos = raw.flatMap((item) => {
    const parsed = photoRecordSchema.safeParse(item);
    return parsed.success ? [parsed.data] : [];
  });
  return photos.sort(inOrderAdded);
}

export const inOrderAdded = (a: PhotoRecord, b: PhotoRecord): number =>
  a.addedAt.localeCompare(b.addedAt) || a.name.localeCompare(b.name);

/** Stores a photo and its bytes together, so that neither exists without the other. */
export async function addPhoto(photo: PhotoRecord, bytes: Blob): Promise<void> {
  const db = await database();
  const [record, content] = await Promise.all([storableRecord(photo), storable(db, bytes)]);
  const transaction = db.transaction(["photos", "photoBytes"], "readwrite");
  await transaction.objectStore("photoBytes").put(content, photo.id);
  await transaction.objectStore("photos").put(record, photo.id);
  await transaction.done;
}

export async function savePhoto(photo: PhotoRecord): Promise<void> {
  const record = await storableRecord(photo);
  await (await database()).put("photos", record, photo.id);
}

const storableRecord = async (photo: PhotoRecord) => ({
  ...photo,
  thumb: photo.thumb && (await storable(await database(), photo.thumb)),
});

export async function photoBytes(id: string): Promise<Blob | null> {
  const stored = await (await database()).get("photoBytes", id);
  const parsed = storedBlobSchema.safeParse(stored);
  return parsed.success ? parsed.data : null;
}

export async function deletePhoto(id: string): Promise<void> {
  const transaction = (await database()).transaction(
    ["photos", "photoBytes", "outcomes"],
    "readwrite",
  );
  await transaction.objectStore("photos").delete(id);
  await transaction.objectStore("photoBytes").delete(id);
  await transaction.objectStore("outcomes").delete(id);
  await transaction.done;
}

/** A stored result belongs to the inputs whose digest it carries. */
export interface StoredResult {
  readonly inputs: string;
  readonly result: Result;
}

export async function loadResult(jobId: string): Promise<StoredResult | null> {
  const raw = (await (await database()).get("results", jobId)) as
    | { inputs?: unknown; result?: unknown }
    | undefined;
  const parsed = resultSchema.safeParse(raw?.result);
  if (!parsed.success || typeof raw?.inputs !== "string") {
    return null;
  }
  return { inputs: raw.inputs, result: parsed.data };
}

export async function saveResult(jobId: string, stored: StoredResult): Promise<void> {
  await (await database()).put("results", stored, jobId);
}

const cameraKey = (jobId: string): string => `${jobId}/camera`;

/** What the camera step of a job gave, for the sheet photos whose digest it carries. */
export interface StoredCamera {
  readonly inputs: string;
  readonly answer: CameraAnswer;
}

const storedCameraSchema = z.object({
  inputs: z.string(),
  answer: z.discriminatedUnion("ok", [
    z.object({
      ok: z.literal(true),
      camera: z.looseObject({ profile: profileSchema, source: z.string() }),
    }),
    z.object({ ok: z.literal(false), remarks: z.array(z.looseObject({ message: z.string() })) }),
  ]),
});

export async function loadCamera(jobId: string): Promise<StoredCamera | null> {
  const raw = await (await database()).get("results", cameraKey(jobId));
  return storedCameraSchema.safeParse(raw).success ? (raw as StoredCamera) : null;
}

export async function saveCamera(jobId: string, stored: StoredCamera): Promise<void> {
  await (await database()).put("results", stored, cameraKey(jobId));
}

const guidanceKey = (jobId: string): string => `${jobId}/guidance`;

export async function loadGuidance(jobId: string): Promise<StoredGuidance | null> {
  return readGuidance(await (await database()).get("results", guidanceKey(jobId)));
}

export async function saveGuidance(jobId: string, stored: StoredGuidance): Promise<void> {
  await (await database()).put("results", stored, guidanceKey(jobId));
}

/** A camera profile kept for later jobs. */
export interface StoredProfile {
  readonly id: string;
  readonly profile: CameraProfile;
}

export async function listProfiles(): Promise<StoredProfile[]> {
  const db = await database();
  const keys = await db.getAllKeys("profiles");
  const profiles: StoredProfile[] = [];
  for (const id of keys) {
    const parsed = profileSchema.safeParse(await db.get("profiles", id));
    if (parsed.success) {
      profiles.push({ id, profile: parsed.data });
    }
  }
  return profiles;
}

export async function saveProfile(id: string, profile: CameraProfile): Promise<void> {
  await (await database()).put("profiles", profile, id);
}

export async function deleteProfile(id: string): Promise<void> {
  await (await database()).delete("profiles", id);
}

export async function loadSettings(): Promise<Settings> {
  const raw = await (await database()).get("settings", "app");
  const parsed = settingsSchema.partial().safeParse(raw ?? {});
  return { ...defaultSettings, ...(parsed.success ? parsed.data : {}) };
}

export async function saveSettings(settings: Settings): Promise<void> {
  await (await database()).put("settings", settings, "app");
}

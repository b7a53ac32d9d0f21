import { unzipSync, Zip, ZipPassThrough } from "fflate";
import { resultSchema } from "../../job/result/result.ts";
import { thumbs } from "../photos/thumbs.ts";
import { jobFileInput, photoPlaceIn, recordWithJobFile } from "../session/job-file.ts";
import { loadSteps, saveStep } from "../session/steps.ts";
import { database, newId } from "./database.ts";
import * as jobs from "./jobs.ts";
import { type RecordProblem, readJobRecord } from "./migrate.ts";
import { newJob } from "./new-job.ts";
import {
  defaultSettings,
  type JobRecord,
  type PhotoRecord,
  photoPurposeSchema,
  photoRecordSchema,
} from "./schema.ts";

/**
 * The whole job in one .zip: `record.json` (this app's record), `photos.json` (where each photo
 * belongs), and a job folder that the command line reads as it is (job.json, camera/, photos/).
 * Findings and results are not stored: whoever opens the file computes them again. Only the results
 * of steps that were left go along in `steps.json`, because they are records of their moment.
 */
const recordName = "record.json";
const photosName = "photos.json";
const stepsName = "steps.json";

const folders = { sheet: "camera", boards: "photos", target: "target", note: "notes" } as const;
const folderOf = (photo: PhotoRecord): string => folders[photo.purpose];
const purposeIn = (folder: string): PhotoRecord["purpose"] =>
  photoPurposeSchema.options.find((purpose) => folders[purpose] === folder) ?? "note";

/** Writes the archive photo by photo, so that memory holds one photo at a time. */
export async function exportJob(id: string): Promise<Blob> {
  const record = await jobs.loadJob(id);
  if (!record) {
    throw new Error("There is no such job on this device.");
  }
  const photos = (await jobs.listPhotos(id)).filter((photo) => !photo.removed);
  const parts: BlobPart[] = [];
  const zip = new Zip((error, chunk) => {
    if (error) {
      throw error;
    }
    parts.push(chunk as Uint8Array<ArrayBuffer>);
  });
  const add = (name: string, bytes: Uint8Array) => {
    const entry = new ZipPassThrough(name);
    zip.add(entry);
    entry.push(bytes, true);
  };
  const text = (value: unknown) => new TextEncoder().encode(JSON.stringify(value, null, 2));
  add(recordName, text(record));
  add(photosName, text(photos.map(({ thumb: _thumb, ...photo }) => photo)));
  const steps = await loadSteps(id);
  if (steps.size > 0) {
    add(stepsName, text(Object.fromEntries(steps)));
  }
  add("job.json", text(jobFileInput(record, photos)));
  if (record.camera.source === "saved profile" && record.camera.profileId) {
    const profiles = await jobs.listProfiles();
    const chosen = profiles.find((item) => item.id === record.camera.profileId);
    if (chosen) {
      add("camera/profile.json", text(chosen.profile));
    }
  }
  for (const photo of photos) {
    const blob = await jobs.photoBytes(photo.id);
    if (blob) {
      add(`${folderOf(photo)}/${photo.name}`, new Uint8Array(await blob.arrayBuffer()));
      // What was zipped so far goes into a blob, which the browser may keep on disk.
      parts.splice(0, parts.length, new Blob(parts));
    }
  }
  zip.end();
  return new Blob(parts, { type: "application/zip" });
}

export type ImportOutcome =
  | { readonly ok: true; readonly id: string }
  | { readonly ok: false; readonly reason: ArchiveProblem; readonly detail: string };

/** Why a file is no job that can be opened. */
export type ArchiveProblem = RecordProblem | "no zip" | "no job";

/** Opens an archive as a new job; an existing job is never overwritten. */
export async function importJob(file: Blob): Promise<ImportOutcome> {
  let entries: Record<string, Uint8Array>;
  try {
    entries = unzipSync(new Uint8Array(await file.arrayBuffer()));
  } catch {
    return { ok: false, reason: "no zip", detail: "" };
  }
  const read = recordIn(entries);
  if (!read.ok) {
    return read;
  }
  const { record } = read;
  const id = newId();
  const photos = photosIn(entries, id);
  for (const { photo, bytes } of photos) {
    const blob = new Blob([bytes as Uint8Array<ArrayBuffer>], { type: "image/jpeg" });
    const fingerprint = await thumbs().fingerprint(blob);
    await jobs.addPhoto({ ...photo, fingerprint }, blob);
  }
  const profile = json(entries, "camera/profile.json");
  if (profile !== undefined && record.camera.profileId) {
    await (await database()).put("profiles", profile, record.camera.profileId);
  }
  for (const [step, result] of Object.entries(json(entries, stepsName) ?? {})) {
    const parsed = resultSchema.safeParse(result);
    if (parsed.success) {
      await saveStep(id, step, parsed.data);
    }
  }
  await jobs.saveJob({ ...record, id, backedUpAt: record.backedUpAt ?? new Date().toISOString() });
  return { ok: true, id };
}

type Read = { readonly ok: true; readonly record: JobRecord };

/** Our own record, or a plain job folder as the command line uses it. */
function recordIn(
  entries: Record<string, Uint8Array>,
): Read | (ImportOutcome & { readonly ok: false }) {
  const raw = json(entries, recordName);
  if (raw !== undefined) {
    return readJobRecord(raw);
  }
  const job = json(entries, "job.json");
  if (typeof job !== "object" || job === null) {
    return { ok: false, reason: "no job", detail: "record.json, job.json" };
  }
  const loose = { ...(job as Record<string, unknown>) };
  if (typeof loose.placement === "string") {
    loose.placement = json(entries, loose.placement) ?? null;
  }
  const blank = newJob(defaultSettings, new Date().toISOString());
  return { ok: true, record: recordWithJobFile(blank, loose) };
}

function photosIn(entries: Record<string, Uint8Array>, jobId: string) {
  const job = json(entries, "job.json");
  const places = typeof job === "object" && job !== null ? (job as Record<string, unknown>) : {};
  const stated = json(entries, photosName);
  const known = new Map<string, PhotoRecord>();
  for (const item of Array.isArray(stated) ? stated : []) {
    const parsed = photoRecordSchema.safeParse({ ...item, thumb: null });
    if (parsed.success) {
      known.set(`${folderOf(parsed.data)}/${parsed.data.name}`, parsed.data);
    }
  }
  return Object.entries(entries).flatMap(([path, bytes]) => {
    const match = /^(camera|photos|target|notes)\/([^/]+)$/.exec(path);
    if (!match || bytes.length === 0 || path.endsWith(".json")) {
      return [];
    }
    const [, folder, name] = match;
    const before = known.get(path);
    const photo: PhotoRecord = {
      purpose: purposeIn(folder),
      ...photoPlaceIn(places, name),
      about: "",
      addedAt: new Date().toISOString(),
      fingerprint: "",
      removed: false,
      ...before,
      name,
      byteLength: bytes.length,
      thumb: null,
      id: newId(),
      jobId,
    };
    return [{ photo, bytes }];
  });
}

function json(entries: Record<string, Uint8Array>, name: string): unknown {
  const bytes = entries[name];
  if (!bytes) {
    return undefined;
  }
  try {
    return JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    return undefined;
  }
}

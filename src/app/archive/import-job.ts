import { readJson } from "../../job/file/bounded-json.ts";
import { type Result, resultSchema } from "../../job/result/result.ts";
import { profileSchema } from "../../lens/profile.ts";
import type { SealedRevision } from "../../record/close-revision.ts";
import { withheldFileName } from "../../record/withheld.ts";
import { plainName } from "../../say/plain-text.ts";
import { uniqueName } from "../photos/add-photos.ts";
import { photoPlaceIn, recordWithJobFile } from "../state/job-file.ts";
import { kindOfFile } from "../state/photo/photo-intake.ts";
import { newId } from "../store/database/database.ts";
import { type RecordProblem, readJobRecord } from "../store/database/migrate.ts";
import {
  type CheckState,
  defaultSettings,
  type JobRecord,
  type PhotoRecord,
  photoRecordSchema,
} from "../store/database/schema.ts";
import { type ImportedPhoto, storeImportedJob } from "../store/imported-job.ts";
import { newJob } from "../store/new-job.ts";
import { type PhoneLens, phoneLensSchema } from "../store/phone-lenses.ts";
import { listProfiles, type StoredProfile } from "../store/profiles.ts";
import {
  folderOf,
  phonesName,
  photoPath,
  photosName,
  profileName,
  recordName,
  stepsName,
} from "./archive-format.ts";
import {
  attachmentsIn,
  importedRevisions,
  isAttached,
  jobOfRecord,
  revisionsIn,
} from "./closed-records.ts";
import { earlierObjects, isObject } from "./earlier-objects.ts";
import { readZip, type ZipContent, type ZipProblem } from "./read-zip.ts";

export type ImportOutcome =
  | {
      readonly ok: true;
      readonly id: string;
      /** Entries that are no photos or results of this program: left out, and named. */
      readonly leftOut: readonly string[];
    }
  | ImportRefusal;

export interface ImportRefusal {
  readonly ok: false;
  readonly reason: ArchiveProblem;
  readonly detail: string;
}

/** Why a file is no job that can be opened. */
export type ArchiveProblem =
  | RecordProblem
  | ZipProblem
  | "no job"
  | "photo differs"
  | "record differs"
  | "photos withheld";

const refused = (reason: ArchiveProblem, detail: string): ImportRefusal => ({
  ok: false,
  reason,
  detail,
});

/**
 * Opens an archive as a new job. Everything in it is parsed first and gets ids of its own, so that
 * nothing stored is overwritten; then all of it is stored in one transaction, or nothing.
 */
export async function importJob(
  file: Blob,
  fingerprint: (photo: Blob) => Promise<string>,
): Promise<ImportOutcome> {
  const wanted = (path: string) => photoPath(path) !== null || isAttached(path) || isObject(path);
  const zip = await readZip(file, wanted);
  if (!zip.ok) {
    return refused(zip.problem, zip.name);
  }
  const { content } = zip;
  if (content.texts.has(withheldFileName)) {
    return refused("photos withheld", "");
  }
  const sealed = revisionsIn(content.texts);
  if (!sealed) {
    return refused("record differs", "records/");
  }
  const read = recordIn(content, sealed);
  if (!read.ok) {
    return read;
  }
  const id = newId();
  const leftOut: string[] = [];
  const photos = await photosIn(content, id, fingerprint, leftOut);
  if (!Array.isArray(photos)) {
    return photos;
  }
  const earlier = await earlierObjects(sealed, content.files, id);
  if (!earlier.ok) {
    return refused("record differs", earlier.path);
  }
  const { objects } = earlier;
  const profile = await profileIn(content, read.record, leftOut);
  const { camera } = read.record;
  const newIds = new Map(photos.flatMap(({ was, photo }) => (was ? [[was, photo.id]] : [])));
  const attached = attachmentsIn(read.record.record.attachments, content.files);
  const attachments = attached.map(({ item }) => item);
  const record: JobRecord = {
    ...withNewPhotoIds(read.record, newIds),
    id,
    camera: profile ? { ...camera, profileId: profile.id } : camera,
    backedUpAt: read.record.backedUpAt ?? new Date().toISOString(),
  };
  const steps = stepsIn(content, leftOut);
  const paths = new Map(photos.map(({ photo, path }) => [path, photo.id]));
  await storeImportedJob({
    lenses: lensesIn(content),
    record: { ...record, record: { ...record.record, attachments } },
    photos: [...photos, ...objects.photos],
    profile: profile?.isNew ? profile : null,
    steps,
    attached: [...attached, ...objects.attached],
    closed: importedRevisions(sealed, content.texts, id, paths, attachments, objects),
  });
  return { ok: true, id, leftOut };
}

/** Lenses of the other phones; one that cannot be read is left out, and its photos are named then. */
const lensesIn = (content: ZipContent): readonly PhoneLens[] => {
  const raw = json(content, phonesName);
  return Array.isArray(raw) ? raw.flatMap((one) => phoneLensSchema.safeParse(one).data ?? []) : [];
};

/** Our own record, or a plain job folder as the command line uses it. */
function recordIn(
  content: ZipContent,
  sealed: readonly SealedRevision[],
): { ok: true; record: JobRecord } | ImportRefusal {
  const raw = json(content, recordName);
  if (raw !== undefined) {
    return readJobRecord(raw);
  }
  const last = sealed.at(-1);
  if (last) {
    const { content: said, closedAt } = last.revision;
    return readJobRecord(jobOfRecord(said, closedAt));
  }
  const job = objectIn(content, "job.json");
  if (!job) {
    return refused("no job", `${recordName}, job.json`);
  }
  const { placement } = job;
  const sheet = typeof placement === "string" ? (json(content, placement) ?? null) : placement;
  const blank = newJob(defaultSettings, new Date().toISOString());
  const read = readJobRecord(recordWithJobFile(blank, { ...job, placement: sheet }));
  return read;
}

/** A photo with its id before and its place in the archive. */
type PhotoWithOrigin = ImportedPhoto & { readonly was: string | null; readonly path: string };

/** The archive's photos with new ids, or why one of them is not the photo that was saved. */
async function photosIn(
  content: ZipContent,
  jobId: string,
  fingerprint: (photo: Blob) => Promise<string>,
  leftOut: string[],
): Promise<PhotoWithOrigin[] | ImportRefusal> {
  const places = objectIn(content, "job.json") ?? {};
  const known = knownPhotos(content);
  const names = new Set<string>();
  const photos: PhotoWithOrigin[] = [];
  for (const [path, blob] of content.files) {
    const place = photoPath(path);
    if (!place) {
      continue;
    }
    const { purpose, name } = place;
    const kind = kindOfFile(new Uint8Array(await blob.slice(0, 16).arrayBuffer()));
    if (kind === "unknown" || kind === "video") {
      leftOut.push(path);
      continue;
    }
    const before = known.get(path);
    const now = await fingerprint(blob);
    if (before?.fingerprint && before.fingerprint !== now) {
      return refused("photo differs", path);
    }
    const photo: PhotoRecord = {
      ...photoPlaceIn(places, name),
      about: "",
      addedAt: new Date().toISOString(),
      removed: false,
      ...before,
      purpose,
      name: uniqueName(plainName(name), names),
      byteLength: blob.size,
      fingerprint: now,
      thumb: null,
      id: newId(),
      jobId,
    };
    names.add(photo.name);
    photos.push({ photo, blob, path, was: before?.id ?? null });
  }
  return photos;
}

/** What our own archive says about its photos, by path. */
function knownPhotos(content: ZipContent): Map<string, PhotoRecord> {
  const stated = json(content, photosName);
  const known = new Map<string, PhotoRecord>();
  for (const item of Array.isArray(stated) ? stated : []) {
    const parsed = photoRecordSchema.safeParse({ ...item, thumb: null });
    if (parsed.success) {
      known.set(`${folderOf(parsed.data)}/${parsed.data.name}`, parsed.data);
    }
  }
  return known;
}

/** The job's saved camera profile under an id of its own; the same one that is here already keeps its. */
async function profileIn(
  content: ZipContent,
  { camera }: JobRecord,
  leftOut: string[],
): Promise<(StoredProfile & { readonly isNew: boolean }) | null> {
  const raw = json(content, profileName);
  if (raw === undefined || camera.source !== "saved profile") {
    return null;
  }
  const parsed = profileSchema.safeParse(raw);
  if (!parsed.success) {
    leftOut.push(profileName);
    return null;
  }
  const text = JSON.stringify(parsed.data);
  const present = await listProfiles();
  const same = present.find(({ profile }) => JSON.stringify(profile) === text);
  return { id: same?.id ?? newId(), profile: parsed.data, isNew: same === undefined };
}

function stepsIn(content: ZipContent, leftOut: string[]): Map<string, Result> {
  const steps = new Map<string, Result>();
  for (const [step, result] of Object.entries(objectIn(content, stepsName) ?? {})) {
    const parsed = resultSchema.safeParse(result);
    if (parsed.success) {
      steps.set(step, parsed.data);
    } else {
      leftOut.push(`${stepsName}: ${step}`);
    }
  }
  return steps;
}

/** Checks name the photos that show them: by the ids that the photos have now. */
function withNewPhotoIds(record: JobRecord, ids: ReadonlyMap<string, string>): JobRecord {
  const renamed = (checks: Record<string, CheckState>): Record<string, CheckState> =>
    Object.fromEntries(
      Object.entries(checks).map(([name, check]) => [
        name,
        { ...check, photoId: check.photoId && (ids.get(check.photoId) ?? null) },
      ]),
    );
  return {
    ...record,
    car: { ...record.car, checks: renamed(record.car.checks) },
    bay: { ...record.bay, checks: renamed(record.bay.checks) },
    record: { ...record.record, checks: renamed(record.record.checks) },
  };
}

function objectIn(content: ZipContent, name: string): Record<string, unknown> | null {
  const value = json(content, name);
  return typeof value === "object" && value !== null && !Array.isArray(value)
    ? (value as Record<string, unknown>)
    : null;
}

function json({ texts }: ZipContent, name: string): unknown {
  const text = texts.get(name);
  const reading = text === undefined ? null : readJson(text);
  return reading?.ok ? reading.value : undefined;
}

import { attachmentFolder, photoFileName } from "../../record/archive/record-files.ts";
import { closedRevisionOf, type SealedRevision } from "../../record/close-revision.ts";
import type { RecordContent } from "../../record/revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { readSignature } from "../../record/signature.ts";
import { recordWithJobFile } from "../state/job-file.ts";
import { newId } from "../store/database/database.ts";
import { entryOf, type RevisionEntry } from "../store/database/revision-entry.ts";
import { type Attachment, defaultSettings, type JobRecord } from "../store/database/schema.ts";
import { newJob } from "../store/new-job.ts";
import type { EarlierObjects } from "./earlier-objects.ts";

/** Closed revisions that came in an archive, with what the app stores beside them. */
export interface ImportedRevisions {
  readonly revisions: readonly { readonly sealed: SealedRevision; readonly entry: RevisionEntry }[];
  readonly signatures: ReadonlyMap<Sha256, string>;
}

/**
 * The closed revisions among the texts of an archive, the first one first; null where one of them is
 * not what its name stands for, which is said instead of being taken in.
 */
export function revisionsIn(texts: ReadonlyMap<string, string>): SealedRevision[] | null {
  const found: SealedRevision[] = [];
  for (const [path, text] of texts) {
    const named = /^records\/([0-9a-f]{64})\.json$/.exec(path)?.[1];
    if (named) {
      const sealed = closedRevisionOf(new TextEncoder().encode(text), named as Sha256);
      if (!sealed) {
        return null;
      }
      found.push(sealed);
    }
  }
  return found.sort((a, b) => a.revision.number - b.revision.number);
}

export const isAttached = (path: string): boolean => path.startsWith(`${attachmentFolder}/`);

export const attachedPath = (name: string): string => `${attachmentFolder}/${name}`;

/** Attached files of an archive under new ids; those that are missing in it are left out. */
export function attachmentsIn(
  stated: readonly Attachment[],
  files: ReadonlyMap<string, Blob>,
): { readonly item: Attachment; readonly blob: Blob }[] {
  return stated.flatMap((attachment) => {
    const blob = files.get(attachedPath(attachment.name));
    return blob ? [{ item: { ...attachment, id: newId(), byteLength: blob.size }, blob }] : [];
  });
}

/** A job that says what a closed record says; photos and saved profile come beside it. */
export function jobOfRecord(content: RecordContent, closedAt: string): JobRecord {
  const blank = newJob(defaultSettings, new Date().toISOString());
  const job = recordWithJobFile(blank, content.job);
  const checks = (list: RecordContent["checks"][number]["list"]) =>
    Object.fromEntries(
      content.checks
        .filter((check) => check.list === list)
        .map(({ name, state, note }) => [name, { state, note, photoId: null }]),
    );
  return {
    ...job,
    title: content.title,
    invented: content.invented,
    car: { ...content.car, checks: checks("car") },
    bay: { ...content.bay, checks: checks("bay") },
    camera: { source: content.camera.source, profileId: null },
    record: {
      ...job.record,
      ...content.work,
      checks: checks("after"),
      closedAt,
      attachments: content.attachments.map(({ name, kind, type, addedAt, bytes }) => ({
        id: name,
        name,
        kind,
        type,
        addedAt,
        byteLength: bytes,
      })),
    },
    standings: content.standings,
  };
}

/** Entries of the revisions, for the job and the photos as they are stored here. */
export function importedRevisions(
  sealed: readonly SealedRevision[],
  texts: ReadonlyMap<string, string>,
  jobId: string,
  photoIds: ReadonlyMap<string, string>,
  attachments: readonly Attachment[],
  earlier: EarlierObjects,
): ImportedRevisions {
  const last = sealed.at(-1);
  const here = new Map(
    (last?.revision.content.photos ?? []).flatMap((photo) => {
      const id = photoIds.get(photoFileName(photo));
      return id ? [[photo.sha256, id] as const] : [];
    }),
  );
  for (const { sha256, photo } of earlier.photos) {
    here.set(sha256, photo.id);
  }
  const files = new Map(
    (last?.revision.content.attachments ?? []).flatMap(({ name, sha256 }) => {
      const item = attachments.find((one) => one.name === name);
      return item ? [[sha256, item.id] as const] : [];
    }),
  );
  for (const { sha256, item } of earlier.attached) {
    files.set(sha256, item.id);
  }
  const known = (map: ReadonlyMap<Sha256, string>, hashes: readonly Sha256[]) =>
    hashes.flatMap((sha256) => {
      const id = map.get(sha256);
      return id ? [{ id, sha256 }] : [];
    });
  const hashOf = ({ sha256 }: { readonly sha256: Sha256 }) => sha256;
  return {
    revisions: sealed.map((one) => {
      const { photos, attachments: attached } = one.revision.content;
      const entry = entryOf(one, {
        // The job has new ids here: it counts as changed until somebody closes it again.
        stateKey: "",
        photos: known(here, photos.map(hashOf)),
        attachments: known(files, attached.map(hashOf)),
      });
      return { sealed: one, entry: { ...entry, jobId } };
    }),
    signatures: new Map(
      [...texts].flatMap(([path, text]) => {
        const signature = path.startsWith("signatures/") ? readSignature(text) : null;
        return signature ? [[signature.signs, text] as const] : [];
      }),
    ),
  };
}

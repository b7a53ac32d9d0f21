import { programVersion } from "../../job/result/version.ts";
import { closeRevision } from "../../record/close-revision.ts";
import { type ClosingState, openPoints } from "../../record/open-points.ts";
import type { OpenPoint, RecordContent } from "../../record/revision.ts";
import type { JobState } from "../state/job-state.ts";
import { stateKey } from "../state/record-state.ts";
import { stepPlace } from "../state/steps.ts";
import { entryOf, type RevisionEntry } from "../store/database/revision-entry.ts";
import { photoBytes } from "../store/photos.ts";
import {
  addRevision,
  attachmentBytes,
  ChainMoved,
  listRevisions,
  loadRevision,
  nextLink,
} from "../store/records/revisions.ts";
import { contentOf, type SealedFile } from "./record-content.ts";

/** A record that is ready to be closed, with what is to be confirmed first. */
export interface ReadyToClose {
  readonly content: RecordContent;
  readonly openPoints: readonly OpenPoint[];
  readonly stateKey: string;
  readonly photos: RevisionEntry["photos"];
  readonly attachments: RevisionEntry["attachments"];
}

export type SealFile = (file: Blob) => Promise<SealedFile>;

/**
 * Reads and hashes everything that the record rests on. Throws where a file cannot be read: a record
 * is closed whole or not at all.
 */
export async function prepareClosing(
  state: JobState,
  stale: boolean,
  seal: SealFile,
): Promise<ReadyToClose> {
  const files = new Map<string, SealedFile>();
  const read = async (id: string, name: string, bytes: Promise<Blob | null>) => {
    const blob = await bytes;
    if (!blob) {
      throw new Error(`${name} could not be read.`);
    }
    const file = await seal(blob);
    files.set(id, file);
    return { id, sha256: file.sha256 };
  };
  const photos = [];
  for (const { id, name } of state.photos.filter(({ removed }) => !removed)) {
    photos.push(await read(id, name, photoBytes(id)));
  }
  const attachments = [];
  for (const { id, name } of state.record.record.attachments) {
    attachments.push(await read(id, name, attachmentBytes(id)));
  }
  const content = contentOf(state, files);
  const closing: ClosingState = { content, stale, stepsOpen: stepsWithoutResult(state) };
  return {
    content,
    openPoints: openPoints(closing),
    stateKey: stateKey(state),
    photos,
    attachments,
  };
}

function stepsWithoutResult(state: JobState): string[] {
  const place = stepPlace(state);
  return (place?.steps ?? [])
    .filter((step, i) => i !== place?.present && !state.keptSteps.has(step.id))
    .map(({ title }) => title);
}

/** ISO 8601 with the offset of the device's zone. */
export function localTime(now: Date): string {
  const minutes = -now.getTimezoneOffset();
  const two = (value: number) => String(Math.floor(Math.abs(value))).padStart(2, "0");
  const shifted = new Date(now.getTime() + minutes * 60_000).toISOString().slice(0, 19);
  return `${shifted}${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}

/** Closes the record as its next revision. What is stored already stays as it is. */
export async function closeJob(
  jobId: string,
  ready: ReadyToClose,
  changeReason: string,
  now: Date,
): Promise<RevisionEntry> {
  for (let round = 0; ; round++) {
    const last = (await listRevisions(jobId)).at(-1);
    const before = last ? await loadRevision(last.sha256) : null;
    if (last && !before) {
      throw new Error(`Revision ${last.number} cannot be read.`);
    }
    const sealed = closeRevision({
      // A record that came from another device keeps its name.
      record: before?.revision.record ?? jobId,
      content: ready.content,
      before,
      changeReason,
      openPoints: ready.openPoints,
      chain: await nextLink(),
      closedAt: localTime(now),
      timeZone: Intl.DateTimeFormat().resolvedOptions().timeZone,
      program: `Plumbshot ${programVersion}`,
    });
    const { stateKey: key, photos, attachments } = ready;
    const entry = entryOf(sealed, {
      stateKey: key,
      photos: [...photos],
      attachments: [...attachments],
    });
    try {
      await addRevision(sealed, entry);
      return entry;
    } catch (error) {
      // Another tab has closed a record: the next link is another one now.
      if (!((error as { cause?: unknown }).cause instanceof ChainMoved) || round > 3) {
        throw error;
      }
    }
  }
}

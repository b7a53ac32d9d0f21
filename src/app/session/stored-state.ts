import * as jobs from "../store/jobs.ts";
import { loadSteps } from "../store/kept-steps.ts";
import { loadOutcomes } from "../store/outcomes.ts";
import { deletePhotos, listPhotos } from "../store/photos.ts";
import type { JobRecord } from "../store/schema.ts";
import type { JobState } from "./job-state.ts";

/**
 * Everything stored about a job. Changes nothing: what was put aside is left out here and thrown away
 * by the tab that holds the job (`throwAwayPutAside`).
 */
export async function readState(record: JobRecord, engineVersion: string): Promise<JobState> {
  const photos = (await listPhotos(record.id)).filter((photo) => !photo.removed);
  const outcomes = await loadOutcomes(
    photos.map(({ id }) => id),
    engineVersion,
  );
  const profiles = record.camera.profileId ? await jobs.listProfiles() : [];
  return {
    record,
    photos,
    outcomes,
    working: new Set(),
    paused: false,
    loading: null,
    computing: null,
    camera: await jobs.loadCamera(record.id),
    guidance: await jobs.loadGuidance(record.id),
    profile: profiles.find((item) => item.id === record.camera.profileId)?.profile ?? null,
    result: await jobs.loadResult(record.id),
    keptSteps: await loadSteps(record.id),
    failure: null,
    refusals: [],
    undo: [],
    missed: null,
    writable: false,
    trouble: null,
  };
}

/**
 * Throws away the photos that were put aside before the job was opened. Only for the tab that holds
 * the job: another one may still offer to bring them back.
 */
export async function throwAwayPutAside(jobId: string): Promise<void> {
  const removed = (await listPhotos(jobId)).filter((photo) => photo.removed);
  if (removed.length > 0) {
    await deletePhotos(removed.map(({ id }) => id));
  }
}

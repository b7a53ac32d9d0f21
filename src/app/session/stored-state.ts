import * as jobs from "../store/jobs.ts";
import { loadOutcome, type StoredOutcome } from "../store/outcomes.ts";
import type { JobRecord } from "../store/schema.ts";
import type { JobState } from "./job-state.ts";
import { loadSteps } from "./steps.ts";

/** Everything stored about a job; photos put aside earlier are thrown away here. */
export async function readState(record: JobRecord, engineVersion: string): Promise<JobState> {
  const stored = await jobs.listPhotos(record.id);
  for (const photo of stored.filter((item) => item.removed)) {
    await jobs.deletePhoto(photo.id);
  }
  const photos = stored.filter((item) => !item.removed);
  const outcomes = new Map<string, StoredOutcome>();
  for (const photo of photos) {
    const outcome = await loadOutcome(photo.id, engineVersion);
    if (outcome) {
      outcomes.set(photo.id, outcome);
    }
  }
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
    writable: true,
    trouble: null,
  };
}

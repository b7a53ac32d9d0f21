import type { JobRecord, PhotoRecord } from "../store/database/schema.ts";
import { loadSteps } from "../store/kept-steps.ts";
import { loadOutcomes } from "../store/outcomes.ts";
import { loadPhoneLenses, type PhoneLens } from "../store/phone-lenses.ts";
import { deletePhotos, listPhotos, savePhotos } from "../store/photos.ts";
import { listProfiles, type StoredProfile } from "../store/profiles.ts";
import { listRevisions } from "../store/records/revisions.ts";
import { loadCamera, loadGuidance, loadResult } from "../store/results.ts";
import type { JobState, OtherLens } from "./job-state.ts";

/**
 * Everything stored about a job. Changes nothing: what was put aside is left out here and settled
 * by the tab that holds the job (`settlePutAside`).
 */
export async function readState(record: JobRecord, engineVersion: string): Promise<JobState> {
  const photos = (await listPhotos(record.id)).filter((photo) => !photo.removed);
  const outcomes = await loadOutcomes(
    photos.map(({ id }) => id),
    engineVersion,
  );
  const { profileId, others = [] } = record.camera;
  const profiles = profileId || others.length > 0 ? await listProfiles() : [];
  return {
    record,
    photos,
    outcomes,
    working: new Set(),
    paused: false,
    loading: null,
    computing: null,
    camera: await loadCamera(record.id),
    guidance: await loadGuidance(record.id),
    plan: null,
    planFailure: null,
    profile: profiles.find((item) => item.id === profileId)?.profile ?? null,
    otherLenses: otherLenses(record, profiles, await loadPhoneLenses(record.id)),
    result: await loadResult(record.id),
    keptSteps: await loadSteps(record.id),
    revisions: await listRevisions(record.id),
    failure: null,
    refusals: [],
    undo: [],
    missed: null,
    writable: false,
    trouble: null,
  };
}

/** Lenses beside the job's own: kept ones that were chosen here, then those of the other phones. */
export function otherLenses(
  { camera }: Pick<JobRecord, "camera">,
  profiles: readonly StoredProfile[],
  ofPhones: readonly PhoneLens[],
): OtherLens[] {
  const chosen = (camera.others ?? [])
    .filter((id) => id !== camera.profileId)
    .flatMap((id) => profiles.find((item) => item.id === id) ?? []);
  return [
    ...chosen.map(({ profile }) => ({ phone: null, source: "saved profile" as const, profile })),
    ...ofPhones.map(({ phone, source, profile }) => ({ phone, source, profile })),
  ];
}

/**
 * Photos that were put aside: those whose return was offered once since are thrown away, the others
 * are given back to be offered, because the page may have ended before anybody could undo. Only for
 * the tab that holds the job: another one may still offer them.
 */
export async function settlePutAside(jobId: string): Promise<readonly PhotoRecord[]> {
  const removed = (await listPhotos(jobId)).filter((photo) => photo.removed);
  const over = removed.filter(({ offeredBack }) => offeredBack);
  const offered = removed
    .filter(({ offeredBack }) => !offeredBack)
    .map((photo) => ({ ...photo, offeredBack: true }));
  if (over.length > 0) {
    await deletePhotos(over.map(({ id }) => id));
  }
  if (offered.length > 0) {
    await savePhotos(offered);
  }
  return offered;
}

import type { Result } from "../../job/result/result.ts";
import * as jobs from "../store/jobs.ts";
import { examinedPhotos } from "../store/outcomes.ts";
import type { JobRecord } from "../store/schema.ts";
import { cameraDigest, type DigestState, inputsDigest } from "./inputs.ts";
import { activePhotos, standPhotosMissing, usesSheetPhotos } from "./job-state.ts";

/** What the list of jobs says: a verdict only where it belongs to the present entries. */
export type ListedVerdict = Result["outcome"] | "to be measured again" | "not measured";

/** The verdict of a stored job as it may be listed, without opening the job. */
export async function listedVerdict(
  record: JobRecord,
  engineVersion: string,
): Promise<ListedVerdict> {
  const stored = await jobs.loadResult(record.id);
  if (!stored) {
    return "not measured";
  }
  const photos = (await jobs.listPhotos(record.id)).filter((photo) => !photo.removed);
  const { profileId } = record.camera;
  const profiles = profileId ? await jobs.listProfiles() : [];
  const state: DigestState = {
    record,
    photos,
    outcomes: await examinedPhotos(photos.map(({ id }) => id)),
    camera: await jobs.loadCamera(record.id),
    profile: profiles.find(({ id }) => id === profileId)?.profile ?? null,
  };
  return isPresent(state, stored.inputs, engineVersion)
    ? stored.result.outcome
    : "to be measured again";
}

/**
 * True where a result with this digest belongs to the present entries and photos. A measurement that
 * failed stores nothing, so that the result before it carries the digest of other entries.
 */
export function isPresent(state: DigestState, inputs: string, engineVersion: string): boolean {
  const open = (purpose: "boards" | "sheet") =>
    activePhotos(state, purpose).some((photo) => !state.outcomes.has(photo.id));
  const sheetChanged =
    usesSheetPhotos(state) &&
    (open("sheet") ||
      (activePhotos(state, "sheet").length > 0 &&
        state.camera?.inputs !== cameraDigest(state, engineVersion)));
  return (
    !standPhotosMissing(state) &&
    !open("boards") &&
    !sheetChanged &&
    inputs === inputsDigest(state, engineVersion)
  );
}

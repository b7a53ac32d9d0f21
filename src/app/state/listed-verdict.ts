import type { JobRecord } from "../store/database/schema.ts";
import { type EngineVerdict, notMeasured } from "../store/listings.ts";
import { examinedPhotos } from "../store/outcomes.ts";
import { loadPhoneLenses } from "../store/phone-lenses.ts";
import { listPhotos } from "../store/photos.ts";
import { listProfiles } from "../store/profiles.ts";
import { loadCamera, loadResult, type StoredResult } from "../store/results.ts";
import { cameraDigest, type DigestState, inputsDigest } from "./inputs.ts";
import { activePhotos, standPhotosMissing, usesSheetPhotos } from "./job-state.ts";
import { otherLenses } from "./stored-state.ts";

/** A job's verdict for the list: a verdict only where it belongs to the present entries. */
export function verdictToList(
  state: DigestState & { readonly result: StoredResult | null },
  engineVersion: string,
): EngineVerdict {
  const { result } = state;
  if (!result) {
    return notMeasured;
  }
  const present = isPresent(state, result.inputs, engineVersion);
  return {
    verdict: present ? result.result.outcome : "to be measured again",
    engine: engineVersion,
  };
}

/** The same of a stored job that is not open; reads all of it. */
export async function storedVerdict(
  record: JobRecord,
  engineVersion: string,
): Promise<EngineVerdict> {
  const result = await loadResult(record.id);
  if (!result) {
    return notMeasured;
  }
  const photos = (await listPhotos(record.id)).filter((photo) => !photo.removed);
  const { profileId, others = [] } = record.camera;
  const profiles = profileId || others.length > 0 ? await listProfiles() : [];
  const state = {
    record,
    photos,
    result,
    outcomes: await examinedPhotos(photos.map(({ id }) => id)),
    camera: await loadCamera(record.id),
    profile: profiles.find(({ id }) => id === profileId)?.profile ?? null,
    otherLenses: otherLenses(record, profiles, await loadPhoneLenses(record.id)),
  };
  return verdictToList(state, engineVersion);
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

import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { CameraKnowledge, SolveInput } from "../../job/run/run.ts";
import type { PhotoRecord } from "../store/database/schema.ts";
import { digest } from "./digest.ts";
import { jobFileInput } from "./job-file.ts";
import { activePhotos, type JobState, knownCameras } from "./job-state.ts";
import { hasUnread } from "./unread.ts";

/** Photo names in the order of the command line: by name, numbers by value. */
export const byName = (a: PhotoRecord, b: PhotoRecord): number =>
  a.name.localeCompare(b.name, "en", { numeric: true });

export function sheetOutcomes(state: JobState): PhotoOutcome[] {
  return activePhotos(state, "sheet")
    .sort(byName)
    .flatMap((photo) => state.outcomes.get(photo.id)?.outcome ?? []);
}

/** Findings of all bay photos; job.json says which set-up and epoch each belongs to. */
export function boardOutcomes(state: JobState): PhotoOutcome[] {
  return activePhotos(state, "boards")
    .sort(byName)
    .flatMap((photo) => state.outcomes.get(photo.id)?.outcome ?? []);
}

/** What the digests need of a job: of its photos only which were examined. */
export type DigestState = Pick<
  JobState,
  "record" | "photos" | "camera" | "profile" | "otherLenses"
> & {
  readonly outcomes: { has(photoId: string): boolean };
};

/** What is known about the camera, as the measurement wants it. */
export function cameraKnowledge(
  state: Pick<JobState, "record" | "camera" | "profile">,
): CameraKnowledge | null {
  switch (state.record.camera.source) {
    case "sheet photos":
      return state.camera?.answer.ok ? state.camera.answer.camera : null;
    case "saved profile":
      return state.profile
        ? { profile: state.profile, source: "saved profile", remarks: [] }
        : null;
    case "own photos":
      return null;
  }
}

/** All lenses, as the measurement wants them: this phone's own, and those of the others. */
export function knownLenses(
  state: Pick<JobState, "record" | "camera" | "profile" | "otherLenses">,
): Pick<SolveInput, "camera" | "otherCameras"> {
  const own = cameraKnowledge(state);
  if (state.otherLenses.length === 0) {
    return { camera: own };
  }
  const cameras = knownCameras(own?.profile ?? null, state.otherLenses);
  const otherCameras = cameras.slice(own ? 1 : 0).map(
    ({ source = "saved profile", ...camera }): CameraKnowledge => ({
      ...camera,
      source,
      remarks: [],
    }),
  );
  const { alsoOf } = cameras[0];
  return { camera: own && alsoOf ? { ...own, alsoOf } : own, otherCameras };
}

/** Changes whenever the camera step would see something else. */
export function cameraDigest(
  state: Pick<DigestState, "photos" | "outcomes">,
  engineVersion: string,
): string {
  const photos = activePhotos(state, "sheet").filter((photo) => state.outcomes.has(photo.id));
  return digest([engineVersion, photos.map((photo) => photo.fingerprint)]);
}

/** Changes whenever a measurement would see something else. */
export function inputsDigest(state: DigestState, engineVersion: string): string {
  const photos = activePhotos(state, "boards")
    .filter((photo) => state.outcomes.has(photo.id))
    .map((photo) => photo.fingerprint);
  const camera = cameraKnowledge(state);
  const { otherLenses } = state;
  return digest([
    engineVersion,
    jobFileInput(state.record, state.photos),
    photos,
    camera?.profile.lens ?? null,
    camera?.profile.covariance ?? null,
    ...otherLenses.map(({ phone, profile }) => [phone, profile.lens, profile.covariance]),
    ...(hasUnread(state.record) ? [state.record.unread] : []),
  ]);
}

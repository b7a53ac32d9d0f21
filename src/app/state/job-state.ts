import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { Remark } from "../../job/result/remark-codes.ts";
import type { Result } from "../../job/result/result.ts";
import type { LensChoice } from "../../job/run/run.ts";
import type { Lens } from "../../lens/lens.ts";
import type { CameraProfile } from "../../lens/profile.ts";
import { cameraOfPhoto, type KnownCamera } from "../../lens/which-camera.ts";
import type { PlanAnswer } from "../../plan/plan-types.ts";
import type { RevisionEntry } from "../store/database/revision-entry.ts";
import type { JobRecord, PhotoRecord } from "../store/database/schema.ts";
import type { StoredGuidance } from "../store/guidance-record.ts";
import type { Intake } from "../store/intake.ts";
import type { StoredOutcome } from "../store/outcomes.ts";
import type { StoredCamera, StoredResult } from "../store/results.ts";
import { digest } from "./digest.ts";
import type { Refusal } from "./photo/photo-intake.ts";

/** A lens beside the job's own: of another phone of the shop, or kept and chosen here. */
export interface OtherLens {
  /** The phone's name as its photos carry it; null where the lens was chosen on this device. */
  readonly phone: string | null;
  readonly source: "sheet photos" | "saved profile";
  readonly profile: CameraProfile;
}

/** What all screens of one job show. Replaced as a whole at every change, never edited. */
export interface JobState {
  readonly record: JobRecord;
  /** All photos, those put aside included. */
  readonly photos: readonly PhotoRecord[];
  readonly outcomes: ReadonlyMap<string, StoredOutcome>;
  /** Photos being examined at this moment. */
  readonly working: ReadonlySet<string>;
  readonly paused: boolean;
  /** Share of the vision code that has arrived, null when it is not being loaded. */
  readonly loading: number | null;
  /** Computing step that runs, null when none runs. */
  readonly computing: "camera" | "adjustment" | null;
  readonly camera: StoredCamera | null;
  /** Which sheet photo to take next, and for which photos that was said. */
  readonly guidance: StoredGuidance | null;
  /** Which photos of the bay to take, and for which inputs that was said; null until it is asked. */
  readonly plan: { readonly inputs: string; readonly answer: PlanAnswer } | null;
  /** Why the plan for these inputs could not be worked out; null where nothing failed. */
  readonly planFailure: { readonly inputs: string; readonly reason: string } | null;
  /** The saved profile that the job has chosen, null without one. */
  readonly profile: CameraProfile | null;
  /** Lenses of the other phones that took photos of this job. */
  readonly otherLenses: readonly OtherLens[];
  readonly result: StoredResult | null;
  /** Results of steps that were left, by step id. */
  readonly keptSteps: ReadonlyMap<string, Result>;
  /** Closed revisions of the job's record, the first one first. */
  readonly revisions: readonly RevisionEntry[];
  /** Why the last measurement gave no result, and for which inputs. */
  readonly failure: { readonly inputs: string; readonly remarks: readonly Remark[] } | null;
  readonly refusals: readonly Refusal[];
  /** Photos put aside last, for undo. */
  readonly undo: readonly string[];
  /** Photos that did not arrive because the page was ended, to be asked for again; null for none. */
  readonly missed: Omit<Intake, "version"> | null;
  /** False while another tab holds the job. */
  readonly writable: boolean;
  readonly trouble: "storage full" | "not saved" | "engine failed" | "changed elsewhere" | null;
}

/** Photos that count (not put aside), of one purpose. */
export function activePhotos(
  state: Pick<JobState, "photos">,
  purpose: PhotoRecord["purpose"],
): PhotoRecord[] {
  return state.photos.filter((photo) => photo.purpose === purpose && !photo.removed);
}

/** The profile of this phone's lens, null while none is known. */
function ownProfile(state: JobState): CameraProfile | null {
  switch (state.record.camera.source) {
    case "sheet photos":
      return state.camera?.answer.ok ? state.camera.answer.camera.profile : null;
    case "saved profile":
      return state.profile;
    case "own photos":
      return null;
  }
}

/** With which lens a photo of the bay is examined: its own phone's, where it is known. */
export function lensChoice(state: JobState, photo: Pick<PhotoRecord, "device">): LensChoice {
  const own = ownProfile(state);
  const lens = own?.lens ?? null;
  if (state.otherLenses.length === 0) {
    return { lens };
  }
  return { lens, cameras: knownCameras(own, state.otherLenses), phone: photo.device ?? null };
}

/** All lenses, each once: a device may work with the lens of another one. */
export function knownCameras(
  own: CameraProfile | null,
  others: readonly OtherLens[],
): readonly (KnownCamera & { readonly source?: OtherLens["source"] })[] {
  const cameras: {
    profile: CameraProfile;
    phone?: string;
    alsoOf?: string[];
    source?: OtherLens["source"];
  }[] = own ? [{ profile: own }] : [];
  for (const { phone, profile, source } of others) {
    const present = cameras.find((camera) => isSameLens(camera.profile, profile));
    if (!present) {
      cameras.push({ profile, source, ...(phone === null ? {} : { phone }) });
    } else if (phone !== null) {
      present.alsoOf = [...(present.alsoOf ?? []), phone];
    }
  }
  return cameras;
}

const isSameLens = (a: CameraProfile, b: CameraProfile): boolean =>
  JSON.stringify([a.identity, a.lens]) === JSON.stringify([b.identity, b.lens]);

const keyOfLens = (lens: Lens | null): string => (lens ? digest(lens) : "none");

/** Names the lens that a photo was examined with; changes where it would be examined with another. */
export function lensKeyOf(choice: LensChoice, outcome: PhotoOutcome): string {
  if (!choice.cameras || !outcome.ok) {
    return keyOfLens(choice.lens);
  }
  const own = cameraOfPhoto(choice.cameras, outcome.findings, choice.phone ?? null);
  if (!own.ok) {
    return keyOfLens(null);
  }
  return keyOfLens(own.match.kind === "same" ? own.camera.profile.lens : own.match.lens);
}

function isExamined(state: JobState, photo: PhotoRecord): boolean {
  const stored = state.outcomes.get(photo.id);
  return (
    stored !== undefined &&
    (photo.purpose === "sheet" ||
      stored.lensKey === lensKeyOf(lensChoice(state, photo), stored.outcome))
  );
}

/** Photos of one purpose that still have to be examined, those under way included. */
export function openPhotos(state: JobState, purpose: "boards" | "sheet" | "target"): PhotoRecord[] {
  return activePhotos(state, purpose).filter((photo) => !isExamined(state, photo));
}

/** True where the stand was moved and no photo shows it where it stands now. */
export function standPhotosMissing(state: Pick<JobState, "record" | "photos">): boolean {
  const { setups } = state.record.photos;
  const shown = activePhotos(state, "boards").some(
    (photo) => photo.setup === setups && photo.epoch === "before",
  );
  return setups > 1 && !shown;
}

/**
 * The result that may speak as a verdict: none after the stand was moved, and none where the present
 * inputs give no result, however well earlier ones did.
 */
export function presentResult(state: JobState): StoredResult | null {
  return state.failure || standPhotosMissing(state) ? null : state.result;
}

/** True where sheet photos are to be examined: otherwise the lens comes from elsewhere. */
export function usesSheetPhotos(state: Pick<JobState, "record">): boolean {
  return state.record.camera.source === "sheet photos";
}

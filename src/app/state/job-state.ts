import type { Remark } from "../../job/result/remark-codes.ts";
import type { Result } from "../../job/result/result.ts";
import type { Lens } from "../../lens/lens.ts";
import type { CameraProfile } from "../../lens/profile.ts";
import type { PlanAnswer } from "../../plan/plan-types.ts";
import type { RevisionEntry } from "../store/database/revision-entry.ts";
import type { JobRecord, PhotoRecord } from "../store/database/schema.ts";
import type { StoredGuidance } from "../store/guidance-record.ts";
import type { Intake } from "../store/intake.ts";
import type { StoredOutcome } from "../store/outcomes.ts";
import type { StoredCamera, StoredResult } from "../store/results.ts";
import { digest } from "./digest.ts";
import type { Refusal } from "./photo/photo-intake.ts";

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
  /** The saved profile that the job has chosen, null without one. */
  readonly profile: CameraProfile | null;
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

/** The lens that board photos are examined with, null while none is known. */
export function knownLens(state: JobState): Lens | null {
  switch (state.record.camera.source) {
    case "sheet photos":
      return state.camera?.answer.ok ? state.camera.answer.camera.profile.lens : null;
    case "saved profile":
      return state.profile?.lens ?? null;
    case "own photos":
      return null;
  }
}

export const lensKeyOf = (lens: Lens | null): string => (lens ? digest(lens) : "none");

function isExamined(state: JobState, photo: PhotoRecord, lensKey: string): boolean {
  const stored = state.outcomes.get(photo.id);
  return stored !== undefined && (photo.purpose === "sheet" || stored.lensKey === lensKey);
}

/** Photos of one purpose that still have to be examined, those under way included. */
export function openPhotos(state: JobState, purpose: "boards" | "sheet" | "target"): PhotoRecord[] {
  const lensKey = lensKeyOf(knownLens(state));
  return activePhotos(state, purpose).filter((photo) => !isExamined(state, photo, lensKey));
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

import type { Result } from "../../job/result/result.ts";
import { expandTiltSteps, placementSheetSchema } from "../../placement/sheet/sheet.ts";
import type { JobRecord } from "../store/database/schema.ts";
import type { JobState } from "./job-state.ts";

/**
 * Steps of a placement sheet, one after the other. The present step is measured with the photos of
 * the present set-up; the result of a step that was left is kept as it was, for the record.
 */
export interface SheetStep {
  readonly id: string;
  readonly title: string;
}

/** The steps in order, every tilt of a plate as one of its own; none where the sheet is wrong. */
export function stepsOf(sheet: unknown): SheetStep[] {
  const parsed = placementSheetSchema.safeParse(sheet);
  return parsed.success ? parsed.data.steps.flatMap(expandTiltSteps) : [];
}

/** Where the job stands in its sheet, or null for a sheet of one step. */
export interface StepPlace {
  readonly steps: readonly SheetStep[];
  readonly present: number;
  /** The first step after the present one that has no kept result; null when there is none. */
  readonly next: SheetStep | null;
}

export function stepPlace(state: Pick<JobState, "record" | "keptSteps">): StepPlace | null {
  const { placement } = state.record;
  const steps = stepsOf(placement.sheet);
  if (steps.length < 2) {
    return null;
  }
  const present = Math.max(
    0,
    steps.findIndex((step) => step.id === placement.step),
  );
  const later = [...steps.slice(present + 1), ...steps.slice(0, present)];
  return { steps, present, next: later.find((step) => !state.keptSteps.has(step.id)) ?? null };
}

/** Kept results of the other steps, in the order of the sheet, for the record. */
export function keptBefore(state: JobState): { step: SheetStep; result: Result }[] {
  const place = stepPlace(state);
  return (place?.steps ?? []).flatMap((step, index) => {
    const result = state.keptSteps.get(step.id);
    return result && index !== place?.present ? [{ step, result }] : [];
  });
}

/** The job with the given step as the present one and a set-up of the stand of its own. */
export const withStep = (record: JobRecord, step: SheetStep): JobRecord => ({
  ...record,
  placement: { ...record.placement, step: step.id },
  photos: { ...record.photos, setups: record.photos.setups + 1 },
});

import type { Standing } from "../../record/revision.ts";
import type { PhotoRecord } from "../store/database/schema.ts";
import { digest } from "./digest.ts";
import { type JobState, presentResult } from "./job-state.ts";
import { keptBefore } from "./steps.ts";

/** What the job's state says about its record. */

const shown = (state: JobState): PhotoRecord[] => state.photos.filter(({ removed }) => !removed);

/**
 * Changes whenever a closed revision would say something else: entries, photos and where they belong,
 * results. Quick enough to be asked at every change, because no photo is hashed for it.
 */
export function stateKey(state: JobState): string {
  const { record } = state;
  const { closedAt: _closedAt, ...entered } = record.record;
  return digest([
    [record.title, record.car, record.bay, record.boards, record.camera, record.placement],
    [entered, record.standings],
    shown(state).map(({ id, purpose, position, setup, epoch, about, name }) => [
      id,
      purpose,
      position,
      setup,
      epoch,
      about,
      name,
    ]),
    presentResult(state)?.inputs ?? null,
    keptBefore(state).map(({ step }) => step.id),
  ]);
}

/** The stand where it stands now, for the record of where it stood; null without a result. */
export function standingOf(state: JobState): Standing | null {
  const stored = presentResult(state);
  if (!stored) {
    return null;
  }
  const { result } = stored;
  return {
    step: state.record.placement.step,
    setup: state.record.photos.setups,
    measuredAt: result.measuredAt,
    outcome: result.outcome,
    checks: result.checks.map((check) => ({
      id: check.id,
      label: check.label,
      labelSaid: check.labelSaid,
      quantity: check.quantity,
      unit: check.unit,
      required: check.required,
      measured: check.measured,
      expandedUncertainty: check.expandedUncertainty,
      verdict: check.verdict,
    })),
    moves: result.moves,
  };
}

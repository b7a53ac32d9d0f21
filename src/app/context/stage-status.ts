import { fewestPhotos } from "../../calibrate/guidance/photo-set.ts";
import { isHeldBack } from "../../job/result/outcome.ts";
import { readPlacementSheet } from "../../placement/sheet/sheet-questions.ts";
import type { Parameters, TextKey } from "../i18n/translate.ts";
import { platesStated } from "../library/plates.ts";
import { isRead, printSetsOf } from "../library/print-sets.ts";
import { isTargetComplete, typedTargets } from "../library/typed-target.ts";
import { bayChecks, carChecks, openCount, recordChecks } from "../state/check-lists.ts";
import { isComplete } from "../state/job-file.ts";
import {
  activePhotos,
  type JobState,
  openPhotos,
  presentResult,
  standPhotosMissing,
} from "../state/job-state.ts";
import { stateKey } from "../state/record-state.ts";
import { stepPlace } from "../state/steps.ts";
import type { StoredGuidance } from "../store/guidance-record.ts";
import type { StoredCamera } from "../store/results.ts";
import { photosProve } from "./proof.ts";
import { type Stage, stages } from "./routes.ts";

/** One line per stage: what is done or missing, in words. */
export interface StageStatus {
  readonly stage: Stage;
  readonly done: boolean;
  /** True where something is still asked for here although the stage is good enough. */
  readonly asks?: boolean;
  readonly text: TextKey;
  readonly parameters: Parameters;
}

type Line = Omit<StageStatus, "stage">;

const done = (text: TextKey, parameters: Parameters = {}): Line => ({
  done: true,
  text,
  parameters,
});
const missing = (text: TextKey, parameters: Parameters = {}): Line => ({
  done: false,
  text,
  parameters,
});

/** Fewer useful photos than this rarely tie car and stand together: common practice, no source. */
export const fewestBayPhotos = 8;

/**
 * A lens counts as done once no more sheet photos are asked for, or once it has proven good enough
 * for a verdict that stands.
 */
function sheetStatus(
  { answer }: StoredCamera,
  stored: StoredGuidance | null,
  proven: boolean,
): Line {
  if (answer.ok) {
    const count = answer.camera.profile.photos;
    const more = stored !== null && !stored.guidance.enough;
    const line = more && !proven ? missing : done;
    const status = line(more ? "status.cameraMore" : "status.cameraSheet", { count });
    // Before the advice is there nobody knows whether more photos are needed.
    return more || stored === null ? { ...status, asks: true } : status;
  }
  const { counted = fewestPhotos, atLeast } = stored?.guidance ?? {};
  return counted < fewestPhotos
    ? missing("status.cameraFew", { count: counted, least: atLeast ?? fewestPhotos })
    : missing("status.cameraFailed");
}

/** Photos of the bay that cannot be read or show no board. */
const uselessPhotos = (state: JobState): number =>
  activePhotos(state, "boards").filter(({ id }) => {
    const outcome = state.outcomes.get(id)?.outcome;
    return outcome && !(outcome.ok && outcome.findings.boards.length > 0);
  }).length;

const lines: Record<Stage, (state: JobState) => Line> = {
  car: ({ record: { car } }) => {
    const open = openCount(carChecks, car.checks);
    if (!car.description && !car.plate && !car.vin) {
      return missing("status.carUnnamed");
    }
    return open > 0 ? missing("status.checksOpen", { count: open }) : done("status.checksDone");
  },
  sheet: ({ record }) => {
    const { sheet } = record.placement;
    if (sheet === null) {
      return missing("status.noSheet");
    }
    const reading = readPlacementSheet(sheet);
    if (!reading.ok) {
      return missing("status.sheetOpen");
    }
    const known = typedTargets(record).filter(isTargetComplete);
    const { steps } = reading.sheet;
    const count = steps.reduce((sum, { checks }) => sum + checks.length, 0);
    return steps.every(({ target }) => known.some(({ name }) => name === target.name))
      ? done("status.sheetDone", { count })
      : missing("status.sheetNoTarget");
  },
  bay: ({ record: { bay } }) => {
    const open = openCount(bayChecks, bay.checks);
    return open > 0 ? missing("status.checksOpen", { count: open }) : done("status.checksDone");
  },
  boards: ({ record: { boards } }) => {
    const { lengths } = boards;
    if (!printSetsOf({ boards }).every(isRead)) {
      return missing("status.printUnchecked");
    }
    if (!platesStated({ boards })) {
      return missing("status.noPlates");
    }
    const count = lengths.filter(isComplete).length;
    return count > 0 ? done("status.boardsDone", { count }) : missing("status.noLength");
  },
  camera: (state) => {
    const { source } = state.record.camera;
    if (source === "own photos") {
      return done("status.cameraOwn");
    }
    if (source === "saved profile") {
      return state.profile ? done("status.cameraProfile") : missing("status.cameraNone");
    }
    const count = activePhotos(state, "sheet").length;
    if (count === 0) {
      return missing("status.cameraNone");
    }
    if (!state.camera) {
      return missing("status.cameraRunning");
    }
    const status = sheetStatus(state.camera, state.guidance, allMeet(state));
    return openPhotos(state, "sheet").length > 0 ? { ...status, asks: true } : status;
  },
  photos: (state) => {
    const count = activePhotos(state, "boards").length;
    const open = openPhotos(state, "boards").length;
    if (count === 0) {
      return missing("status.noPhotos");
    }
    if (standPhotosMissing(state)) {
      return missing("status.reshoot");
    }
    if (open > 0) {
      return missing("status.photosOpen", { open, count });
    }
    const useless = uselessPhotos(state);
    const useful = count - useless;
    const proves = photosProve(state);
    if (proves === false) {
      return missing("status.photosMore", { count: useful });
    }
    if (proves === null && useful < fewestBayPhotos) {
      return useless === 0
        ? missing("status.photosFew", { useful, least: fewestBayPhotos })
        : missing("status.photosFewUseful", { useful, useless, least: fewestBayPhotos });
    }
    return useless === 0
      ? done("status.photosDone", { count })
      : done("status.photosSome", { count, useless });
  },
  placement: (state) => {
    const { record, result, failure } = state;
    if (record.placement.sheet === null) {
      return missing("status.noSheet");
    }
    if (failure) {
      return missing("status.noResult");
    }
    if (!result || standPhotosMissing(state)) {
      return missing("status.notMeasured");
    }
    const keys = {
      "all meet": "outcome.allMeet",
      "some miss": "outcome.someMiss",
      "not proven": "outcome.notProven",
    } as const;
    const key = keys[result.result.outcome];
    const place = stepPlace(state);
    if (place && stepStands(state)) {
      return missing("status.stepStands", { number: place.present + 1, count: place.steps.length });
    }
    return result.result.outcome === "all meet" ? done(key) : missing(key);
  },
  record: (state) => {
    const { record, revisions } = state;
    const last = revisions.at(-1);
    if (last) {
      const { number } = last;
      return last.stateKey === stateKey(state)
        ? done("status.closed", { number })
        : missing("status.changedSince", { number });
    }
    const open = openCount(recordChecks, record.record.checks);
    return missing("status.checksOpen", { count: open });
  },
};

/** True where the result leaves something unproven that more photos would prove. */
const needsPhotos = (state: JobState): boolean => photosProve(state) === false;

/** True where the present result says that everything stands right. */
const allMeet = (state: JobState): boolean => presentResult(state)?.result.outcome === "all meet";

const known = new WeakMap<JobState, StageStatus[]>();

/** The status of every stage, in order; worked out once for each state, whoever asks. */
export function stageStatuses(state: JobState): StageStatus[] {
  const statuses = known.get(state) ?? stages.map((stage) => ({ stage, ...lines[stage](state) }));
  known.set(state, statuses);
  return statuses;
}

/**
 * The stage to go on with: a stand that was moved, does not stand right yet or is done with one step
 * of several goes first, then the first stage that is not done; null when all are.
 */
export function nextStage(state: JobState): Stage | null {
  if (standPhotosMissing(state)) {
    return "photos";
  }
  const statuses = stageStatuses(state);
  if (needsPhotos(state)) {
    return "photos";
  }
  if (mustMove(state) || stepStands(state) || givesNoResult(state, statuses)) {
    return "placement";
  }
  return statuses.find((status) => !status.done)?.stage ?? null;
}

/** True where nothing is left to do in a stage: the way to the next one is what to do now. */
export const isFinished = ({ done, asks }: StageStatus): boolean => done && !asks;

/** True where a result says that the target does not stand right or is not proven. */
export const mustMove = (state: JobState): boolean => {
  const stored = presentResult(state);
  return stored !== null && stored.result.outcome !== "all meet";
};

/** True where lens and photos are there and still no result comes of them. */
const givesNoResult = (state: JobState, statuses: readonly StageStatus[]): boolean =>
  state.failure !== null &&
  statuses.every(({ stage, done }) => done || (stage !== "camera" && stage !== "photos"));

/** True where the present step stands right and another one waits. */
const stepStands = (state: JobState): boolean =>
  presentResult(state)?.result.outcome === "all meet" && (stepPlace(state)?.next ?? null) !== null;

/** What to do next, in a sentence. */
export function nextText(state: JobState, next: Stage): TextKey {
  if (next === "photos" && standPhotosMissing(state)) {
    return "next.reshoot";
  }
  if (next === "placement" && mustMove(state)) {
    return isHeldBack(presentResult(state)!.result) ? "next.doubt" : "next.move";
  }
  if (next === "placement" && state.failure) {
    return "next.failed";
  }
  return next === "placement" && stepStands(state) ? "next.step" : `next.${next}`;
}

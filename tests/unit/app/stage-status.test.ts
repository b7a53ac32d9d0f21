/** What a job asks for next, and when an earlier verdict stops speaking. */
import { describe, expect, test } from "vitest";
import { inventedJob, inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { type JobState, presentResult } from "../../../src/app/session/job-state.ts";
import { nextStage, nextText, stageStatuses } from "../../../src/app/session/stage-status.ts";
import type { PhotoRecord } from "../../../src/app/storage/schema.ts";

const photo = (id: string): PhotoRecord => ({
  ...{ id, jobId: "j", name: `${id}.jpg`, purpose: "boards", position: 1, setup: 1 },
  ...{ epoch: "before", about: "", addedAt: "2026-01-01", byteLength: 1, fingerprint: id },
  ...{ thumb: null, removed: false },
});

const outcome = (boards: number) => ({
  lensKey: "none",
  outcome: { ok: true, findings: { boards: Array.from({ length: boards }, () => ({})) } },
});

const failure = { inputs: "x", remarks: [] };

/** A job that takes the lens from its own photos; `boards` found in each of them. */
const stateWith = (boards: readonly number[], change: Partial<JobState> = {}): JobState =>
  ({
    record: { ...inventedJob(), camera: { source: "own photos", profileId: null } },
    photos: boards.map((_, at) => photo(`p${at}`)),
    outcomes: new Map(boards.map((count, at) => [`p${at}`, outcome(count)])),
    ...{ keptSteps: new Map(), result: null, failure: null, profile: null, camera: null },
    ...change,
  }) as unknown as JobState;

const photosLine = (state: JobState) => stageStatuses(state).find((s) => s.stage === "photos");

describe("a measurement that fails", () => {
  const result = { inputs: "before", result: inventedResult };

  test("silences the verdict of earlier inputs", () => {
    expect(presentResult(stateWith([3], { result }))).toBe(result);
    expect(presentResult(stateWith([3], { result, failure }))).toBeNull();
  });

  test("comes first once lens and photos are there, not while they are still missing", () => {
    const failed = stateWith([3, 4], { result, failure });
    expect(nextStage(failed)).toBe("placement");
    expect(nextText(failed, "placement")).toBe("next.failed");
    expect(nextStage(stateWith([], { failure }))).not.toBe("placement");
  });
});

describe("photos of no use", () => {
  test("are counted beside the others", () => {
    expect(photosLine(stateWith([3, 0, 4]))).toMatchObject({
      ...{ done: true, text: "status.photosSome", parameters: { count: 3, useless: 1 } },
    });
    expect(photosLine(stateWith([3, 4]))).toMatchObject({ done: true, text: "status.photosDone" });
  });

  test("alone leave the stage open", () => {
    expect(photosLine(stateWith([0, 0]))).toMatchObject({ done: false });
  });
});

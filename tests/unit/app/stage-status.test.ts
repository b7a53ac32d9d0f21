/** What a job asks for next, and when an earlier verdict stops speaking. */
import { describe, expect, test } from "vitest";
import { nextStage, nextText, stageStatuses } from "../../../src/app/context/stage-status.ts";
import { inventedJob, inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { cameraDigest, inputsDigest } from "../../../src/app/state/inputs.ts";
import { type JobState, presentResult } from "../../../src/app/state/job-state.ts";
import { isPresent } from "../../../src/app/state/listed-verdict.ts";
import type { PhotoRecord } from "../../../src/app/store/database/schema.ts";

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
    ...{
      keptSteps: new Map(),
      revisions: [],
      result: null,
      failure: null,
      profile: null,
      otherLenses: [],
      camera: null,
    },
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
    const failed = stateWith([3, 4, 3, 4, 3, 4, 3, 4], { result, failure });
    expect(nextStage(failed)).toBe("placement");
    expect(nextText(failed, "placement")).toBe("next.failed");
    expect(nextStage(stateWith([], { failure }))).not.toBe("placement");
  });
});

describe("photos of no use", () => {
  const eight = [3, 4, 3, 4, 3, 4, 3, 4];
  test("are counted beside the others", () => {
    expect(photosLine(stateWith([...eight, 0]))).toMatchObject({
      ...{ done: true, text: "status.photosSome", parameters: { count: 9, useless: 1 } },
    });
    expect(photosLine(stateWith(eight))).toMatchObject({ done: true, text: "status.photosDone" });
  });

  test("too few useful ones get no tick, whatever their number", () => {
    expect(photosLine(stateWith([3, 0, 0]))).toMatchObject({
      ...{ done: false, text: "status.photosFewUseful" },
      parameters: { useful: 1, useless: 2, least: 8 },
    });
    expect(photosLine(stateWith([...eight.slice(1), 0, 0]))).toMatchObject({ done: false });
  });

  test("alone leave the stage open", () => {
    expect(photosLine(stateWith([0, 0]))).toMatchObject({ done: false });
  });
});

describe("the list of jobs shows a verdict", () => {
  const engine = "1";
  const state = stateWith([3, 4]);
  const inputs = inputsDigest(state, engine);
  const { record } = state;
  const changed = (change: Partial<JobState>) => isPresent({ ...state, ...change }, inputs, engine);

  test("while it belongs to the present entries and photos", () => {
    expect(changed({})).toBe(true);
    const saved = { ...record, updatedAt: "2027-01-01", backedUpAt: "2027-01-01", revision: 9 };
    expect(changed({ record: saved })).toBe(true);
  });

  test("no more once an entry, a photo or the stand changed, whether or not a result came of it", () => {
    const sheet = { ...(record.placement.sheet as object), title: "Another sheet" };
    const { placement, photos } = record;
    const one = photo("p0");
    expect(changed({ record: { ...record, placement: { ...placement, sheet } } })).toBe(false);
    expect(changed({ record: { ...record, photos: { ...photos, setups: 2 } } })).toBe(false);
    expect(changed({ photos: [one] })).toBe(false);
    expect(changed({ photos: [one, { ...photo("p1"), epoch: "after" }] })).toBe(false);
    // A photo that was not examined yet may change the verdict.
    expect(changed({ photos: [...state.photos, photo("new")] })).toBe(false);
    expect(isPresent(state, inputs, "2")).toBe(false);
  });

  test("and no more once a photo of the camera sheet was added", () => {
    const camera = { source: "sheet photos" as const, profileId: null };
    const sheetPhoto = { ...photo("s0"), purpose: "sheet" as const };
    const withSheet = stateWith([3], {
      record: { ...record, camera },
      photos: [photo("p0"), sheetPhoto],
      outcomes: new Map([
        ["p0", outcome(3)],
        ["s0", outcome(1)],
      ]) as never,
    });
    const answer = { ok: false as const, remarks: [] };
    const measured = { ...withSheet, camera: { inputs: cameraDigest(withSheet, engine), answer } };
    const digest = inputsDigest(measured, engine);
    expect(isPresent(measured, digest, engine)).toBe(true);
    const another = { ...sheetPhoto, id: "s1", fingerprint: "s1" };
    const more = { ...measured, photos: [...measured.photos, another] };
    expect(isPresent(more, digest, engine)).toBe(false);
    const examined = { has: () => true };
    expect(isPresent({ ...more, outcomes: examined }, digest, engine)).toBe(false);
  });
});

describe("photos and proof", () => {
  const measured = (standardUncertainty: number, plan: JobState["plan"] = null): JobState => {
    const [check] = inventedResult.checks;
    const checks = [{ ...check, verdict: "not proven" as const, standardUncertainty }];
    const result = { ...inventedResult, outcome: "not proven" as const, checks };
    return stateWith([3, 4, 3, 4, 3, 4, 3, 4, 3], { result: { inputs: "x", result }, plan });
  };

  test("are asked for while a check within its tolerance cannot be proven", () => {
    const unsure = measured(6);
    expect(photosLine(unsure)).toMatchObject({ done: false, text: "status.photosMore" });
    expect(nextStage(unsure)).toBe("photos");
  });

  test("are done once a stand nearer to the middle would be proven: then the stand is moved", () => {
    const sure = measured(1.5);
    expect(photosLine(sure)).toMatchObject({ done: true });
    expect(nextStage(sure)).toBe("placement");
  });

  test("are done where the plan says that none helps", () => {
    const plan = { inputs: "x", answer: { ok: true, plan: { enough: true, taken: 9 } } };
    expect(photosLine(measured(6, plan as unknown as JobState["plan"]))).toMatchObject({
      done: true,
    });
  });
});

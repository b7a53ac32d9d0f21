import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Engine } from "../../../src/app/engine/engine.ts";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import { CameraGuide } from "../../../src/app/photos/camera-guide.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import type { RunnerHost } from "../../../src/app/state/runner-host.ts";
import { jobRecordSchema, type PhotoRecord } from "../../../src/app/store/database/schema.ts";
import type { Guidance } from "../../../src/calibrate/guidance/guidance.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { guideCamera } from "../../../src/job/run/learn-camera.ts";
import { simulateSample } from "../../tools/simulated-job.ts";

const { sheet } = simulateSample();

const photo = (at: number): PhotoRecord => ({
  ...{ id: `p${at}`, jobId: "j", name: `sheet-${at}.jpg`, purpose: "sheet", position: 1 },
  ...{ setup: 1, epoch: "before", about: "", addedAt: "2026-01-01", byteLength: 1 },
  ...{ fingerprint: `f${at}`, thumb: null, removed: false },
});

/** A job whose first `count` sheet photos have been examined. */
const jobWith = (count: number): Partial<JobState> => ({
  photos: Array.from({ length: count }, (_, at) => photo(at)),
  outcomes: new Map(
    Array.from({ length: count }, (_, at) => [
      `p${at}`,
      { lensKey: "none", outcome: sheet[at] as PhotoOutcome },
    ]),
  ),
});

/** The guide with an engine that answers when it is told to. */
const set = (first: Partial<JobState>) => {
  const record = jobRecordSchema.parse({
    ...inventedJob(),
    camera: { source: "sheet photos", profileId: null },
  });
  let state = {
    ...{
      record,
      guidance: null,
      plan: null,
      planFailure: null,
      writable: true,
      working: new Set<string>(),
      computing: null,
      trouble: null,
    },
    ...first,
  } as unknown as JobState;
  const asked: { photos: number; answer: () => void; fail: () => void }[] = [];
  const guide = (outcomes: readonly PhotoOutcome[]) =>
    new Promise<Guidance>((resolve, reject) => {
      asked.push({
        photos: outcomes.length,
        answer: () => resolve(guideCamera(outcomes)),
        fail: () => reject(new Error("the solver stopped")),
      });
    });
  const host: RunnerHost = {
    state: () => state,
    patch: (change) => {
      state = { ...state, ...change };
      made.look();
    },
    guard: async () => true,
    listing: () => {
      throw new Error("The guide lists nothing.");
    },
    adding: () => false,
  };
  const made: CameraGuide = new CameraGuide(host, { version: "1", guide } as unknown as Engine);
  return {
    asked,
    guide: made,
    trouble: () => state.trouble,
    shown: () => state.guidance?.guidance.counted ?? null,
    change: host.patch,
  };
};

const settle = () => vi.advanceTimersByTimeAsync(1000);

describe("advice on sheet photos while they come in", () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  test("asks once for a set of photos and keeps the answer", async () => {
    const { asked, guide, shown } = set(jobWith(2));
    guide.look();
    guide.look();
    await settle();
    expect(asked.map(({ photos }) => photos)).toEqual([2]);
    asked[0].answer();
    await settle();
    expect(shown()).toBe(2);
    guide.look();
    await settle();
    expect(asked).toHaveLength(1);
  });

  test("an answer for photos that are no longer the present ones is never shown", async () => {
    const { asked, guide, shown, change } = set(jobWith(2));
    guide.look();
    await settle();
    change(jobWith(3));
    await settle();
    expect(asked).toHaveLength(1);
    asked[0].answer();
    await settle();
    expect(shown()).toBeNull();
    expect(asked.map(({ photos }) => photos)).toEqual([2, 3]);
    asked[1].answer();
    await settle();
    expect(shown()).toBe(3);
  });

  test("waits while a sheet photo is still to be examined, and forgets with the last photo", async () => {
    const two = jobWith(2);
    const { asked, guide, shown, change } = set({ ...two, photos: [...two.photos!, photo(2)] });
    guide.look();
    await settle();
    expect(asked).toEqual([]);
    change(two);
    await settle();
    asked[0].answer();
    await settle();
    expect(shown()).toBe(2);
    change(jobWith(0));
    await settle();
    expect(shown()).toBeNull();
    expect(asked).toHaveLength(1);
  });

  test("asks nothing while another tab holds the job, or once it is closed", async () => {
    const reading = set({ ...jobWith(2), writable: false });
    reading.guide.look();
    await settle();
    expect(reading.asked).toEqual([]);
    const left = set(jobWith(2));
    left.guide.look();
    await settle();
    left.guide.close();
    left.asked[0].answer();
    await settle();
    expect(left.shown()).toBeNull();
  });

  test("stops where the engine fails, until the user tries again", async () => {
    const silence = vi.spyOn(console, "error").mockImplementation(() => undefined);
    const { asked, guide, change, trouble } = set(jobWith(2));
    guide.look();
    await settle();
    asked[0].fail();
    await settle();
    expect(silence).toHaveBeenCalledOnce();
    silence.mockRestore();
    expect(asked).toHaveLength(1);
    expect(trouble()).toBe("engine failed");
    change({ trouble: null });
    await settle();
    expect(asked.map(({ photos }) => photos)).toEqual([2, 2]);
  });
});

describe("the sample's sheet photos", () => {
  test("are good enough; without the photo of a corner that corner is asked for", () => {
    const guidance = guideCamera(sheet);
    expect(guidance.counted).toBe(12);
    expect(guidance.advice).toEqual({ code: "good-enough", photo: null, corners: [] });
    expect(guidance.expectedMm).toBeLessThan(0.2);
    expect(guidance.expectedMm).toBeGreaterThan(0.01);
    for (const [photo, corner] of [
      [5, "top left"],
      [6, "top right"],
      [7, "bottom right"],
      [8, "bottom left"],
    ] as const) {
      const without = guideCamera(sheet.filter((_, i) => i !== photo));
      expect(without.enough).toBe(false);
      expect(without.missingCorners).toEqual([corner]);
    }
  });
});

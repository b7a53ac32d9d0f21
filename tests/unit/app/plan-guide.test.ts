import { readFileSync } from "node:fs";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Engine } from "../../../src/app/engine/engine.ts";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import { PlanGuide } from "../../../src/app/photos/plan-guide.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import type { RunnerHost } from "../../../src/app/state/runner-host.ts";
import { jobRecordSchema } from "../../../src/app/store/database/schema.ts";
import type { PlanAnswer } from "../../../src/plan/plan-types.ts";

/** The guide with an engine that answers when it is told to. */
const set = () => {
  const record = jobRecordSchema.parse(inventedJob());
  record.placement.sheet = JSON.parse(
    readFileSync("sample-images/demo-job/placement.json", "utf8"),
  ) as unknown;
  let state = {
    ...{ record, photos: [], outcomes: new Map(), camera: null, profile: null, plan: null },
    ...{
      otherLenses: [],
      planFailure: null,
      writable: true,
      working: new Set(),
      computing: null,
      trouble: null,
    },
  } as unknown as JobState;
  const asked: { answer: () => void; fail: () => void }[] = [];
  const plan = (_: unknown, signal: AbortSignal) =>
    new Promise<PlanAnswer>((resolve, reject) => {
      signal.addEventListener("abort", () => reject(signal.reason));
      asked.push({
        answer: () => resolve({ ok: false, remarks: [] }),
        fail: () => reject(new Error("The solver stopped: out of memory")),
      });
    });
  const host: RunnerHost = {
    state: () => state,
    patch: (change) => {
      state = { ...state, ...change };
      guide.look();
    },
    guard: async () => true,
    listing: () => {
      throw new Error("The guide lists nothing.");
    },
    adding: () => false,
  };
  const guide: PlanGuide = new PlanGuide(host, { version: "1", plan } as unknown as Engine);
  return { asked, guide, state: () => state, change: host.patch };
};

const settle = () => vi.advanceTimersByTimeAsync(1000);

describe("the plan of the photos", () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  test("that fails says why, is not asked for over and over, and again when it is wanted", async () => {
    const { asked, guide, state } = set();
    guide.watch();
    await settle();
    expect(asked).toHaveLength(1);
    asked[0].fail();
    await settle();
    expect(state().planFailure?.reason).toBe("The solver stopped: out of memory");
    guide.look();
    await settle();
    expect(asked).toHaveLength(1);
    guide.again();
    await settle();
    expect(state().planFailure).toBeNull();
    expect(asked).toHaveLength(2);
    asked[1].answer();
    await settle();
    expect(state().plan?.answer.ok).toBe(false);
    expect(state().planFailure).toBeNull();
  });

  test("that failed is tried with other inputs by itself", async () => {
    const { asked, guide, state, change } = set();
    guide.watch();
    await settle();
    asked[0].fail();
    await settle();
    const { record } = state();
    change({ record: { ...record, car: { ...record.car, wheelbaseMm: 2811 } } });
    await settle();
    expect(asked).toHaveLength(2);
  });

  test("gives way to photos, is no failure then, and is asked for again", async () => {
    const { asked, guide, state } = set();
    guide.watch();
    await settle();
    expect(guide.isPlanning).toBe(true);
    guide.giveWay();
    await vi.advanceTimersByTimeAsync(0);
    expect(guide.isPlanning).toBe(false);
    expect(state().planFailure).toBeNull();
    await settle();
    expect(asked).toHaveLength(2);
    asked[1].answer();
    await settle();
    expect(state().plan?.answer.ok).toBe(false);
  });

  test("is not asked for once nobody looks at it any more", async () => {
    const { asked, guide } = set();
    guide.watch()();
    await settle();
    expect(asked).toHaveLength(0);
  });
});

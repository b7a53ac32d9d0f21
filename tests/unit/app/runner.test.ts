/** The runner, the saver and what is read of a stored job, each by itself. */
import { beforeEach, describe, expect, test, vi } from "vitest";
import type { Engine } from "../../../src/app/engine/engine.ts";
import type { JobState } from "../../../src/app/state/job-state.ts";
import type { PhotoRecord } from "../../../src/app/store/database/schema.ts";
import { freshPage, jpegFile, plainJob, quickEngine, until } from "./app-store.ts";

let app: Awaited<ReturnType<typeof freshPage>>;

const photo = (id: string, more: Partial<PhotoRecord> = {}): PhotoRecord => ({
  ...{ id, jobId: "job", name: `${id}.jpg`, purpose: "boards", position: 1, setup: 1 },
  ...{ epoch: "before", about: "", addedAt: `2026-01-01T00:00:00.${id}Z`, byteLength: 1 },
  ...{ fingerprint: id, thumb: null, removed: false },
  ...more,
});

beforeEach(async () => {
  vi.spyOn(console, "error").mockImplementation(() => undefined);
  app = await freshPage();
  await app.saveJob(plainJob(), app.notMeasured);
});

async function runnerOn(photos: readonly PhotoRecord[], engine: Engine) {
  const { Runner } = await import("../../../src/app/session/runner.ts");
  const { readState } = await import("../../../src/app/state/stored-state.ts");
  for (const item of photos) await app.addPhoto(item, jpegFile(item.id));
  let state: JobState = { ...(await readState(plainJob(), engine.version)), writable: true };
  const host = {
    state: () => state,
    patch: (change: Partial<JobState>) => {
      state = { ...state, ...change };
    },
    guard: async (write: () => Promise<void>) => {
      await write();
      return true;
    },
    listing: () => app.listedJob(state.record, app.notMeasured),
    adding: () => false,
  };
  return { runner: new Runner(host, engine), state: () => state };
}

describe("the runner", () => {
  test("examines every photo once, at most as many at a time as the engine takes", async () => {
    let now = 0;
    let most = 0;
    const engine = quickEngine({ parallel: 3 });
    const { examine } = engine;
    const { runner, state } = await runnerOn(
      Array.from({ length: 9 }, (_, at) => photo(String(at))),
      {
        ...engine,
        examine: async (request, signal) => {
          most = Math.max(most, ++now);
          await new Promise((resolve) => setTimeout(resolve, 5));
          now--;
          return examine(request, signal);
        },
      },
    );
    runner.work();
    await until(() => state().outcomes.size === 9);
    expect(most).toBe(3);
    expect([...engine.seen].sort()).toEqual(Array.from({ length: 9 }, (_, at) => `${at}.jpg`));
  });

  test("stopped, tells the engine, writes nothing more and can go on", async () => {
    const aborted: string[] = [];
    const first = quickEngine({
      examine: ({ name }, signal) =>
        new Promise((_, reject) => {
          signal.addEventListener("abort", () => {
            aborted.push(name);
            reject(signal.reason);
          });
        }),
    });
    const { runner, state } = await runnerOn([photo("1"), photo("2")], first);
    runner.work();
    await until(() => state().working.size === 2);
    await new Promise((resolve) => setTimeout(resolve, 20));
    runner.stop();
    expect(aborted.sort()).toEqual(["1.jpg", "2.jpg"]);
    expect(state().working.size).toBe(0);
    expect(state().trouble).toBeNull();
    expect((await app.loadOutcomes(["1", "2"], "1")).size).toBe(0);
  });

  test("an engine that cannot run at all stops the work and says so", async () => {
    const { runner, state } = await runnerOn(
      [photo("1")],
      quickEngine({ prepare: () => Promise.reject(new Error("no memory")) }),
    );
    runner.work();
    await until(() => state().trouble === "engine failed");
    runner.work();
    expect(state().working.size).toBe(0);
  });
});

describe("a stored job, read", () => {
  test("changes nothing; findings of another program are found again", async () => {
    const { readState, settlePutAside } = await import("../../../src/app/state/stored-state.ts");
    await app.addPhoto(photo("1"), jpegFile("1"));
    await app.addPhoto(photo("2", { removed: true }), jpegFile("2"));
    const outcome = { ok: false as const, name: "1.jpg", remark: remark };
    await app.saveOutcome("1", "old", { lensKey: "none", outcome: outcome as never });
    const state = await readState(plainJob(), "new");
    expect(state.photos.map(({ id }) => id)).toEqual(["1"]);
    expect(state.outcomes.size).toBe(0);
    expect((await readState(plainJob(), "old")).outcomes.size).toBe(1);
    expect(await app.listPhotos("job")).toHaveLength(2);
    expect((await settlePutAside("job")).map(({ id }) => id)).toEqual(["2"]);
    expect(await settlePutAside("job")).toEqual([]);
    expect(await app.listPhotos("job")).toHaveLength(1);
  });
});

const remark = { code: "unreadable", severity: "error", message: "m", remedy: "r" };

describe("the saver", () => {
  test("without locks refuses to overwrite what another tab has stored since", async () => {
    vi.stubGlobal("navigator", {});
    const { JobSaver } = await import("../../../src/app/session/job-saver.ts");
    const saver = new JobSaver(0);
    const mine = { ...plainJob(), revision: 1, title: "mine" };
    expect(await saver.save(mine, app.notMeasured)).toBe(true);
    await app.saveJob({ ...plainJob(), revision: 5, title: "theirs" }, app.notMeasured);
    expect(await saver.save({ ...mine, revision: 2 }, app.notMeasured)).toBe(false);
    expect((await app.loadJob("job"))?.title).toBe("theirs");
    saver.hasRead({ ...plainJob(), revision: 5 });
    expect(await saver.save({ ...mine, revision: 6 }, app.notMeasured)).toBe(true);
    vi.unstubAllGlobals();
  });
});

describe("the list of jobs", () => {
  test("reads entries only; a job without one is read once, a damaged one is named", async () => {
    const { listJobs } = await import("../../../src/app/session/job-list.ts");
    const db = await app.database();
    await db.put("jobs", { ...plainJob("bare"), title: "Bare" }, "bare");
    await db.put("jobs", { format: "nonsense" }, "damaged");
    const first = await listJobs("1");
    expect(first.jobs.map(({ id }) => id).sort()).toEqual(["bare", "job"]);
    expect(first.unreadable.map(({ id }) => id)).toEqual(["damaged"]);
    const get = vi.spyOn(IDBObjectStore.prototype, "get");
    const again = await listJobs("1");
    expect(again.jobs).toHaveLength(2);
    // Only the damaged one is looked at again.
    expect(get).toHaveBeenCalledTimes(1);
    get.mockRestore();
  });

  test("never says the verdict of another program, or of a profile that is gone", async () => {
    const { listJobs } = await import("../../../src/app/session/job-list.ts");
    const camera = { source: "saved profile" as const, profileId: "p" };
    const record = { ...plainJob(), camera };
    await app.saveJob(record, { verdict: "all meet", engine: "1" });
    const verdict = async (engine: string) => (await listJobs(engine)).jobs[0].verdict;
    expect(await verdict("1")).toBe("all meet");
    expect(await verdict("2")).toBe("to be measured again");
    await app.deleteProfile("p");
    expect(await verdict("1")).toBe("to be measured again");
  });
});

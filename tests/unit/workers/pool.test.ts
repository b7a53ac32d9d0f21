import { getEventListeners } from "node:events";
import { describe, expect, test } from "vitest";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { VisionPool, type WorkerHandle } from "../../../workers/shared/pool.ts";
import type { ExamineTask } from "../../../workers/shared/vision-api.ts";

const task = (name: string): ExamineTask => ({
  name,
  bytes: new Uint8Array(1),
  what: "boards",
  lens: null,
});

const found = (name: string): PhotoOutcome => ({
  ok: true,
  findings: {
    name,
    width: 1,
    height: 1,
    exif: null,
    boards: [],
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  },
});

/** Workers whose behaviour per photo name a test decides; counts how many were started. */
const fakeWorkers = (behave: (name: string, die: (reason: string) => void) => Promise<void>) => {
  const log = { started: 0, terminated: 0, atOnce: 0, most: 0 };
  const spawn = (): WorkerHandle => {
    log.started++;
    let die: (reason: string) => void = () => undefined;
    const died = new Promise<string>((resolve) => {
      die = resolve;
    });
    return {
      died,
      api: {
        warmUp: async () => undefined,
        examine: async ({ name }) => {
          log.most = Math.max(log.most, ++log.atOnce);
          try {
            await behave(name, die);
          } finally {
            log.atOnce--;
          }
          return found(name);
        },
      },
      terminate: () => {
        log.terminated++;
      },
    };
  };
  return { log, spawn };
};

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
const never = (): Promise<void> => new Promise(() => undefined);

describe("VisionPool", () => {
  test("examines several photos at once, never more than its size, and keeps names", async () => {
    const { log, spawn } = fakeWorkers(() => pause(5));
    const pool = new VisionPool({ spawn, size: 2 });
    const names = ["a", "b", "c", "d", "e"];
    const outcomes = await Promise.all(names.map((name) => pool.examine(task(name))));
    expect(outcomes.map((o) => (o.ok ? o.findings.name : "failed"))).toEqual(names);
    expect(log.most).toBe(2);
    expect(log.started).toBe(2);
  });

  test("reads the bytes again for a second try: the first worker took them along", async () => {
    const lengths: number[] = [];
    const spawn = (): WorkerHandle => ({
      died: new Promise(() => undefined),
      api: {
        warmUp: async () => undefined,
        examine: async ({ name, bytes }) => {
          lengths.push(bytes.length);
          if (lengths.length === 1) throw new Error("stopped");
          return found(name);
        },
      },
      terminate: () => undefined,
    });
    const pool = new VisionPool({ spawn, size: 1 });
    const again = async () => new Uint8Array(7);
    const outcome = await pool.examine({ ...task("a"), again });
    expect(outcome.ok).toBe(true);
    expect(lengths).toEqual([1, 7]);
  });

  test("restarts a worker that dies and tries the photo once more", async () => {
    let deaths = 0;
    const { log, spawn } = fakeWorkers((name, die) => {
      if (name === "bad" && deaths++ === 0) {
        die("out of memory");
        return never();
      }
      return pause(1);
    });
    const pool = new VisionPool({ spawn, size: 1 });
    const [bad, good] = await Promise.all([pool.examine(task("bad")), pool.examine(task("good"))]);
    expect(bad.ok && good.ok).toBe(true);
    expect(log.started).toBe(2);
    expect(log.terminated).toBe(1);
  });

  test("reports by name a photo that kills two workers; the others go on", async () => {
    const { spawn } = fakeWorkers((name, die) => {
      if (name !== "bad") return pause(1);
      die("out of memory");
      return never();
    });
    const pool = new VisionPool({ spawn, size: 1 });
    const [bad, good] = await Promise.all([pool.examine(task("bad")), pool.examine(task("good"))]);
    expect(good.ok).toBe(true);
    if (bad.ok) throw new Error("the photo must fail");
    expect(bad.name).toBe("bad");
    expect(bad.remark.code).toBe("worker-failed");
    expect(bad.remark.message).toContain("out of memory");
  });

  test("a worker that stays silent counts as dead", async () => {
    const { spawn } = fakeWorkers(() => never());
    const pool = new VisionPool({ spawn, size: 1, silenceMs: 10 });
    const outcome = await pool.examine(task("stuck"));
    expect(outcome.ok).toBe(false);
  });

  test("cancel rejects waiting and running photos and leaves the pool usable", async () => {
    const { spawn } = fakeWorkers(() => pause(20));
    const pool = new VisionPool({ spawn, size: 1 });
    const controller = new AbortController();
    const running = pool.examine(task("running"), controller.signal);
    const waiting = pool.examine(task("waiting"), controller.signal);
    controller.abort(new Error("cancelled"));
    await expect(running).rejects.toThrow("cancelled");
    await expect(waiting).rejects.toThrow("cancelled");
    const after = await pool.examine(task("after"));
    expect(after.ok).toBe(true);
  });

  // Phones kill background workers. None of these deaths is the fault of the photo that comes next.
  test("workers that died while idle are replaced, and no photo is blamed", async () => {
    const deaths: ((reason: string) => void)[] = [];
    const examined: number[] = [];
    let started = 0;
    const spawn = (): WorkerHandle => {
      const number = ++started;
      return {
        died: new Promise((resolve) => {
          deaths.push(resolve);
        }),
        api: {
          warmUp: async () => undefined,
          // A dead worker answers nothing.
          examine: async ({ name }) => {
            examined.push(number);
            return number <= 2 ? never().then(() => found(name)) : found(name);
          },
        },
        terminate: () => undefined,
      };
    };
    const pool = new VisionPool({ spawn, size: 2, silenceMs: 200 });
    await pool.warmUp("boards");
    for (const die of deaths) die("killed by the system");
    await pause(1);
    const outcome = await pool.examine(task("innocent"));
    expect(outcome.ok).toBe(true);
    expect(examined).toEqual([3]);
  });

  test("a worker that cannot be started is reported with the photo, and the pool goes on", async () => {
    const { spawn } = fakeWorkers(() => pause(1));
    let refusals = 2;
    const pool = new VisionPool({
      spawn: () => {
        if (refusals-- > 0) throw new Error("too many workers");
        return spawn();
      },
      size: 1,
    });
    const first = await pool.examine(task("first"));
    if (first.ok) throw new Error("the first photo has no worker");
    expect(first.remark.message).toContain("too many workers");
    expect((await pool.examine(task("second"))).ok).toBe(true);
  });

  test("keeps nothing of a finished photo with the signal that could have cancelled it", async () => {
    const { spawn } = fakeWorkers(() => pause(1));
    const pool = new VisionPool({ spawn, size: 2 });
    const { signal } = new AbortController();
    await Promise.all(["a", "b", "c"].map((name) => pool.examine(task(name), signal)));
    expect(getEventListeners(signal, "abort")).toEqual([]);
  });

  test("closing rejects what runs and what waits at once, and starts nothing more", async () => {
    const { log, spawn } = fakeWorkers(() => never());
    const pool = new VisionPool({ spawn, size: 1, silenceMs: 60_000 });
    const running = pool.examine(task("running"));
    const waiting = pool.examine(task("waiting"));
    await pause(1);
    pool.close();
    await expect(running).rejects.toThrow("closed");
    await expect(waiting).rejects.toThrow("closed");
    await expect(pool.warmUp("boards")).rejects.toThrow("closed");
    expect([log.started, log.terminated]).toEqual([1, 1]);
  }, 2000);
});

test("after a rest without photos one warm worker is left, and photos that come find it", async () => {
  const { log, spawn } = fakeWorkers(() => pause(5));
  const pool = new VisionPool({ spawn, size: 3, restMs: 30 });
  await Promise.all(["a", "b", "c"].map((name) => pool.examine(task(name))));
  expect([log.started, log.terminated]).toEqual([3, 0]);
  await pause(15);
  // A photo within the rest keeps them all.
  await pool.examine(task("d"));
  await pause(15);
  expect(log.terminated).toBe(0);
  await pause(60);
  expect(log.terminated).toBe(2);
  await pool.examine(task("e"));
  expect(log.started).toBe(3);
  pool.close();
  expect(log.terminated).toBe(3);
});

test("workers that are to stay outlast the rest; told to rest, all but one end at once", async () => {
  const { log, spawn } = fakeWorkers(() => pause(5));
  const rested: number[] = [];
  let number = 0;
  const noting = (): WorkerHandle => {
    const mine = ++number;
    return { ...spawn(), rest: () => rested.push(mine) };
  };
  const pool = new VisionPool({ spawn: noting, size: 3, restMs: 10 });
  const release = pool.stay();
  await Promise.all(["a", "b", "c"].map((name) => pool.examine(task(name))));
  await pause(40);
  expect(log.terminated).toBe(0);
  pool.restNow();
  expect(log.terminated).toBe(0);
  release();
  release();
  pool.restNow();
  expect(log.terminated).toBe(2);
  expect(rested).toHaveLength(1);
  const busy = pool.examine(task("d"));
  pool.restNow();
  await busy;
  expect(log.started).toBe(3);
  pool.close();
});

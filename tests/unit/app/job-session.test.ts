/** An open job: what it keeps, through other tabs, refused writes and a page that comes back. */
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import type { Engine } from "../../../src/app/engine/engine.ts";
import type { JobSession } from "../../../src/app/session/job-session.ts";
import {
  fakeLocks,
  freshPage,
  jpegFile,
  plainJob,
  quickEngine,
  quickThumbs,
  until,
} from "./app-store.ts";

const place = { purpose: "boards", position: 1, epoch: "before", about: "" } as const;
const files = (...names: string[]) => names.map((name) => ({ name, blob: jpegFile(name) }));

let app: Awaited<ReturnType<typeof freshPage>>;
let session: typeof import("../../../src/app/session/job-session.ts");
let failures: typeof import("../../../src/app/state/failures.ts");
const opened: JobSession[] = [];

async function load(keep = false) {
  vi.doMock("../../../src/app/photos/thumbs.ts", () => quickThumbs);
  app = await freshPage(keep);
  session = await import("../../../src/app/session/job-session.ts");
  failures = await import("../../../src/app/state/failures.ts");
}

async function open(engine: Engine = quickEngine(), id = "job"): Promise<JobSession> {
  const found = await session.JobSession.open(id, engine);
  if (!(found instanceof session.JobSession)) {
    throw new Error(`The job was not opened: ${JSON.stringify(found)}`);
  }
  opened.push(found);
  return found;
}

const names = (job: JobSession) => job.store.getState().photos.map(({ name }) => name);

const isIdle = (job: JobSession): boolean => {
  const { working, computing } = job.store.getState();
  return working.size === 0 && computing === null;
};

beforeEach(async () => {
  vi.stubGlobal("navigator", { locks: fakeLocks() });
  vi.spyOn(console, "error").mockImplementation(() => undefined);
  await load();
  await app.saveJob(plainJob(), app.notMeasured);
});
afterEach(() => {
  for (const job of opened.splice(0)) {
    job.close();
  }
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

describe("photos that were put aside", () => {
  test("stay while another tab may still bring them back, are offered again once, and go then", async () => {
    const first = await open();
    const [photo] = await first.addPhotos(files("a.jpg", "b.jpg"), place);
    first.removePhotos([photo.id]);
    await until(() => first.store.getState().undo.length === 1);
    const second = await open();
    expect(second.store.getState().writable).toBe(false);
    expect(names(second)).toEqual(["b.jpg"]);
    expect(await app.photoBytes(photo.id)).not.toBeNull();
    first.undoRemove();
    await vi.waitFor(async () => {
      const stored = await app.listPhotos("job");
      expect(stored.map(({ removed }) => removed)).toEqual([false, false]);
    });
    first.removePhotos([photo.id]);
    await vi.waitFor(async () => {
      expect((await app.listPhotos("job")).some(({ removed }) => removed)).toBe(true);
    });
    // Opened next, its return is offered once more, because the page may have ended too early.
    first.close();
    await until(() => second.store.getState().writable);
    expect(second.store.getState().undo).toEqual([photo.id]);
    expect(await app.photoBytes(photo.id)).not.toBeNull();
    second.close();
    const third = await open();
    expect(third.store.getState().undo).toEqual([]);
    expect(await app.photoBytes(photo.id)).toBeNull();
  });

  test("are not brought back by a tab that has lost the job", async () => {
    const first = await open();
    const [photo] = await first.addPhotos(files("a.jpg"), place);
    first.removePhotos([photo.id]);
    const second = await open();
    await second.claim(true);
    await until(() => second.store.getState().writable && !first.store.getState().writable);
    first.undoRemove();
    first.placePhotos([photo.id], { position: 2 });
    await new Promise((resolve) => setTimeout(resolve, 50));
    const [stored] = await app.listPhotos("job");
    expect(stored).toMatchObject({ removed: true, position: 1 });
  });

  test("come back with nothing where the photo itself is gone", async () => {
    const first = await open();
    const [photo] = await first.addPhotos(files("a.jpg"), place);
    await app.deletePhotos([photo.id]);
    await app.savePhotos([{ ...photo, position: 2 }]);
    expect(await app.listPhotos("job")).toEqual([]);
  });
});

describe("a photo whose file is gone", () => {
  test("counts as failed under its name, once, and the others go on", async () => {
    const first = await open(quickEngine({ prepare: () => new Promise(() => undefined) }));
    const [lost] = await first.addPhotos(files("lost.jpg", "good.jpg"), place);
    first.close();
    await (await app.database()).delete("photoBytes", lost.id);
    const engine = quickEngine();
    const again = await open(engine);
    await until(() => again.store.getState().outcomes.size === 2);
    const outcome = again.store.getState().outcomes.get(lost.id)?.outcome;
    expect(outcome).toMatchObject({
      ok: false,
      name: "lost.jpg",
      remark: { code: "unreadable", about: "lost.jpg" },
    });
    expect(engine.seen).toEqual(["good.jpg"]);
    expect(again.store.getState().trouble).toBeNull();
    expect((await app.loadOutcomes([lost.id], "1")).size).toBe(1);
  });
});

describe("a write that is refused", () => {
  const refuse = (name: string, message: string) =>
    vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementation(() => {
      throw new DOMException(message, name);
    });

  test("is said with the thing that was not saved, and saved when it is tried again", async () => {
    const job = await open();
    await job.addPhotos(files("a.jpg"), place);
    await until(() => job.store.getState().outcomes.size === 1 && isIdle(job));
    refuse("UnknownError", "The disk is on strike");
    job.update((record) => ({ ...record, title: "Typed meanwhile" }));
    await until(() => job.store.getState().trouble === "not saved");
    expect(failures.failures.getState()).toMatchObject([
      { thing: "job", reason: "The disk is on strike" },
    ]);
    vi.restoreAllMocks();
    job.resume();
    await vi.waitFor(async () => {
      expect((await app.loadJob("job"))?.title).toBe("Typed meanwhile");
    });
    expect(failures.failures.getState()).toEqual([]);
    expect(job.store.getState().trouble).toBeNull();
  });

  test("for lack of room names the photos that were not stored", async () => {
    const job = await open();
    await job.addPhotos(files("a.jpg"), place);
    await until(() => job.store.getState().outcomes.size === 1 && isIdle(job));
    vi.spyOn(console, "warn").mockImplementation(() => undefined);
    refuse("QuotaExceededError", "full");
    const added = await job.addPhotos(files("b.jpg", "c.jpg", "d.jpg", "e.jpg", "f.jpg"), place);
    expect(added).toEqual([]);
    expect(job.store.getState().trouble).toBe("storage full");
    expect(
      job.store
        .getState()
        .refusals.map(({ name, code }) => `${name} ${code}`)
        .sort(),
    ).toEqual(["b", "c", "d", "e", "f"].map((name) => `${name}.jpg not stored`));
    vi.restoreAllMocks();
    job.resume();
    await job.addPhotos(files("b.jpg"), place);
    expect(names(job)).toEqual(["a.jpg", "b.jpg"]);
  });
});

describe("a page that was ended", () => {
  test("while the camera was open asks for the photo, until it is understood", async () => {
    const job = await open();
    job.cameraOpens();
    await vi.waitFor(async () => expect(await app.loadIntake("job")).not.toBeNull());
    job.close();
    const again = await open();
    expect(again.store.getState().missed).toEqual({ version: 1, names: [], cameraOpen: true });
    again.dismissMissed();
    await vi.waitFor(async () => expect(await app.loadIntake("job")).toBeNull());
    again.close();
    expect((await open()).store.getState().missed).toBeNull();
  });

  test("while photos were being stored names those that are missing", async () => {
    const job = await open();
    const adding = job.addPhotos(files("a.jpg", "b.jpg", "c.jpg", "d.jpg"), place);
    await until(() => names(job).length > 0);
    job.close();
    await adding;
    const stored = (await app.listPhotos("job")).map(({ name }) => name);
    const again = await open();
    const missed = again.store.getState().missed?.names ?? [];
    expect([...stored, ...missed].sort()).toEqual(["a.jpg", "b.jpg", "c.jpg", "d.jpg"]);
  });
});

describe("a clock that was set back", () => {
  test("neither reorders photos nor makes a change look older than the saved file", async () => {
    vi.useFakeTimers({ toFake: ["Date"], now: new Date("2026-06-01T12:00:00Z") });
    try {
      const job = await open();
      await job.addPhotos(files("first.jpg"), place);
      job.update((record) => ({ ...record, backedUpAt: new Date().toISOString() }));
      const saved = job.store.getState().record;
      expect(saved.backedUpAt! < saved.updatedAt).toBe(false);
      vi.setSystemTime(new Date("2020-01-01T00:00:00Z"));
      await job.addPhotos(files("second.jpg"), place);
      expect((await app.listPhotos("job")).map(({ name }) => name)).toEqual([
        "first.jpg",
        "second.jpg",
      ]);
      job.update((record) => ({ ...record, title: "Later" }));
      const { updatedAt, backedUpAt } = job.store.getState().record;
      expect(backedUpAt! < updatedAt).toBe(true);
      await vi.waitFor(async () => expect((await app.loadJob("job"))?.title).toBe("Later"));
      await app.noteBackup("job", new Date().toISOString());
      const noted = await app.loadJob("job");
      expect(noted!.backedUpAt! < noted!.updatedAt).toBe(false);
    } finally {
      vi.useRealTimers();
    }
  });
});

describe("a record of an earlier program", () => {
  test("is brought forward when the job is opened, and the stored one is kept", async () => {
    const { backedUpAt: _backedUpAt, ...rest } = plainJob("old");
    const { readings: _readings, ...placement } = rest.placement;
    const old = { ...rest, version: 1, placement };
    await (await app.database()).put("jobs", old, "old");
    const job = await open(quickEngine(), "old");
    expect(job.store.getState().record.version).toBe(plainJob().version);
    const db = await app.database();
    expect(await db.get("copies", "old/version 1")).toEqual(old);
    expect(await db.get("jobs", "old")).toMatchObject({ version: plainJob().version });
  });

  test("of a later program is left alone, and its reason is given", async () => {
    const db = await app.database();
    const later = { ...plainJob("later"), version: 99 };
    await db.put("jobs", later, "later");
    const found = await session.JobSession.open("later", quickEngine());
    expect(found).toEqual({ id: "later", reason: "newer version", detail: "version 99" });
    expect(await db.get("jobs", "later")).toEqual(later);
  });
});

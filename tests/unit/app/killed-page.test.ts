/**
 * The page is ended at every single write of a job's life: what was stored before is whole, what was
 * not is at most the photo in flight, which is asked for again, and the job goes on to its result.
 */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
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
const chosen = ["a.jpg", "b.jpg", "c.jpg", "d.jpg"];

/** Writes until the page is ended; -1 lets it live. */
let left = -1;
let written = 0;
let dead = false;

/** A page that is ended: the transaction of the write is lost, and nothing is written any more. */
function endAtWrite(): void {
  const { prototype } = IDBObjectStore;
  for (const name of ["put", "delete"] as const) {
    const real = prototype[name] as (...args: unknown[]) => IDBRequest;
    vi.spyOn(prototype, name).mockImplementation(function (
      this: IDBObjectStore,
      ...args: unknown[]
    ) {
      const request = real.apply(this, args);
      written++;
      if (left >= 0 && written > left) {
        dead = true;
        this.transaction.abort();
      }
      return request as never;
    });
  }
}

async function pageOf(keep: boolean) {
  vi.doMock("../../../src/app/photos/thumbs.ts", () => quickThumbs);
  vi.stubGlobal("navigator", { locks: fakeLocks() });
  const app = await freshPage(keep);
  const { JobSession } = await import("../../../src/app/session/job-session.ts");
  const open = async (id: string) => {
    const job = await JobSession.open(id, quickEngine());
    if (!(job instanceof JobSession)) throw new Error("not opened");
    return job;
  };
  return { ...app, open };
}

const state = (job: JobSession) => job.store.getState();
const isDone = (job: JobSession) =>
  state(job).working.size === 0 && state(job).computing === null && !dead
    ? state(job).photos.every(({ id }) => state(job).outcomes.has(id))
    : dead;

beforeEach(() => {
  for (const method of ["error", "warn"] as const) {
    vi.spyOn(console, method).mockImplementation(() => undefined);
  }
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

/** A job's life up to its end or the page's; what the screen showed as stored when it ended. */
async function live(page: Awaited<ReturnType<typeof pageOf>>) {
  const shown = { photos: [] as string[], titles: ["", "Invented"] };
  await page.saveJob(plainJob(), page.notMeasured).catch(() => undefined);
  if (dead) return shown;
  const job = await page.open("job");
  const look = () => {
    if (!dead) {
      shown.photos = state(job)
        .photos.filter((p) => !p.removed)
        .map(({ name }) => name);
    }
  };
  job.store.subscribe(look);
  for (const title of ["Car 1", "Car 2"]) {
    if (!dead) {
      shown.titles = [...shown.titles, title];
      job.update((record) => ({ ...record, title }));
    }
  }
  job.cameraOpens();
  const files = chosen.map((name) => ({ name, blob: jpegFile(name) }));
  await job.addPhotos(files, place);
  if (!dead) {
    const [first] = state(job).photos;
    job.removePhotos([first.id]);
    job.undoRemove();
  }
  await until(() => isDone(job));
  look();
  job.close();
  await new Promise((resolve) => setTimeout(resolve, 0));
  return shown;
}

test("a job outlives the end of its page at every one of its writes", {
  timeout: 120_000,
}, async () => {
  left = -1;
  written = 0;
  dead = false;
  endAtWrite();
  await live(await pageOf(false));
  const writes = written;
  expect(writes).toBeGreaterThan(25);
  let ended = 0;
  for (let at = 0; at < writes; at++) {
    left = at;
    written = 0;
    dead = false;
    const shown = await live(await pageOf(false));
    if (!dead) {
      continue;
    }
    ended++;
    left = -1;
    dead = false;
    const page = await pageOf(true);
    const record = await page.loadJob("job");
    if (!record) {
      // Ended at the very first write: there never was a job, and nothing of one.
      expect(shown.photos).toEqual([]);
      expect((await page.storedListings()).ids).toEqual([]);
      continue;
    }
    const again = await page.open("job");
    expect(state(again).writable).toBe(true);
    // The last change that was typed, or the one before it, which was in flight.
    expect([...shown.titles.slice(-3), plainJob().title]).toContain(record.title);
    // A photo that was put aside a moment ago is offered back.
    again.undoRemove();
    const stored = state(again).photos.map(({ name }) => name);
    for (const name of shown.photos) {
      expect(stored).toContain(name);
    }
    for (const { id } of state(again).photos) {
      expect(await page.photoBytes(id)).not.toBeNull();
    }
    // Whatever was chosen and is not here is asked for.
    const asked = state(again).missed?.names ?? [];
    if (asked.length > 0 || stored.length > 0) {
      expect(new Set([...asked, ...stored])).toEqual(new Set(chosen));
    }
    await until(() => isDone(again));
    expect((await page.storedListings()).listed.get("job")?.title).toBe(state(again).record.title);
    again.close();
  }
  expect(ended).toBeGreaterThan(20);
});

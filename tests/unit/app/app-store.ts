/** A browser's database and locks for tests in Node: an empty one for each test. */
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { vi } from "vitest";
import type { Engine } from "../../../src/app/engine/engine.ts";
import { inventedJob, inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import type { JobRecord } from "../../../src/app/store/database/schema.ts";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";

/**
 * The app's modules on an empty database. They are loaded anew, because they keep the open database
 * and, where the test asks for it, stay on the same one, as after a reload of the page.
 */
export async function freshPage(keep = false) {
  if (!keep) {
    globalThis.indexedDB = new IDBFactory();
  }
  vi.resetModules();
  const [database, jobs, results, profiles, settings, photos, outcomes, listings, intake] =
    await Promise.all([
      import("../../../src/app/store/database/database.ts"),
      import("../../../src/app/store/jobs.ts"),
      import("../../../src/app/store/results.ts"),
      import("../../../src/app/store/profiles.ts"),
      import("../../../src/app/store/settings.ts"),
      import("../../../src/app/store/photos.ts"),
      import("../../../src/app/store/outcomes.ts"),
      import("../../../src/app/store/listings.ts"),
      import("../../../src/app/store/intake.ts"),
    ]);
  return {
    ...{ ...database, ...jobs, ...results, ...profiles, ...settings },
    ...{ ...photos, ...outcomes, ...listings, ...intake },
  };
}

/** Locks as the browser has them for the tabs of one page's origin. */
export function fakeLocks() {
  const held = new Map<string, { drop: (reason: unknown) => void }>();
  const waiting = new Map<string, (() => void)[]>();
  const request = async (
    name: string,
    options: { ifAvailable?: boolean; steal?: boolean; signal?: AbortSignal },
    work: (lock: object | null) => Promise<unknown>,
  ): Promise<unknown> => {
    if (options.steal) {
      held.get(name)?.drop(new DOMException("stolen", "AbortError"));
      held.delete(name);
    }
    while (held.has(name)) {
      if (options.ifAvailable) {
        return work(null);
      }
      await new Promise<void>((resolve, reject) => {
        options.signal?.addEventListener("abort", () => reject(options.signal?.reason));
        waiting.set(name, [...(waiting.get(name) ?? []), resolve]);
      });
    }
    const mine = { drop: (_reason: unknown) => {} };
    const stolen = new Promise<never>((_, reject) => {
      mine.drop = reject;
    });
    held.set(name, mine);
    try {
      return await Promise.race([work({}), stolen]);
    } finally {
      if (held.get(name) === mine) {
        held.delete(name);
      }
      for (const go of waiting.get(name) ?? []) {
        go();
      }
      waiting.delete(name);
    }
  };
  return { request };
}

/** An engine that finds one board in every photo and measures the invented result. */
export function quickEngine(change: Partial<Engine> = {}): Engine & { readonly seen: string[] } {
  const seen: string[] = [];
  return {
    seen,
    parallel: 2,
    version: "1",
    prepare: async () => undefined,
    examine: async ({ name }) => {
      seen.push(name);
      const findings = { name, width: 4, height: 3, exif: null, boards: [], remarks: [] };
      return { ok: true, findings } as unknown as PhotoOutcome;
    },
    calibrate: async () => ({ ok: false, remarks: [] }),
    guide: () => new Promise(() => undefined),
    solve: async () => ({ ok: true, result: inventedResult }),
    accept: () => Promise.reject(new Error("not asked for here")),
    teach: () => new Promise(() => undefined),
    plan: () => new Promise(() => undefined),
    ...change,
  };
}

/** Fingerprints without a worker, and no small pictures. */
export const quickThumbs = {
  thumbs: () => ({
    firstLook: async (blob: Blob) => ({ fingerprint: await blob.text(), preview: null }),
    fingerprint: (blob: Blob) => blob.text(),
    thumb: async () => null,
  }),
};

/** A file that begins as a JPEG does; its text tells it from others. */
export const jpegFile = (text: string): Blob =>
  new Blob([Uint8Array.of(0xff, 0xd8, 0xff, 0xe0), text]);

/** A job that needs no camera step. */
export const plainJob = (id = "job"): JobRecord => ({
  ...inventedJob(),
  id,
  camera: { source: "own photos", profileId: null },
});

/** Waits until something holds; the store tells nobody when it is done. */
export async function until(holds: () => boolean): Promise<void> {
  for (let round = 0; round < 400 && !holds(); round++) {
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  if (!holds()) {
    throw new Error(`This never came true: ${holds}`);
  }
}

/** A job as a file: what goes out comes in as a new job, and nothing half or foreign is stored. */
import {
  BlobReader,
  BlobWriter,
  TextReader,
  Uint8ArrayReader,
  ZipReader,
  ZipWriter,
} from "@zip.js/zip.js/lib/zip-core-native.js";
import { beforeEach, describe, expect, test, vi } from "vitest";
import { inventedResult } from "../../../src/app/fixtures/invented-job.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { inventedSheetPhotos } from "../../../workers/shared/warm-up-pictures.ts";
import { simulateSample } from "../../tools/simulated-job.ts";
import { freshPage, jpegFile, plainJob } from "./app-store.ts";

const fingerprint = (blob: Blob) => blob.text();
const photo = (id: string, name: string, more: object = {}) => ({
  ...{ id, jobId: "job", name, purpose: "boards" as const, position: 1, setup: 1 },
  ...{ epoch: "before" as const, about: "", addedAt: `2026-01-01T00:00:0${id}Z`, byteLength: 5 },
  ...{ fingerprint: "", thumb: null, removed: false },
  ...more,
});

let app: Awaited<ReturnType<typeof freshPage>>;
let archive: typeof import("../../../src/app/archive/import-job.ts") &
  typeof import("../../../src/app/archive/export-job.ts");
let steps: typeof import("../../../src/app/store/kept-steps.ts");

/** Everything in the database, by store and key. */
async function everything(): Promise<Record<string, unknown[]>> {
  const db = await app.database();
  const all: Record<string, unknown[]> = {};
  for (const name of db.objectStoreNames) {
    all[name] = await db.getAllKeys(name);
  }
  return all;
}

async function zipOf(entries: Record<string, string | Uint8Array>, level = 0): Promise<Blob> {
  const zip = new ZipWriter(new BlobWriter(), { level });
  for (const [name, content] of Object.entries(entries)) {
    const reader =
      typeof content === "string" ? new TextReader(content) : new Uint8ArrayReader(content);
    await zip.add(name, reader);
  }
  return zip.close();
}

const entriesOf = async (blob: Blob): Promise<Record<string, Uint8Array>> => {
  const entries: Record<string, Uint8Array> = {};
  for (const entry of await new ZipReader(new BlobReader(blob)).getEntries()) {
    if (!entry.directory) {
      const content = await entry.getData(new BlobWriter());
      entries[entry.filename] = new Uint8Array(await content.arrayBuffer());
    }
  }
  return entries;
};

const changed = (bytes: Uint8Array, change: (value: never) => unknown): string =>
  JSON.stringify(change(JSON.parse(new TextDecoder().decode(bytes)) as never));

beforeEach(async () => {
  app = await freshPage();
  archive = {
    ...(await import("../../../src/app/archive/import-job.ts")),
    ...(await import("../../../src/app/archive/export-job.ts")),
  };
  steps = await import("../../../src/app/store/kept-steps.ts");
  const record = plainJob();
  const checked = { state: "done", note: "", photoId: "1" } as const;
  await app.saveJob(
    { ...record, title: "Mine", car: { ...record.car, checks: { tyres: checked } } },
    app.notMeasured,
  );
  for (const [id, name] of [
    ["1", "a.jpg"],
    ["2", "b.jpg"],
  ]) {
    const blob = jpegFile(name);
    await app.addPhoto(photo(id, name, { fingerprint: await fingerprint(blob) }), blob);
  }
  await steps.saveStep("job", "first", inventedResult);
});

describe("a job file", () => {
  test("comes in as a new job with ids of its own, whole", async () => {
    const { blob, missing } = await archive.exportJob("job");
    expect(missing).toEqual([]);
    const before = await everything();
    const outcome = await archive.importJob(blob, fingerprint);
    if (!outcome.ok) throw new Error(outcome.reason);
    expect(outcome.leftOut).toEqual([]);
    const record = await app.loadJob(outcome.id);
    expect(record?.title).toBe("Mine");
    const photos = await app.listPhotos(outcome.id);
    expect(photos.map(({ name }) => name)).toEqual(["a.jpg", "b.jpg"]);
    expect(before.photos).not.toContain(photos[0].id);
    expect(await (await app.photoBytes(photos[1].id))?.text()).toBe(await jpegFile("b.jpg").text());
    // A check names the photo that shows it, under the photo's new id.
    expect(record?.car.checks.tyres.photoId).toBe(photos[0].id);
    expect([...(await steps.loadSteps(outcome.id)).keys()]).toEqual(["first"]);
    const listed = (await app.storedListings()).listed.get(outcome.id);
    expect(listed).toMatchObject({ title: "Mine", verdict: "not measured" });
  });

  test("carries the lens of another phone that worked on it, and whose photos are whose", async () => {
    const lenses = await import("../../../src/app/store/phone-lenses.ts");
    const learned = learnCamera(simulateSample().sheet, "2026-01-01");
    if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
    const lens = {
      phone: "device2",
      source: "sheet photos" as const,
      profile: learned.camera.profile,
      since: "2026-01-01T00:00:00Z",
    };
    await lenses.keepPhoneLens("job", lens);
    const theirs = jpegFile("theirs.jpg");
    const more = { fingerprint: await fingerprint(theirs), device: "device2" };
    await app.addPhoto(photo("9", "theirs.jpg", more), theirs);
    const { blob } = await archive.exportJob("job");
    const entries = await entriesOf(blob);
    expect(Object.keys(entries)).toContain("camera/device2/profile.json");
    expect(JSON.parse(new TextDecoder().decode(entries["job.json"])).phones).toEqual([
      { name: "device2", photos: ["theirs.jpg"] },
    ]);
    const outcome = await archive.importJob(blob, fingerprint);
    if (!outcome.ok) throw new Error(outcome.reason);
    expect(outcome.leftOut).toEqual([]);
    expect(await lenses.loadPhoneLenses(outcome.id)).toEqual([lens]);
    expect((await app.listPhotos(outcome.id)).map(({ device }) => device)).toContain("device2");
  });

  test("with a damaged photo, an unreadable record or a later version leaves nothing", async () => {
    const { blob } = await archive.exportJob("job");
    const entries = await entriesOf(blob);
    const before = await everything();
    const refused = async (change: Record<string, string | Uint8Array>) => {
      const outcome = await archive.importJob(await zipOf({ ...entries, ...change }), fingerprint);
      expect(await everything()).toEqual(before);
      return outcome.ok ? "opened" : outcome.reason;
    };
    const other = new Uint8Array(await jpegFile("c.jpg").arrayBuffer());
    expect(await refused({ "photos/b.jpg": other })).toBe("photo differs");
    const record = entries["record.json"];
    expect(
      await refused({ "record.json": changed(record, (r: object) => ({ ...r, car: 7 })) }),
    ).toBe("not readable");
    expect(
      await refused({ "record.json": changed(record, (r: object) => ({ ...r, version: 99 })) }),
    ).toBe("newer version");
    const bytes = new Uint8Array(await blob.arrayBuffer());
    const cut = await archive.importJob(new Blob([bytes.slice(0, 400)]), fingerprint);
    expect(cut.ok).toBe(false);
    // A byte of a photo changed: the archive's own checksum says so.
    const at = bytes.findIndex(
      (_, i) => new TextDecoder().decode(bytes.slice(i, i + 5)) === "a.jpg",
    );
    const flipped = bytes.slice();
    flipped[flipped.indexOf(0xff, at)] ^= 1;
    const damaged = await archive.importJob(new Blob([flipped]), fingerprint);
    expect(damaged).toMatchObject({ ok: false, reason: "damaged" });
    expect(await everything()).toEqual(before);
  });

  test("that cannot be stored leaves nothing", async () => {
    const { blob } = await archive.exportJob("job");
    const before = await everything();
    const real = IDBObjectStore.prototype.put;
    let writes = 0;
    const put = vi.spyOn(IDBObjectStore.prototype, "put").mockImplementation(function (
      this: IDBObjectStore,
      ...args
    ) {
      const request = real.apply(this, args);
      if (++writes === 4) {
        this.transaction.abort();
      }
      return request;
    });
    await expect(archive.importJob(blob, fingerprint)).rejects.toThrow("was not saved");
    put.mockRestore();
    expect(await everything()).toEqual(before);
  });

  test("overwrites no camera profile; the same profile is used again", async () => {
    const answer = learnCamera(inventedSheetPhotos(), "2026-01-01");
    if (!answer.ok) throw new Error("The invented photos give no profile.");
    const { profile } = answer.camera;
    await app.saveProfile("p", profile);
    const record = plainJob("with-profile");
    const camera = { source: "saved profile" as const, profileId: "p" };
    await app.saveJob({ ...record, camera }, app.notMeasured);
    const { blob } = await archive.exportJob("with-profile");
    const newer = { ...profile, identity: { ...profile.identity, model: "Newer" } };
    await app.saveProfile("p", newer);
    const outcome = await archive.importJob(blob, fingerprint);
    if (!outcome.ok) throw new Error(outcome.reason);
    const stored = new Map((await app.listProfiles()).map((item) => [item.id, item.profile]));
    expect(stored.get("p")).toEqual(newer);
    const id = (await app.loadJob(outcome.id))?.camera.profileId;
    expect(id).not.toBe("p");
    expect(stored.get(id ?? "")).toEqual(profile);
    const again = await archive.importJob(blob, fingerprint);
    if (!again.ok) throw new Error(again.reason);
    expect((await app.loadJob(again.id))?.camera.profileId).toBe(id);
  });

  test("a kept lens is offered with the job that it comes from, one without a job by itself", async () => {
    const answer = learnCamera(inventedSheetPhotos(), "2026-01-01");
    if (!answer.ok) throw new Error("The invented photos give no profile.");
    await app.saveJob({ ...plainJob("bay"), title: "Blue hatchback" }, app.notMeasured);
    await app.saveProfile("bay", answer.camera.profile);
    await app.saveProfile("elsewhere", answer.camera.profile);
    const offered = await app.offeredProfiles();
    expect(offered.map(({ id, from }) => [id, from])).toEqual([
      ["bay", "Blue hatchback"],
      ["elsewhere", null],
    ]);
  });

  test("says which photos this device no longer has, and which entries are none", async () => {
    await (await app.database()).delete("photoBytes", "2");
    const { blob, missing } = await archive.exportJob("job");
    expect(missing).toEqual(["b.jpg"]);
    const entries = await entriesOf(blob);
    const outcome = await archive.importJob(
      await zipOf({ ...entries, "photos/page.html": "<script>alert(1)</script>" }),
      fingerprint,
    );
    expect(outcome).toMatchObject({ ok: true, leftOut: ["photos/page.html"] });
  });

  test("that unpacks to more than any job is refused before it fills the memory", async () => {
    const bomb = await zipOf({ "job.json": "{}", "photos/a.jpg": new Uint8Array(80_000_000) }, 9);
    expect(bomb.size).toBeLessThan(200_000);
    expect(await archive.importJob(bomb, fingerprint)).toMatchObject({
      ok: false,
      reason: "too large",
      detail: "photos/a.jpg",
    });
    expect(await archive.importJob(new Blob(["no zip at all"]), fingerprint)).toMatchObject({
      reason: "no zip",
    });
    expect(await archive.importJob(await zipOf({ "a.txt": "x" }), fingerprint)).toMatchObject({
      reason: "no job",
    });
  });

  test("that was cut off on its way is called what it is, wherever the cut lies", async () => {
    const whole = await zipOf({ "job.json": "{}", "photos/a.jpg": new Uint8Array(20_000) }, 0);
    for (const share of [0.3, 0.9, 0.999]) {
      const part = whole.slice(0, Math.floor(share * whole.size));
      expect(await archive.importJob(part, fingerprint)).toMatchObject({ reason: "cut off" });
    }
  });
});

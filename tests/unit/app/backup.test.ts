/**
 * Backup and restore of everything: what goes out comes in on another phone, byte for byte; a backup
 * that is not as it was written changes nothing; nothing that is here is lost.
 */
import fc from "fast-check";
import { beforeEach, describe, expect, test, vi } from "vitest";
import { inventedArchive, inventedRevisions } from "../../tools/invented-record.ts";
import { freshPage, jpegFile, plainJob, quickThumbs } from "./app-store.ts";

vi.mock("../../../src/app/photos/thumbs.ts", () => quickThumbs);

const now = "2026-02-01T08:00:00.000Z";

type Page = Awaited<ReturnType<typeof device>>;

/** The app's modules on an empty phone. */
async function device() {
  const page = await freshPage();
  const modules = await Promise.all([
    import("../../../src/app/archive/write-backup.ts"),
    import("../../../src/app/archive/read-backup.ts"),
    import("../../../src/app/archive/restore-plan.ts"),
    import("../../../src/app/archive/restore-backup.ts"),
    import("../../../src/app/archive/import-job.ts"),
    import("../../../src/app/store/backups.ts"),
    import("../../../src/app/store/records/revisions.ts"),
    import("../../../src/app/store/records/covers.ts"),
    import("../../../src/app/store/records/signing-key.ts"),
    import("../../../src/app/library/sheets.ts"),
  ]);
  return Object.assign({}, page, ...modules) as typeof page &
    (typeof modules)[0] &
    (typeof modules)[1] &
    (typeof modules)[2] &
    (typeof modules)[3] &
    (typeof modules)[4] &
    (typeof modules)[5] &
    (typeof modules)[6] &
    (typeof modules)[7] &
    (typeof modules)[8] &
    (typeof modules)[9];
}

/** A phone with a plain job, a job with two closed revisions, a kept sheet and settings. */
async function usedPhone(): Promise<{ page: Page; recordJob: string }> {
  const page = await device();
  await page.saveJob({ ...plainJob("plain"), title: "Plain" }, page.notMeasured);
  const place = { purpose: "boards", position: 1, setup: 1, epoch: "before" } as const;
  const photo = { ...place, jobId: "plain", about: "", addedAt: now, byteLength: 9 };
  await page.addPhoto(
    { ...photo, id: "p1", name: "a.jpg", fingerprint: "", thumb: null, removed: false },
    jpegFile("first photo"),
  );
  await page.saveCovers(new Map([["p1", [{ left: 0.1, top: 0.1, right: 0.2, bottom: 0.2 }]]]), now);
  const archive = new Blob([Uint8Array.from(await inventedArchive(inventedRevisions(), []))]);
  const opened = await page.importJob(archive, (blob) => blob.text());
  if (!opened.ok) throw new Error(opened.reason);
  await page.keepSheet({ title: "Kept sheet" });
  await page.saveSettings({ ...(await page.loadSettings()), shop: "Invented shop" });
  return { page, recordJob: opened.id };
}

/** Every store, blobs as their contents. */
async function everything(page: Page): Promise<Record<string, Record<string, unknown>>> {
  const db = await page.database();
  const all: Record<string, Record<string, unknown>> = {};
  for (const name of db.objectStoreNames) {
    all[name] = {};
    for (const key of await db.getAllKeys(name)) {
      const value: unknown = await db.get(name, key as never);
      all[name][String(key)] =
        value instanceof Blob
          ? await value.text()
          : value instanceof Uint8Array
            ? Buffer.from(value).toString("base64")
            : JSON.parse(JSON.stringify(value));
    }
  }
  return all;
}

async function backupOf(page: Page): Promise<Uint8Array<ArrayBuffer>> {
  const made = await page.writeBackup(now, () => undefined);
  expect(made.missing).toEqual([]);
  return new Uint8Array(await made.blob!.arrayBuffer());
}

async function restored(page: Page, bytes: Uint8Array<ArrayBuffer>) {
  const read = await page.readBackup(new Blob([bytes]), () => undefined);
  if (!read.ok) throw new Error(`${read.problem}: ${read.detail}`);
  const plan = await page.planRestore(read.content);
  await page.restoreBackup(read.content, plan);
  return plan;
}

let bytes: Uint8Array<ArrayBuffer>;
let before: Awaited<ReturnType<typeof everything>>;
let recordJob: string;
beforeEach(async () => {
  const used = await usedPhone();
  ({ recordJob } = used);
  before = await everything(used.page);
  bytes = await backupOf(used.page);
});

describe("a backup of everything", () => {
  test("comes in whole on another phone", async () => {
    const page = await device();
    const plan = await restored(page, bytes);
    expect(plan.added.map(({ record }) => record.id).sort()).toEqual(["plain", recordJob].sort());
    const after = await everything(page);
    for (const store of [
      ...["jobs", "photos", "photoBytes", "revisions", "revisionEntries", "signatures"],
      ...["attachments", "sheets", "targets", "covers", "profiles", "listings"],
    ]) {
      expect(after[store], store).toEqual(before[store]);
      if (!["signatures", "targets", "profiles"].includes(store)) {
        expect(Object.keys(after[store]).length, store).toBeGreaterThan(0);
      }
    }
    expect((await page.loadSettings()).shop).toBe("Invented shop");
    for (const { sha256, bytes: closed } of inventedRevisions()) {
      expect((await page.loadRevision(sha256))?.bytes).toEqual(closed);
    }
  });

  test("taken in again changes nothing", async () => {
    const page = await device();
    await restored(page, bytes);
    const first = await everything(page);
    const plan = await restored(page, bytes);
    expect(plan).toMatchObject({ added: [], replaced: [], kept: [], leftDeleted: [], entries: [] });
    expect(await everything(page)).toEqual(first);
  });

  test("with any byte changed, cut off or emptied is refused, and changes nothing", {
    timeout: 120_000,
  }, async () => {
    const page = await device();
    await page.saveJob(plainJob("own"), page.notMeasured);
    const own = await everything(page);
    let refused = 0;
    const tried = async (changed: Uint8Array<ArrayBuffer>) => {
      const read = await page.readBackup(new Blob([changed]), () => undefined);
      // A byte that no reader looks at (a date in the container) may pass; its contents may not.
      if (read.ok) {
        expect(await contentDigest(read.content)).toBe(whole);
      } else refused++;
      expect(await everything(page)).toEqual(own);
    };
    const good = await page.readBackup(new Blob([bytes]), () => undefined);
    const whole = good.ok ? await contentDigest(good.content) : "";
    expect(whole).not.toBe("");
    await fc.assert(
      fc.asyncProperty(fc.nat(bytes.length - 1), fc.integer({ min: 1, max: 255 }), (at, turn) => {
        const changed = bytes.slice();
        changed[at] ^= turn;
        return tried(changed);
      }),
      { numRuns: 150, seed: 1 },
    );
    expect(refused).toBeGreaterThan(80);
    refused = 0;
    for (const share of [0, 0.1, 0.5, 0.9, 0.999]) {
      await tried(bytes.slice(0, Math.floor(share * bytes.length)));
    }
    expect(refused).toBe(5);
  });

  test("never takes back work: what was changed here later stays, and closed records stay", async () => {
    const page = await device();
    await restored(page, bytes);
    const job = (await page.loadJob("plain"))!;
    const later = { ...job, title: "Changed here", updatedAt: "2027-01-01T00:00:00.000Z" };
    await page.saveJob(later, page.notMeasured);
    const old = (await page.loadJob(recordJob))!;
    const earlier = { ...old, title: "Older here", updatedAt: "2020-01-01T00:00:00.000Z" };
    await page.saveJob(earlier, page.notMeasured);
    const plan = await restored(page, bytes);
    expect(plan.kept.map(({ title }) => title)).toEqual(["Changed here"]);
    expect(plan.replaced.map(({ record }) => record.id)).toEqual([recordJob]);
    expect((await page.loadJob("plain"))?.title).toBe("Changed here");
    expect((await page.loadJob(recordJob))?.title).toBe(old.title);
  });

  test("does not bring back a record that was deleted for good", async () => {
    const page = await device();
    await restored(page, bytes);
    await page.deleteJob(recordJob);
    const plan = await restored(page, bytes);
    expect(plan.leftDeleted.map(({ id }) => id)).toEqual([recordJob]);
    expect(await page.loadJob(recordJob)).toBeNull();
    for (const { sha256 } of inventedRevisions()) {
      expect(await page.loadRevision(sha256)).toBeNull();
    }
  });

  test("a write that fails in the middle leaves everything as it was", async () => {
    const page = await device();
    await page.saveJob(plainJob("own"), page.notMeasured);
    const own = await everything(page);
    const read = await page.readBackup(new Blob([bytes]), () => undefined);
    if (!read.ok) throw new Error(read.problem);
    const plan = await page.planRestore(read.content);
    // The last write of all cannot be stored.
    const settings = { shop: () => undefined } as never;
    const broken = { ...read.content, shop: { ...read.content.shop, settings } };
    await expect(page.restoreBackup(broken, plan)).rejects.toThrow();
    expect(await everything(page)).toEqual(own);
  });

  test("holds no key for signing", async () => {
    const { page } = await usedPhone();
    await page.makeSigningKey(now);
    const text = Buffer.from(await backupOf(page)).toString("latin1");
    expect(text).not.toContain("privateKey");
    const other = await device();
    await restored(other, bytes);
    expect(await other.loadSigningKey()).toBeNull();
  });
});

describe("closed records that are on this phone only", () => {
  test("are counted until a backup of everything, or their job's file, was made", async () => {
    const { page, recordJob: id } = await usedPhone();
    // The invented job's own records count as soon as the job is a real one.
    const job = (await page.loadJob(id))!;
    await page.saveJob({ ...job, invented: false, backedUpAt: null }, page.notMeasured);
    expect((await page.unsavedRevisions()).map(({ number }) => number)).toEqual([1, 2]);
    await page.noteBackup(id, "2026-01-15T20:00:00.000Z");
    const stored = (await page.loadJob(id))!;
    expect(Date.parse(stored.backedUpAt!)).toBeGreaterThan(0);
    await page.saveJob({ ...stored, backedUpAt: null }, page.notMeasured);
    await page.noteBackupOfAll(now);
    expect(await page.unsavedRevisions()).toEqual([]);
    expect((await page.lastBackup())?.at).toBe(now);
  });

  test("deleting everything leaves no record in any store", async () => {
    const { page } = await usedPhone();
    await page.deleteEverything();
    const left = Object.values(await everything(page)).flatMap((store) => Object.keys(store));
    expect(left).toEqual([]);
  });
});

/** What a backup says, as text, without the container around it. */
async function contentDigest(content: unknown): Promise<string> {
  const plain = async (value: unknown): Promise<unknown> => {
    if (value instanceof Blob) return value.text();
    if (value instanceof Uint8Array) return Buffer.from(value).toString("base64");
    if (value instanceof Map) return plain([...value]);
    if (Array.isArray(value)) return Promise.all(value.map(plain));
    if (typeof value === "object" && value !== null) {
      return plain(Object.entries(value)) as Promise<unknown>;
    }
    return value;
  };
  return JSON.stringify(await plain(content));
}

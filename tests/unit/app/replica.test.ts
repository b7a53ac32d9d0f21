/** The app's side of replication: two phones with databases of their own and one store in memory. */
import "fake-indexeddb/auto";
import { webcrypto } from "node:crypto";
import { IDBFactory } from "fake-indexeddb";
import { describe, expect, it, vi } from "vitest";
import { inventedJob } from "../../../src/app/fixtures/invented-job.ts";
import type { ShopSettings } from "../../../src/app/replica/shop-database.ts";
import type { ShopSets } from "../../../src/app/replica/shop-items.ts";
import { jobFileInput } from "../../../src/app/state/job-file.ts";
import { notMeasured } from "../../../src/app/store/listings.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import type { CameraProfile } from "../../../src/lens/profile.ts";
import { closeRevision } from "../../../src/record/close-revision.ts";
import { hashOf } from "../../../src/record/sha256.ts";
import { invitationText, readInvitation } from "../../../src/replicate/formats/address.ts";
import { aesGcm, type Subtle } from "../../../src/replicate/keys/aes-gcm.ts";
import { makeRing } from "../../../src/replicate/keys/ring.ts";
import { keyText, shopKey } from "../../../src/replicate/keys/shop-key.ts";
import { replicate } from "../../../src/replicate/sync/replicate.ts";
import { openVault } from "../../../src/replicate/sync/vault.ts";
import { inventedContent } from "../../tools/invented-record.ts";
import { MemoryStore } from "../../tools/replicate/memory-store.ts";
import { simulateSample } from "../../tools/simulated-job.ts";

const key = shopKey(new Uint8Array(32).fill(4));
const cipher = aesGcm(webcrypto.subtle as unknown as Subtle);
const noSets: ShopSets = { plateSets: [], printSets: [] };

const newStore = async () => {
  const store = new MemoryStore({ now: Date.now });
  const ring = await makeRing(cipher, key, [], "2026-11-30", null);
  return openVault(store, cipher, key, ring);
};

/** A phone: its modules are loaded anew for its own database each time that it is used. */
class Phone {
  private readonly factory = new IDBFactory();
  private static counter = 0;
  sets: ShopSets = noSets;
  readonly name = `phone-${Phone.counter++}`;
  constructor(readonly change: Partial<ShopSettings> = {}) {}

  async modules() {
    globalThis.indexedDB = this.factory;
    vi.resetModules();
    const [items, replica, jobs, shared, revisions, photos, known, lenses] = await Promise.all([
      import("../../../src/app/replica/shop-items.ts"),
      import("../../../src/app/replica/app-replica.ts"),
      import("../../../src/app/store/jobs.ts"),
      import("../../../src/app/replica/shared-jobs.ts"),
      import("../../../src/app/store/records/revisions.ts"),
      import("../../../src/app/store/photos.ts"),
      import("../../../src/app/replica/shop-database.ts"),
      import("../../../src/app/store/phone-lenses.ts"),
    ]);
    const profiles = await import("../../../src/app/store/profiles.ts");
    const database = await import("../../../src/app/store/database/database.ts");
    return {
      ...lenses,
      ...profiles,
      ...items,
      ...replica,
      ...jobs,
      ...shared,
      ...revisions,
      ...photos,
      ...known,
      ...database,
    };
  }

  async sync(vault: Awaited<ReturnType<typeof newStore>>) {
    const app = await this.modules();
    await app.noteOwnChanges(this.sets, this.name, new Date().toISOString());
    const settings: ShopSettings = {
      version: 1,
      store: { kind: "webdav", url: "https://store.example/", user: "", password: "" },
      key: keyText(key.secret),
      photos: "always",
      records: true,
      sharedJobs: [],
      ...this.change,
    };
    const replica = new app.AppReplica(settings, this.name, async () => "fingerprint");
    const done = await replicate(vault, replica, {
      now: Date.now,
      photos: true,
      follow: ["shop", "work", "photos"],
    });
    this.sets = await app.applyNewest(this.sets);
    return done;
  }
}

const plates = {
  name: "steel plates",
  standOffMm: 60,
  standOffSdMm: 0.3,
  centringSdMm: 0.5,
  tiltSdDeg: 0.2,
};

describe("what the shop knows", () => {
  it("goes from phone to phone; the newest change counts, and what is taken off is gone", async () => {
    const vault = await newStore();
    const [one, two] = [new Phone(), new Phone()];
    one.sets = { ...noSets, plateSets: [plates] };
    const { database: openOne } = await one.modules();
    await (await openOne()).put("sheets", { title: "Invented sheet" }, "sheet-1");
    await one.sync(vault);
    await two.sync(vault);
    expect(two.sets.plateSets).toEqual([plates]);
    const appTwo = await two.modules();
    const db = await appTwo.database();
    expect(await db.get("sheets", "sheet-1")).toEqual({ title: "Invented sheet" });

    two.sets = { ...noSets, plateSets: [{ ...plates, standOffMm: 61 }] };
    await db.delete("sheets", "sheet-1");
    await two.sync(vault);
    await one.sync(vault);
    expect(one.sets.plateSets).toEqual([{ ...plates, standOffMm: 61 }]);
    const dbOne = await (await one.modules()).database();
    expect(await dbOne.get("sheets", "sheet-1")).toBeUndefined();

    // Nothing changes any more, so that nothing is stored any more.
    expect((await two.sync(vault)).stored).toBe(0);
    expect((await one.sync(vault)).stored).toBe(0);
  });
});

describe("closed records", () => {
  const photo = new Uint8Array(500).fill(9);
  const closed = (invented: boolean) =>
    closeRevision({
      record: invented ? "demo" : "job",
      content: {
        ...inventedContent(),
        invented,
        attachments: [],
        photos: [{ ...inventedContent().photos[0], bytes: 500, sha256: hashOf(photo) }],
      },
      before: null,
      changeReason: "",
      openPoints: [],
      chain: { device: "d", sequence: 1, previous: null },
      closedAt: "2026-11-30T12:00:00+01:00",
      timeZone: "Europe/Madrid",
      program: "Plumbshot test",
    });

  it("are found on the other phone; the demo's stay; deleted for good they go everywhere", async () => {
    const vault = await newStore();
    const [one, two] = [new Phone(), new Phone()];
    const app = await one.modules();
    const { entryOf } = await import("../../../src/app/store/database/revision-entry.ts");
    const db = await app.database();
    await db.put("photoBytes", new Blob([photo]), "p1");
    for (const sealed of [closed(false), closed(true)]) {
      const photos = [{ id: "p1", sha256: hashOf(photo) }];
      await db.put("revisions", sealed.bytes, sealed.sha256);
      const entry = entryOf(sealed, { stateKey: "", photos, attachments: [] });
      await db.put("revisionEntries", entry, sealed.sha256);
    }
    expect((await one.sync(vault)).stored).toBe(2);
    expect((await two.sync(vault)).faults).toEqual([]);
    const appTwo = await two.modules();
    expect((await appTwo.listAllRevisions()).map(({ sha256 }) => sha256)).toEqual([
      closed(false).sha256,
    ]);
    expect(await appTwo.loadRevision(closed(false).sha256)).not.toBeNull();

    // The second phone removes it for good.
    const gone = await appTwo.storedEntries();
    const { canonicalBytes } = await import("../../../src/record/canonical.ts");
    const bytes = canonicalBytes({
      format: "plumbshot-removal",
      version: 1,
      removes: gone.map(({ sha256 }) => sha256),
      removedAt: "2026-12-01",
      device: "two",
    });
    await appTwo.saveDocument({ sha256: hashOf(bytes), kind: "removal", of: null, bytes });
    await two.sync(vault);
    await one.sync(vault);
    const after = await one.modules();
    expect((await after.listAllRevisions()).map(({ sha256 }) => sha256)).toEqual([
      closed(true).sha256,
    ]);
    // The demo's record rests on the same photo: it stays.
    expect(await after.photoBytes("p1")).not.toBeNull();
    expect((await one.sync(vault)).stored).toBe(0);
  });
});

describe("two phones on one job", () => {
  it("photos of either end in the job of both", async () => {
    const vault = await newStore();
    const [one, two] = [new Phone({ sharedJobs: ["j"] }), new Phone({ sharedJobs: ["j"] })];
    const app = await one.modules();
    await app.saveJob({ ...inventedJob(), id: "j" }, { verdict: "not measured", engine: "" });
    await app.shareJob("j", one.name, "2026-11-30");
    const photoOf = (name: string, id: string) => ({
      id,
      jobId: "j",
      name,
      purpose: "boards" as const,
      position: 2,
      setup: 1,
      epoch: "before" as const,
      about: "",
      addedAt: "2026-11-30T10:00:00Z",
      byteLength: name.length,
      fingerprint: "",
      thumb: null,
      removed: false,
    });
    await app.addPhoto(photoOf("IMG_1.jpg", "a"), new Blob(["IMG_1.jpg"]));
    await one.sync(vault);
    const before = await two.modules();
    await before.addPhoto(photoOf("IMG_1.jpg", "b"), new Blob(["other one"]));
    await two.sync(vault);
    const appTwo = await two.modules();
    expect((await appTwo.loadJob("j"))?.title).toBe(inventedJob().title);
    await one.sync(vault);
    await two.sync(vault);
    for (const phone of [one, two]) {
      const { listPhotos } = await phone.modules();
      const photos = await listPhotos("j");
      expect(photos.length).toBe(2);
      expect(new Set(photos.map(({ name }) => name)).size).toBe(2);
      expect(photos.map(({ position }) => position)).toEqual([2, 2]);
    }
  });
});

describe("two phones with a lens each", () => {
  const learned = learnCamera(simulateSample().sheet, "2026-01-01");
  if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
  const { profile: mine } = learned.camera;
  const theirs: CameraProfile = {
    ...mine,
    identity: { ...mine.identity, model: "Bay Two" },
    lens: { ...mine.lens, fx: 2500, fy: 2501 },
  };
  const photoOf = (name: string, id: string, purpose: "boards" | "sheet") => ({
    id,
    jobId: "j",
    name,
    purpose,
    position: 1,
    setup: 1,
    epoch: "before" as const,
    about: "",
    addedAt: "2026-11-30T10:00:00Z",
    byteLength: name.length,
    fingerprint: "",
    thumb: null,
    removed: false,
  });

  it("each brings its own, knows whose photo is whose, and keeps its sheet photos to itself", async () => {
    const vault = await newStore();
    const [one, two] = [new Phone({ sharedJobs: ["j"] }), new Phone({ sharedJobs: ["j"] })];
    const app = await one.modules();
    await app.saveProfile("lens-one", mine);
    const camera = { source: "saved profile" as const, profileId: "lens-one" };
    await app.saveJob({ ...inventedJob(), id: "j", camera }, notMeasured);
    await app.shareJob("j", one.name, "2026-11-30");
    await app.addPhoto(photoOf("one.jpg", "a", "boards"), new Blob(["one.jpg"]));
    await one.sync(vault);

    const before = await two.modules();
    await before.saveProfile("lens-two", theirs);
    await before.addPhoto(photoOf("two.jpg", "b", "boards"), new Blob(["two.jpg"]));
    await before.addPhoto(photoOf("sheet.jpg", "s", "sheet"), new Blob(["sheet.jpg"]));
    await two.sync(vault);
    // The job came with this run; what this phone has for it goes with the next one.
    await two.sync(vault);
    await one.sync(vault);

    const ofTwo = await two.modules();
    expect((await ofTwo.loadJob("j"))?.camera).toEqual({
      source: "saved profile",
      profileId: "lens-two",
    });
    expect(await ofTwo.loadPhoneLenses("j")).toMatchObject([
      { phone: one.name, source: "saved profile", profile: { lens: mine.lens } },
    ]);
    const ofOne = await one.modules();
    expect(await ofOne.loadPhoneLenses("j")).toMatchObject([
      { phone: two.name, source: "saved profile", profile: { lens: theirs.lens } },
    ]);
    const photos = await ofOne.listPhotos("j");
    expect(photos.map(({ name, device }) => [name, device]).sort()).toEqual([
      ["one.jpg", undefined],
      ["two.jpg", two.name],
    ]);
    expect(jobFileInput(inventedJob(), photos)).toMatchObject({
      phones: [{ name: two.name, photos: ["two.jpg"] }],
    });
  });

  it("a lens that was measured again goes to the other phone, and the newer one counts", async () => {
    const vault = await newStore();
    const [one, two] = [new Phone({ sharedJobs: ["j"] }), new Phone({ sharedJobs: ["j"] })];
    const app = await one.modules();
    await app.saveProfile("lens", mine);
    const camera = { source: "saved profile" as const, profileId: "lens" };
    await app.saveJob({ ...inventedJob(), id: "j", camera }, notMeasured);
    await app.shareJob("j", one.name, "2026-11-30");
    await one.sync(vault);
    await two.sync(vault);
    await (await one.modules()).saveProfile("lens", { ...mine, lens: { ...mine.lens, fx: 3000 } });
    await one.sync(vault);
    await two.sync(vault);
    const lenses = await (await two.modules()).loadPhoneLenses("j");
    expect(lenses.map(({ profile }) => profile.lens.fx)).toEqual([3000]);
    // The second phone never took the first one's lens for its own.
    expect((await (await two.modules()).loadJob("j"))?.camera).toEqual({
      source: "sheet photos",
      profileId: null,
    });
    expect((await one.sync(vault)).stored).toBe(0);
  });
});

describe("an invitation", () => {
  it("comes back from its text, with letters of any language", () => {
    const invitation = {
      format: "plumbshot-invitation",
      version: 1,
      store: { kind: "webdav", url: "https://store.example/ñ/", user: "taller", password: "señal" },
      key: keyText(key.secret),
      job: "j",
    } as const;
    const text = invitationText(invitation);
    expect(readInvitation(` ${text.slice(0, 40)}\n${text.slice(40)} `)).toEqual(invitation);
    expect(readInvitation(text.slice(0, -9))).toBeNull();
    expect(readInvitation("https://store.example")).toBeNull();
  });
});

describe("replication by itself", () => {
  it("waits for the page, does nothing without a store, and ends with the page", async () => {
    const listeners = new Set<string>();
    const target = {
      addEventListener: (name: string) => listeners.add(name),
      removeEventListener: (name: string) => listeners.delete(name),
    };
    vi.stubGlobal("window", target);
    vi.stubGlobal("document", { ...target, hidden: false });
    vi.stubGlobal("navigator", { onLine: true });
    vi.useFakeTimers({ toFake: ["setTimeout", "clearTimeout"] });
    const { replicateByItself } = await import("../../../src/app/replica/auto.ts");
    let asked = 0;
    const end = replicateByItself(
      () => {
        asked++;
        return noSets;
      },
      () => {
        throw new Error("Without a store there is nothing to take over.");
      },
    );
    expect(asked).toBe(0);
    await vi.advanceTimersByTimeAsync(5000);
    expect(asked).toBe(1);
    expect([...listeners].sort()).toEqual(["online", "visibilitychange"]);
    end();
    expect(listeners.size).toBe(0);
    vi.useRealTimers();
    vi.unstubAllGlobals();
  });
});

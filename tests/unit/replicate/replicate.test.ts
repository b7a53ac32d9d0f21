import { webcrypto } from "node:crypto";
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Sha256 } from "../../../src/record/sha256.ts";
import { StoreFault } from "../../../src/replicate/faults/faults.ts";
import { gapsIn, joinCovers } from "../../../src/replicate/formats/index-object.ts";
import { isNewer, namedItem, newestItems } from "../../../src/replicate/formats/shop-item.ts";
import { aesGcm, type Subtle } from "../../../src/replicate/keys/aes-gcm.ts";
import { makeRing } from "../../../src/replicate/keys/ring.ts";
import { sealLength } from "../../../src/replicate/keys/sealed.ts";
import { shopKey } from "../../../src/replicate/keys/shop-key.ts";
import { replicateSchemas } from "../../../src/replicate/schemas.ts";
import { belongingTo, forgetInStore } from "../../../src/replicate/sync/forget.ts";
import { gather } from "../../../src/replicate/sync/gather.ts";
import { objectPath } from "../../../src/replicate/sync/paths.ts";
import { replicate } from "../../../src/replicate/sync/replicate.ts";
import { changeKey, openVault, putObject, type Vault } from "../../../src/replicate/sync/vault.ts";
import { MemoryReplica } from "../../tools/replicate/memory-replica.ts";
import { MemoryStore, type MemoryStoreOptions } from "../../tools/replicate/memory-store.ts";

const cipher = aesGcm(webcrypto.subtle as unknown as Subtle);
const bytesOf = (text: string) => new TextEncoder().encode(text) as Uint8Array<ArrayBuffer>;
const keyOf = (digit: number) => shopKey(new Uint8Array(32).fill(digit));
const noon = Date.parse("2026-11-30T12:00:00Z");
const day = 86_400_000;

const newVault = async (
  store = new MemoryStore({ now: () => noon }),
  digit = 7,
): Promise<Vault> => {
  const key = keyOf(digit);
  return openVault(store, cipher, key, await makeRing(cipher, key, [], "2026-11-30", null));
};
const everything = (now = noon) => ({
  now: () => now,
  photos: true,
  follow: ["shop", "work", "photos"] as const,
});
const sync = (vault: Vault, replica: MemoryReplica, now = noon) =>
  replicate(vault, replica, everything(now));
const storeOf = (vault: Vault) => vault.store as MemoryStore;
const summary = {
  record: "job",
  number: 1,
  closedAt: "2026-11-30T10:00:00Z",
  title: "Invented car",
  plate: "XX 123",
  vin: "",
  vehicle: "",
  customer: "Invented person",
  technician: "",
  outcome: "all meet",
  photos: 1,
};

describe("two devices and a store", () => {
  it("both have everything, once each has replicated after the other", async () => {
    const vault = await newVault();
    const [van, shop] = [new MemoryReplica("van"), new MemoryReplica("shop")];
    van.add("photo", bytesOf("a photo"));
    van.add("record", bytesOf("a record"), { record: summary });
    shop.add("item", bytesOf("a target"));
    await sync(vault, van);
    await sync(vault, shop);
    await sync(vault, van);
    expect(van.objects).toEqual(shop.objects);
    expect(van.objects.size).toBe(3);
  });

  it("asks two questions a lane when there is nothing new", async () => {
    const vault = await newVault();
    const van = new MemoryReplica("van");
    for (let i = 0; i < 40; i++) van.add("photo", bytesOf(`photo ${i}`));
    van.add("record", bytesOf("record"), { record: summary });
    van.add("item", bytesOf("item"));
    await sync(vault, van);
    await sync(vault, van);
    const { counts } = storeOf(vault);
    const before = counts.requests;
    await sync(vault, van);
    expect(counts.requests - before).toBe(6);
  });

  it("keeps photos back on mobile data, records first", async () => {
    const vault = await newVault();
    const van = new MemoryReplica("van");
    van.add("photo", bytesOf("a photo"));
    van.add("record", bytesOf("a record"), { record: summary });
    const done = await replicate(vault, van, { ...everything(), photos: false });
    expect(done.stored).toBe(1);
    expect(done.held).toEqual({ count: 1, bytes: 7 });
    expect((await sync(vault, van)).stored).toBe(1);
  });

  it("the store sees names and sizes only", async () => {
    const vault = await newVault();
    const van = new MemoryReplica("van-device");
    van.add("record", bytesOf("XX 123 Invented person"), { record: summary });
    await sync(vault, van);
    const all = [...storeOf(vault).kept].map(([path, { bytes }]) => path + Buffer.from(bytes));
    expect(all.length).toBeGreaterThan(2);
    for (const word of ["XX 123", "Invented", "van-device", van.own[0].sha256]) {
      expect(all.some((text) => text.includes(word))).toBe(false);
    }
  });

  it("a device with a wrong clock is told so, and others find what it wrote", async () => {
    const vault = await newVault();
    const [late, shop] = [new MemoryReplica("late"), new MemoryReplica("shop")];
    await sync(vault, shop);
    late.add("record", bytesOf("record"), { record: summary });
    const done = await sync(vault, late, Date.parse("2019-01-01T00:00:00Z"));
    expect(done.faults.map(({ code }) => code)).toEqual(["device-clock"]);
    await sync(vault, shop, noon + 1000);
    expect(shop.objects.size).toBe(1);
  });

  it("finds an index in any past month within a week, where the store has no clock", async () => {
    const vault = await newVault(new MemoryStore());
    const [late, shop] = [new MemoryReplica("late"), new MemoryReplica("shop")];
    shop.add("item", bytesOf("item"));
    await sync(vault, shop);
    late.add("record", bytesOf("record"), { record: summary });
    await sync(vault, late, Date.parse("2019-01-01T00:00:00Z"));
    await sync(vault, shop, noon + 8 * day);
    expect(shop.objects.size).toBe(2);
  });
});

describe("breaks", () => {
  const dying = (options: MemoryStoreOptions) => newVault(new MemoryStore(options));

  it.each(["nothing", "part", "whole"] as const)(
    "the store dies in a write and keeps %s of it",
    async (how) => {
      let deaths = 3;
      let armed = false;
      const vault = await dying({
        now: () => noon,
        dies: (path) => (armed && path.startsWith("objects/") && deaths-- > 0 ? how : "no"),
      });
      armed = true;
      const [van, shop] = [new MemoryReplica("van"), new MemoryReplica("shop")];
      for (let i = 0; i < 5; i++) van.add("photo", bytesOf(`photo ${i}`));
      for (let tries = 0; tries < 4; tries++) await sync(vault, van).catch(() => undefined);
      const done = await sync(vault, shop);
      expect(done.faults).toEqual([]);
      expect(shop.objects.size).toBe(5);
      expect(storeOf(vault).counts.bytesTwice).toBe(0);
    },
  );

  it("a store that ignores conditions does no harm", async () => {
    const vault = await dying({ honoursCondition: false, now: () => noon });
    const [a, b] = [new MemoryReplica("a"), new MemoryReplica("b")];
    for (const one of [a, b]) one.add("photo", bytesOf("the same photo"));
    await Promise.all([sync(vault, a), sync(vault, b)]);
    const names = [...storeOf(vault).kept.keys()].filter((path) => path.startsWith("objects/"));
    expect(names.length).toBe(1);
    const shop = new MemoryReplica("shop");
    expect((await sync(vault, shop)).faults).toEqual([]);
  });
});

describe("a hostile or damaged store", () => {
  const filled = async () => {
    const vault = await newVault();
    const van = new MemoryReplica("van");
    van.add("record", bytesOf("first"), { record: summary });
    van.add("record", bytesOf("second"), { record: { ...summary, number: 2 } });
    await sync(vault, van);
    const paths = [...storeOf(vault).kept.keys()].filter((path) => path.startsWith("objects/"));
    return { vault, van, paths, kept: storeOf(vault).kept };
  };

  it("half an object is named and not taken in", async () => {
    const { vault, paths, kept } = await filled();
    kept.get(paths[0])!.bytes = kept.get(paths[0])!.bytes.slice(0, sealLength + 2);
    const shop = new MemoryReplica("shop");
    const { faults } = await sync(vault, shop);
    expect(faults.map(({ code }) => code)).toEqual(["damaged"]);
    expect(shop.objects.size).toBe(1);
  });

  it("an object under another's name is named and not taken in", async () => {
    const { vault, paths, kept } = await filled();
    kept.get(paths[0])!.bytes = kept.get(paths[1])!.bytes;
    const shop = new MemoryReplica("shop");
    const { faults } = await sync(vault, shop);
    expect(faults.map(({ code }) => code)).toEqual(["foreign"]);
  });

  it("any changed byte is found", async () => {
    const { vault, paths, kept } = await filled();
    const whole = kept.get(paths[0])!.bytes;
    await fc.assert(
      fc.asyncProperty(
        fc.nat(whole.length - 1),
        fc.integer({ min: 1, max: 255 }),
        async (at, by) => {
          const changed = whole.slice();
          changed[at] ^= by;
          kept.get(paths[0])!.bytes = changed;
          const { faults } = await sync(vault, new MemoryReplica("shop"));
          expect(faults.length).toBe(1);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("objects of another shop are named", async () => {
    const { vault, van, paths, kept } = await filled();
    const other = await newVault(new MemoryStore(), 9);
    await putObject(other, van.own[0].sha256, bytesOf("first"));
    const [, foreign] = [...storeOf(other).kept];
    kept.get(paths[0])!.bytes = foreign[1].bytes;
    const { faults } = await sync(vault, new MemoryReplica("shop"));
    expect(faults.length).toBe(1);
  });

  it("an index that was taken away is named when it stays away", async () => {
    const { vault, van, kept } = await filled();
    van.add("record", bytesOf("third"), { record: { ...summary, number: 3 } });
    const before = new Set(kept.keys());
    const firstIndex = [...before].find((path) => path.startsWith("index/work"))!;
    await sync(vault, van);
    kept.delete(firstIndex);
    const shop = new MemoryReplica("shop");
    expect((await sync(vault, shop)).faults).toEqual([]);
    const again = await sync(vault, shop);
    expect(again.faults).toEqual([{ code: "gap", values: { device: "van", number: 1 } }]);
  });

  it("a device that has read more goes on knowing it when the store shows an old state", async () => {
    const { vault, van, kept } = await filled();
    const shop = new MemoryReplica("shop");
    await sync(vault, shop);
    for (const path of [...kept.keys()]) if (!path.startsWith("keys/")) kept.delete(path);
    await sync(vault, shop);
    expect(shop.objects.size).toBe(2);
    expect((await shop.entries()).length).toBe(2);
    expect(van.objects.size).toBe(2);
  });
});

describe("keys", () => {
  it("WebCrypto and plain code make the same bytes", async () => {
    const stores = await Promise.all(
      [cipher, aesGcm(undefined)].map(async (one) => {
        const vault = { ...(await newVault()), cipher: one };
        const van = new MemoryReplica("van");
        van.add("photo", bytesOf("a photo"));
        await sync(vault, van);
        return storeOf(vault).kept;
      }),
    );
    expect(stores[0]).toEqual(stores[1]);
    expect(stores[0].size).toBe(3);
  });

  it("a wrong key reads and writes nothing", async () => {
    const vault = await newVault();
    const before = storeOf(vault).kept.size;
    await expect(openVault(vault.store, cipher, keyOf(8), null)).rejects.toMatchObject({
      code: "key-wrong",
    });
    expect(storeOf(vault).kept.size).toBe(before);
  });

  it("after a change of the key the old one is refused, and old records stay readable", async () => {
    const old = await newVault();
    const van = new MemoryReplica("van");
    van.add("record", bytesOf("before"), { record: summary });
    await sync(old, van);
    const key = keyOf(9);
    const ring = await makeRing(cipher, key, old.keys, "2026-12-01", null);
    const changed = await changeKey(old, key, ring);
    van.add("record", bytesOf("after"), { record: { ...summary, number: 2 } });
    await sync(changed, van);
    await expect(openVault(old.store, cipher, keyOf(7), null)).rejects.toBeInstanceOf(StoreFault);
    await expect(openVault(old.store, cipher, keyOf(7), null)).rejects.toMatchObject({
      code: "key-changed",
    });
    const fresh = await openVault(old.store, cipher, keyOf(9), null);
    const shop = new MemoryReplica("shop");
    expect((await sync(fresh, shop)).faults).toEqual([]);
    expect(shop.objects.size).toBe(2);
    // The lost device still has the old key: what came after does not open with it.
    const lost = new MemoryReplica("lost");
    const { faults } = await sync(old, lost);
    expect(faults.length).toBeGreaterThan(0);
    expect([...lost.objects.values()].map((bytes) => Buffer.from(bytes).toString())).toEqual([
      "before",
    ]);
  });
});

describe("deletion for good", () => {
  it("reaches every device, the store and the index, and nothing comes back", async () => {
    const vault = await newVault();
    const [van, shop, late] = ["van", "shop", "late"].map((name) => new MemoryReplica(name));
    const gone = van.add("record", bytesOf("to be removed"), { record: summary });
    van.add("record", bytesOf("stays"), { record: { ...summary, number: 2 } });
    for (const one of [van, shop, late]) await sync(vault, one);
    late.own.push({ kind: "record", sha256: gone, bytes: 13, record: summary });

    const entry = (await shop.entries()).find(({ sha256 }) => sha256 === gone)!;
    shop.add("removal", bytesOf("removal"), { removes: [gone] });
    await sync(vault, shop);
    await forgetInStore(vault, [entry]);
    for (const one of [van, late]) await sync(vault, one, noon + 40 * day);

    for (const one of [van, shop, late]) {
      expect(one.name + (await one.entries()).some(({ sha256 }) => sha256 === gone)).toBe(
        `${one.name}false`,
      );
    }
    expect(van.objects.has(gone) || late.objects.has(gone)).toBe(false);
    const fresh = new MemoryReplica("fresh");
    expect((await sync(vault, fresh)).faults).toEqual([]);
    expect(fresh.objects.size).toBe(2);
    const objects = [...storeOf(vault).kept.keys()].filter((path) => path.startsWith("objects/"));
    expect(objects.length).toBe(2);
  });
});

it("all revisions of a job go together, since they rest on the same photos", async () => {
  const vault = await newVault();
  const van = new MemoryReplica("van");
  const first = van.add("record", bytesOf("revision 1"), { record: summary });
  van.add("record", bytesOf("revision 2"), { record: { ...summary, number: 2 } });
  van.add("record", bytesOf("another job"), { record: { ...summary, record: "other" } });
  van.add("photo", bytesOf("photo of both revisions"), { of: first });
  van.add("item", bytesOf("a target"), { of: "target/t" });
  await sync(vault, van);
  const gone = belongingTo(await van.entries(), new Set([van.own[1].sha256]));
  expect(gone.map(({ kind }) => kind).sort()).toEqual(["photo", "record", "record"]);
});

describe("the gathered index", () => {
  it("says the same in fewer objects, to new devices and to old ones", async () => {
    const vault = await newVault();
    const [van, shop] = [new MemoryReplica("van"), new MemoryReplica("shop")];
    for (let i = 0; i < 12; i++) {
      van.add("record", bytesOf(`record ${i}`), { record: { ...summary, number: i + 1 } });
      await sync(vault, van);
    }
    await sync(vault, shop);
    expect(await gather(vault, "work", "2026-12-20", new Set())).toEqual({ before: 12, after: 1 });
    const before = storeOf(vault).counts.requests;
    const [fresh] = [new MemoryReplica("fresh")];
    expect((await sync(vault, fresh)).faults).toEqual([]);
    expect(fresh.objects).toEqual(shop.objects);
    expect(storeOf(vault).counts.requests - before).toBe(12 + 3 + 1 + 1);
    expect((await sync(vault, shop, noon + 20 * day)).faults).toEqual([]);
    expect((await shop.entries()).length).toBe(12);
  });

  it("joins runs, and names what is missing", () => {
    const covers = joinCovers([{ a: [[1, 2]] }, { a: [[5, 5]], b: [[2, 3]] }, { a: [[3, 3]] }]);
    expect(covers).toEqual({
      a: [
        [1, 3],
        [5, 5],
      ],
      b: [[2, 3]],
    });
    expect(gapsIn(covers)).toEqual([
      { device: "a", number: 4 },
      { device: "b", number: 1 },
    ]);
  });
});

describe("shop items", () => {
  const item = (revision: number, changedAt: string, value: unknown) =>
    namedItem({
      format: "plumbshot-shop-item",
      version: 1,
      kind: "target",
      id: "t1",
      revision,
      before: null,
      changedAt,
      device: "van",
      gone: false,
      value,
    });

  it("the newest revision counts, whatever the clocks say", () => {
    const older = item(1, "2099-01-01T00:00:00Z", "old");
    const newer = item(2, "2019-01-01T00:00:00Z", "new");
    expect(newestItems([newer, older]).get("target/t1")?.item.value).toBe("new");
  });

  it("every device picks the same of two changes of one revision", () => {
    const some = fc.array(
      fc.record({
        revision: fc.integer({ min: 1, max: 3 }),
        at: fc.constantFrom("a", "b"),
        v: fc.nat(3),
      }),
      { minLength: 1, maxLength: 8 },
    );
    fc.assert(
      fc.property(some, (drawn) => {
        const items = drawn.map(({ revision, at, v }) => item(revision, at, v));
        const one = newestItems(items).get("target/t1")!;
        const other = newestItems([...items].reverse()).get("target/t1")!;
        expect(other.sha256).toBe(one.sha256);
        expect(items.some((each) => isNewer(each, one))).toBe(false);
      }),
    );
  });
});

it("objects lie in 256 folders", () => {
  const name = "ab".repeat(32);
  expect(objectPath("01234567", name)).toBe(`objects/01234567/ab/${name}`);
  expect(name as Sha256).toHaveLength(64);
});

it("the published JSON Schemas are those of the code", () => {
  const schemas = Object.entries(replicateSchemas());
  expect(schemas.length).toBe(10);
  for (const [name, schema] of schemas) {
    const text = readFileSync(`src/replicate/schemas/${name}.schema.json`, "utf8");
    expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(schema)));
  }
});

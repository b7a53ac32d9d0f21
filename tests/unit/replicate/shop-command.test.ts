import { execFile } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { IndexCache } from "../../../src/cli/shop/index-cache.ts";
import { openShop } from "../../../src/cli/shop/open-store.ts";
import { hashOf } from "../../../src/record/sha256.ts";
import type { Outgoing } from "../../../src/replicate/sync/replica.ts";
import { replicate } from "../../../src/replicate/sync/replicate.ts";
import { inventedArchive, inventedRevisions } from "../../tools/invented-record.ts";

const folder = mkdtempSync(join(tmpdir(), "plumbshot-shop-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const store = join(folder, "store");
const keyFile = join(folder, "shop.key");

const shop = (...args: string[]) =>
  new Promise<{ status: number; out: string; err: string }>((resolve) => {
    const all = ["node_modules/tsx/dist/cli.mjs", "src/cli/shop/shop.ts", ...args];
    execFile("node", [...all, "--cache", join(folder, "cache")], (error, out, err) =>
      resolve({ status: error ? Number(error.code) : 0, out, err }),
    );
  });

describe("npm run shop", () => {
  it("makes a key, lists, verifies, writes lines for the books and removes for good", async () => {
    expect((await shop(store, "--key", keyFile)).status).toBe(2);
    const made = await shop(store, "--make-key", keyFile);
    expect(made).toMatchObject({ status: 0 });
    expect((await shop(store, "--make-key", join(folder, "second.key"))).err).toContain(
      "has a key already",
    );

    const [{ bytes, revision }] = inventedRevisions();
    const photo = new TextEncoder().encode("a photo") as Uint8Array<ArrayBuffer>;
    const record: Outgoing = {
      kind: "record",
      sha256: hashOf(bytes),
      bytes: bytes.length,
      record: {
        record: revision.record,
        number: 1,
        closedAt: revision.closedAt,
        title: "Invented car",
        plate: "XX 123",
        vin: "",
        vehicle: "",
        customer: "Invented person",
        technician: "",
        outcome: "all meet",
        photos: 1,
      },
    };
    const beside: Outgoing = {
      kind: "photo",
      sha256: hashOf(photo),
      bytes: photo.length,
      of: record.sha256,
    };
    const vault = await openShop(store, keyFile);
    const van = new IndexCache(join(folder, "van"), [
      { entry: record, bytes },
      { entry: beside, bytes: photo },
    ]);
    await replicate(vault, van, { now: Date.now, photos: true, follow: [] });

    const listed = await shop(store, "--key", keyFile);
    expect(listed.out).toContain("XX 123 Invented car");
    expect(listed.out).toContain("1 records.");
    expect((await shop(store, "--key", keyFile, "--search", "nobody")).out).toContain("0 records.");
    expect((await shop(store, "--key", keyFile, "--csv")).out.split("\r\n").length).toBeGreaterThan(
      2,
    );
    const verified = await shop(store, "--key", keyFile, "--verify");
    expect(verified.out).toContain("2 objects read, 1 of them records; 0 wrong");
    expect(verified.status).toBe(0);

    const objects = readdirSync(join(store, "objects"), { recursive: true, withFileTypes: true })
      .filter((item) => item.isFile())
      .map((item) => join(item.parentPath, item.name));
    expect(objects.length).toBe(2);
    const whole = readFileSync(objects[0]);
    writeFileSync(objects[0], whole.subarray(0, whole.length - 1));
    const damaged = await shop(store, "--key", keyFile, "--verify");
    expect(damaged.out).toContain("is damaged");
    expect(damaged.status).toBe(1);
    writeFileSync(objects[0], whole);

    const next = join(folder, "next.key");
    expect((await shop(store, "--key", keyFile, "--change-key", next)).status).toBe(0);
    const old = await shop(store, "--key", keyFile);
    expect(old.err).toContain("key was changed");
    expect(old.status).toBe(2);

    const gone = await shop(store, "--key", next, "--search", "XX 123", "--forget");
    expect(gone.out).toContain("1 records are removed for good: 2 objects deleted, 2 index");
    expect((await shop(store, "--key", next)).out).toContain("0 records.");
    expect(readFileSync(join(folder, "shop.key"), "utf8")).toContain("plumbshot-shop-key");
  });

  it("puts a record archive into a store, once", async () => {
    const archive = join(folder, "record.zip");
    const other = join(folder, "archived");
    const otherKey = join(folder, "archived.key");
    writeFileSync(archive, await inventedArchive(inventedRevisions(), []));
    await shop(other, "--make-key", otherKey);
    const added = await shop(other, "--key", otherKey, "--add", archive);
    expect(added.out).toMatch(/^(\d+) of \1 objects were new to the store; 0 photos/);
    expect((await shop(other, "--key", otherKey, "--add", archive)).out).toMatch(/^0 of /);
    expect((await shop(other, "--key", otherKey)).out).toContain("2 records.");
    const verified = await shop(other, "--key", otherKey, "--verify");
    expect(verified.out).toContain("0 wrong, 0 records wait for photos");
  });

  it("names a wrong key and a store that is not there", async () => {
    const other = join(folder, "other");
    await shop(join(folder, "elsewhere"), "--make-key", other);
    const wrong = await shop(store, "--key", other);
    expect(wrong).toMatchObject({ status: 2 });
    expect(wrong.err).toContain("not that of this shop");
    expect((await shop(join(folder, "nowhere"), "--key", other)).err).toContain("is missing");
  });
});

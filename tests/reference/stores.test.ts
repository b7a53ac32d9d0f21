/**
 * Replication against servers that exist, started on the loopback: Debian's apache2 with mod_dav, rclone
 * (which ignores If-None-Match), OpenStack Swift's S3 interface, and `npm start`'s own folder.
 */

import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync } from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { shopFolder } from "../../src/cli/server/shop-folder.ts";
import { cipher } from "../../src/cli/shop/open-store.ts";
import { folderStore } from "../../src/cli/stores/folder-store.ts";
import { nodeSend } from "../../src/cli/stores/node-send.ts";
import { makeRing } from "../../src/replicate/keys/ring.ts";
import { shopKey } from "../../src/replicate/keys/shop-key.ts";
import { s3Store } from "../../src/replicate/stores/s3.ts";
import type { Store } from "../../src/replicate/stores/store.ts";
import { webdavStore } from "../../src/replicate/stores/webdav.ts";
import { repair } from "../../src/replicate/sync/repair.ts";
import { replicate } from "../../src/replicate/sync/replicate.ts";
import { openVault } from "../../src/replicate/sync/vault.ts";
import { MemoryReplica } from "../tools/replicate/memory-replica.ts";
import {
  hasApache,
  hasRclone,
  hasSwift,
  login,
  type StoreServer,
  startApache,
  startRclone,
  startSwift,
  swiftKeys,
} from "../tools/replicate/servers.ts";

const bytesOf = (text: string) => new TextEncoder().encode(text) as Uint8Array<ArrayBuffer>;
const key = shopKey(new Uint8Array(32).fill(5));
const opened = async (store: Store) =>
  openVault(store, cipher, key, await makeRing(cipher, key, [], "2026-11-30", null));
const sync = async (store: Store, replica: MemoryReplica) =>
  replicate(await opened(store), replica, {
    now: Date.now,
    photos: true,
    follow: ["shop", "work", "photos"],
  });
const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((item) => item.isFile())
    .map((item) => join(item.parentPath, item.name));

/** A disk of 512 kB in memory, to be unmounted; null where this user may not mount one. */
function smallDisk(): string | null {
  const folder = mkdtempSync(join(tmpdir(), "plumbshot-disk-"));
  try {
    execFileSync("mount", ["-t", "tmpfs", "-o", "size=512k", "tmpfs", folder], { stdio: "ignore" });
    return folder;
  } catch {
    return null;
  }
}

/** A certificate that nobody vouches for, made by Debian's openssl. PEM. */
function selfSigned(): { cert: string; key: string } {
  const folder = mkdtempSync(join(tmpdir(), "plumbshot-certificate-"));
  const [cert, privateKey] = [join(folder, "cert.pem"), join(folder, "key.pem")];
  execFileSync(
    "openssl",
    [
      ...["req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"],
      ...["-subj", "/CN=127.0.0.1", "-out", cert, "-keyout", privateKey],
    ],
    { stdio: "ignore" },
  );
  const made = { cert: readFileSync(cert, "utf8"), key: readFileSync(privateKey, "utf8") };
  rmSync(folder, { recursive: true });
  return made;
}

interface Made {
  readonly store: Store;
  readonly server: StoreServer | null;
  /** False where the server writes over what is there. */
  readonly conditions: boolean;
}

async function ownFolder(): Promise<Made & { stop(): Promise<void> }> {
  const folder = mkdtempSync(join(tmpdir(), "plumbshot-own-"));
  const serve = shopFolder("/store/", { store: folderStore(folder), ...login });
  const server = createServer((request, response) => void serve(request, response));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as { port: number };
  const url = `http://127.0.0.1:${port}/store/`;
  return {
    store: webdavStore({ kind: "webdav", url, ...login }, nodeSend),
    server: null,
    conditions: true,
    stop: async () => {
      server.closeAllConnections();
      server.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const webdavOf = (server: StoreServer, conditions: boolean) => ({
  store: webdavStore({ kind: "webdav", url: server.url, ...login }, nodeSend),
  server,
  conditions,
  stop: server.stop,
});

async function swift() {
  const server = await startSwift();
  const address = {
    kind: "s3",
    url: server.url,
    bucket: "shop",
    region: "us-east-1",
    folder: "plumbshot",
    ...swiftKeys,
  } as const;
  const bucket = s3Store({ ...address, folder: "" }, nodeSend, Date.now);
  // The bucket's own address, with nothing behind it: makes it.
  await bucket.replace("", new Uint8Array()).catch(async (error) => {
    await server.stop();
    throw error;
  });
  // Its S3 interface answers a conditional PUT with 501: the store asks first, and then stores.
  return {
    store: s3Store(address, nodeSend, Date.now),
    server,
    conditions: true,
    stop: server.stop,
  };
}

const stores = [
  ["npm start's own folder", () => true, ownFolder, ""],
  ["Apache", hasApache, async () => webdavOf(await startApache(), true), "apache2, apache2-utils"],
  ["rclone", hasRclone, async () => webdavOf(await startRclone(), false), "rclone"],
  [
    "Swift by S3",
    hasSwift,
    swift,
    "swift-proxy, swift-account, swift-container, swift-object, memcached",
  ],
] as const;

for (const [name, isThere, make, packages] of stores) {
  const suite = isThere() ? describe : describe.skip;
  suite(isThere() ? name : `${name} (Debian's ${packages} are not installed)`, () => {
    let made: Made & { stop(): Promise<void> };
    beforeAll(async () => {
      made = await make();
    });
    afterAll(async () => made?.stop());

    it("two devices come to the same objects", async () => {
      const [van, shop] = [new MemoryReplica("van"), new MemoryReplica("shop")];
      for (let i = 0; i < 12; i++) van.add("photo", bytesOf(`photo ${i}`));
      van.add("record", bytesOf("a record"));
      shop.add("item", bytesOf("a target"));
      expect((await sync(made.store, van)).faults).toEqual([]);
      expect((await sync(made.store, shop)).faults).toEqual([]);
      await sync(made.store, van);
      expect(van.objects).toEqual(shop.objects);
      expect(van.objects.size).toBe(14);
    });

    it("tells names, lengths and times, and nothing of what is not there", async () => {
      const { store } = made;
      const path = "objects/00000000/ab/probe";
      const before = Date.now();
      expect(await store.get(path)).toBeNull();
      expect(await store.head(path)).toBeNull();
      expect(await store.list("objects/nothing")).toEqual([]);
      expect(await store.putIfAbsent(path, bytesOf("first"))).toBe("stored");
      const again = await store.putIfAbsent(path, bytesOf("later"));
      expect(again).toBe(made.conditions ? "present" : "stored");
      expect(Buffer.from((await store.get(path))!).toString()).toBe(
        made.conditions ? "first" : "later",
      );
      const head = await store.head(path);
      expect(head?.bytes).toBe(5);
      expect(Math.abs(head!.storedAt! - before)).toBeLessThan(60_000);
      expect((await store.list("objects/00000000/ab")).map((item) => item.name)).toEqual(["probe"]);
      const [folder] = await store.list("objects/00000000");
      expect(folder).toMatchObject({ name: "ab", folder: true });
      await store.delete(path);
      await store.delete(path);
      expect(await store.get(path)).toBeNull();
    });

    it("goes on after the server was ended and started again", async () => {
      const { server, store } = made;
      if (!server) return;
      const van = new MemoryReplica("van again");
      van.add("record", bytesOf("after the break"));
      await server.restart();
      expect((await sync(store, van)).stored).toBe(1);
    });
  });
}

const withApache = hasApache() ? describe : describe.skip;
withApache("bad stores, by Apache", () => {
  const servers: StoreServer[] = [];
  afterAll(async () => {
    for (const server of servers) await server.stop();
  });
  const apache = async (options = {}): Promise<StoreServer> => {
    const server = await startApache(options);
    servers.push(server);
    return server;
  };
  const faultOf = async (store: Store, van = new MemoryReplica("van")): Promise<string> => {
    van.add("record", bytesOf("a record"));
    try {
      await sync(store, van);
      return "none";
    } catch (error) {
      return (error as { code: string }).code;
    }
  };
  const at = (url: string, password: string = login.password) =>
    webdavStore({ kind: "webdav", url, user: login.user, password }, nodeSend);

  it("names a wrong password, a wrong address, a page that is no store, and nobody there", async () => {
    const { url } = await apache();
    expect(await faultOf(at(url, "wrong"))).toBe("refused");
    expect(await faultOf(at(url.replace("/shop/", "/nothing/")))).toBe("not-there");
    expect(await faultOf(at("http://127.0.0.1:9/shop/"))).toBe("unreachable");
    const page = createServer((_, response) => response.writeHead(200).end("Hello"));
    await new Promise<void>((resolve) => page.listen(0, "127.0.0.1", resolve));
    const { port } = page.address() as { port: number };
    expect(await faultOf(at(`http://127.0.0.1:${port}/`))).toBe("no-store");
    page.closeAllConnections();
    page.close();
  });

  it("names a store that can only be read", async () => {
    const { url } = await apache({ readOnly: true });
    expect(await faultOf(at(url))).toBe("read-only");
  });

  it("names a disk that is full, leaves nothing half, and goes on", async (context) => {
    const small = smallDisk();
    if (small === null) return context.skip("a disk of its own needs root");
    const store = folderStore(small);
    const van = new MemoryReplica("van");
    const photos = Array.from({ length: 8 }, (_, i) => new Uint8Array(100_000).fill(i + 1));
    for (const photo of photos) van.add("photo", photo);
    try {
      expect(await faultOf(store, van)).toBe("full");
      expect(filesIn(small).filter((name) => name.endsWith(".part"))).toEqual([]);
      execFileSync("mount", ["-o", "remount,size=4m", small]);
      expect((await sync(store, van)).faults).toEqual([]);
      const shop = new MemoryReplica("shop");
      await sync(store, shop);
      // The photos, and the record that goes before them.
      expect(shop.objects.size).toBe(photos.length + 1);
    } finally {
      execFileSync("umount", [small]);
    }
  });

  it("names a certificate that is not trusted", async () => {
    const { url } = await apache({ tls: selfSigned() });
    expect(await faultOf(at(url))).toBe("certificate");
  });

  it("names half an object on the server's disk, and another device stores it whole again", async () => {
    const { url, folder } = await apache();
    const [van, other] = [new MemoryReplica("van"), new MemoryReplica("other")];
    for (const one of [van, other]) one.add("photo", bytesOf("the same photo on both"));
    await sync(at(url), van);
    const [object] = filesIn(join(folder, "objects"));
    truncateSync(object, 30);
    const shop = new MemoryReplica("shop");
    expect((await sync(at(url), shop)).faults.map(({ code }) => code)).toEqual(["damaged"]);
    expect(shop.objects.size).toBe(0);
    expect(await repair(await opened(at(url)), other)).toEqual({
      looked: 0,
      mended: 0,
      elsewhere: 0,
    });
    await sync(at(url), other);
    expect(await repair(await opened(at(url)), other)).toEqual({
      looked: 1,
      mended: 1,
      elsewhere: 0,
    });
    expect((await sync(at(url), shop)).faults).toEqual([]);
    expect(shop.objects.size).toBe(1);
  });
});

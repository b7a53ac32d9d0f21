/**
 * The Shop screen in Chromium against Apache with mod_dav on the loopback: another origin, so that the
 * page's security policy and CORS count. Two phones, a network that goes away in the middle, one job on
 * both.
 */
import { randomBytes } from "node:crypto";
import {
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { inventedJob } from "../../src/app/fixtures/invented-job.ts";
import { entryOf } from "../../src/app/store/database/revision-entry.ts";
import { shopFolder } from "../../src/cli/server/shop-folder.ts";
import { staticFiles } from "../../src/cli/server/static-files.ts";
import { folderStore } from "../../src/cli/stores/folder-store.ts";
import { closeRevision } from "../../src/record/close-revision.ts";
import { hashOf } from "../../src/record/sha256.ts";
import { chromiumFlags, ensureChromium } from "../tools/debian.ts";
import { inventedContent } from "../tools/invented-record.ts";
import { hasApache, login, type StoreServer, startApache } from "../tools/replicate/servers.ts";
import { type AppUnderTest, goTo, phone, startApp, storeJob, watchedPage } from "./app-harness.ts";

const photos = Array.from({ length: 12 }, (_, i) => ({
  id: `photo-${i}`,
  name: `IMG_${i}.jpg`,
  bytes: randomBytes(150_000),
}));

/** A closed record of a car that counts as real, with photos. */
const sealed = closeRevision({
  record: "shopjob",
  content: {
    ...inventedContent(),
    invented: false,
    title: "Car of the shop test",
    attachments: [],
    photos: photos.map(({ name, bytes }) => ({
      ...inventedContent().photos[0],
      name,
      bytes: bytes.length,
      sha256: hashOf(bytes),
    })),
  },
  before: null,
  changeReason: "",
  openPoints: [],
  chain: { device: "phone-one", sequence: 1, previous: null },
  closedAt: "2026-11-30T12:00:00+01:00",
  timeZone: "Europe/Madrid",
  program: "Plumbshot test",
});

/** Puts the record and its photos into the page's own database, as closing does. */
async function storeRecord(page: Page): Promise<void> {
  const entry = entryOf(sealed, {
    stateKey: "",
    photos: photos.map(({ id, bytes }) => ({ id, sha256: hashOf(bytes) })),
    attachments: [],
  });
  const files = photos.map(({ id, bytes }) => ({ id, text: bytes.toString("base64") }));
  await page.evaluate(
    async ([text, stored, sha256, blobs]) => {
      const db = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
      });
      const names = ["revisions", "revisionEntries", "photoBytes"];
      const transaction = db.transaction(names, "readwrite");
      transaction.objectStore("revisions").put(new TextEncoder().encode(text), sha256);
      transaction.objectStore("revisionEntries").put(stored, sha256);
      for (const { id, text: base64 } of blobs) {
        const bytes = Uint8Array.from(atob(base64), (char) => char.charCodeAt(0));
        transaction.objectStore("photoBytes").put(new Blob([bytes], { type: "image/jpeg" }), id);
      }
      await new Promise((resolve) => {
        transaction.oncomplete = resolve;
      });
      db.close();
    },
    [new TextDecoder().decode(sealed.bytes), entry, sealed.sha256, files] as const,
  );
}

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((item) => item.isFile())
    .map((item) => join(item.parentPath, item.name));

const replicated = async (page: Page, before: string): Promise<string> => {
  const line = page.getByTestId("replicated");
  await expect.poll(() => line.getAttribute("data-at"), { timeout: 60_000 }).not.toBe(before);
  return (await line.getAttribute("data-at")) ?? "";
};

/** Presses the button; a run that the app began by itself just before may end first, so that twice is needed. */
const replicateNow = async (page: Page): Promise<void> => {
  const line = page.getByTestId("replicated");
  const before = (await line.count()) ? ((await line.getAttribute("data-at")) ?? "") : "";
  await page.getByRole("button", { name: "Replicate now" }).click();
  await replicated(page, before);
};

/**
 * Presses a button of the store's check; what it says when this run, and no earlier one, has ended. Waits
 * as a person would: a second tap on one place within 0.3 s is taken for one of a wet finger.
 */
const repair = async (page: Page, button: string): Promise<string | null> => {
  const repaired = page.getByTestId("repaired");
  const before = await repaired.getAttribute("data-times");
  await page.waitForTimeout(400);
  await page.getByRole("button", { name: button }).click();
  await expect
    .poll(() => repaired.getAttribute("data-times"), { timeout: 30_000 })
    .not.toBe(before);
  return repaired.textContent();
};

const suite = hasApache() ? describe : describe.skip;
suite(hasApache() ? "Shop screen" : "Shop screen (Debian's apache2 is not installed)", () => {
  let app: AppUnderTest;
  let apache: StoreServer;
  const served = { store: null as string | null, ownStore: null };

  beforeAll(async () => {
    app = await startApp("shop-test", "localhost", served);
    apache = await startApache({ origin: new URL(app.url).origin });
    served.store = new URL(apache.url).origin;
  });
  afterAll(async () => {
    await app?.close();
    await apache?.stop();
  });

  const setUp = async (page: Page) => {
    await goTo(page, "#/shop");
    await page.getByLabel("Address").fill(apache.url);
    await page.getByLabel("User name").fill(login.user);
    await page.getByLabel("Password").fill(login.password);
    await pressConnect(page);
  };
  const joinWith = async (page: Page, code: string) => {
    await goTo(page, "#/shop");
    await page.getByTestId("code").fill(code);
    await page.getByRole("button", { name: "Join", exact: true }).click();
  };

  it("two phones come to the same records, over a dead spot, and work on one job", async () => {
    const one = await watchedPage(app, phone);
    await storeRecord(one.page);
    const job = { ...inventedJob(), id: "sharedjob", title: "A shared job" };
    await storeJob(one.page, job, null);

    // The network goes away after some photos, and comes back.
    let sent = 0;
    await one.context.route("**/objects/**", async (route) => {
      if (route.request().method() === "PUT" && ++sent === 6) await one.context.setOffline(true);
      await route.continue().catch(() => undefined);
    });
    await setUp(one.page);
    await expect.poll(() => one.page.getByTestId("ended").count(), { timeout: 60_000 }).toBe(1);
    expect(await one.page.getByTestId("ended").textContent()).toContain("gives no answer");
    const partly = filesIn(join(apache.folder, "objects")).length;
    expect(partly).toBeGreaterThan(0);
    expect(partly).toBeLessThan(13);

    await one.context.setOffline(false);
    await one.context.unroute("**/objects/**");
    await one.page.getByRole("button", { name: "Replicate now" }).click();
    const at = await replicated(one.page, "");
    expect(await one.page.getByTestId("ended").count()).toBe(0);
    expect(await one.page.getByTestId("store-fault").count()).toBe(0);
    // The record and its twelve photos, each once.
    expect(filesIn(join(apache.folder, "objects")).length).toBe(13);

    await one.page.getByRole("button", { name: "Share “A shared job”" }).click();
    const code = await one.page.getByTestId("shown-code").inputValue();
    expect(code).toMatch(/^PLUMBSHOT:/);
    await replicated(one.page, at);
    // A run that was under way when the job was shared does not carry it: one that began afterwards does.
    await replicateNow(one.page);
    if (process.env.SHOTS) {
      await one.page.screenshot({
        path: join(process.env.SHOTS, "shop-joined.png"),
        fullPage: true,
      });
    }

    const two = await watchedPage(app, phone);
    await joinWith(two.page, code);
    await two.page.waitForURL(/#\/job\/sharedjob/);
    await goTo(two.page, "#/records");
    await expect.poll(() => two.page.getByTestId("records").textContent()).toContain("AB 123");

    // A photo of the second phone comes to the first one's job.
    await addPhotoTo(two.page, "sharedjob");
    await goTo(two.page, "#/shop");
    await expect
      .poll(
        async () => {
          await replicateNow(two.page);
          await replicateNow(one.page);
          return photosOf(one.page, "sharedjob");
        },
        { timeout: 60_000 },
      )
      .toEqual(["from the second phone.jpg"]);

    const origin = new URL(apache.url).origin;
    for (const { foreign } of [one, two]) {
      expect(foreign.length).toBeGreaterThan(0);
      expect(foreign.filter((url) => !url.startsWith(origin))).toEqual([]);
    }
    await one.context.close();
    await two.context.close();
  });

  it("two phones replicate through npm start's own folder on plain http, without WebCrypto", async () => {
    const folder = mkdtempSync(join(tmpdir(), "plumbshot-folder-"));
    const shop = shopFolder("/store/", { store: folderStore(folder), ...login });
    const pages = staticFiles(app.folder, { store: null, ownStore: "/store/" });
    const server = createServer((request, response) => {
      if (!shop(request, response)) pages(request, response);
    });
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    const { port } = server.address() as { port: number };
    const browser = await chromium.launch({
      executablePath: ensureChromium(),
      args: [...chromiumFlags, "--host-resolver-rules=MAP shop.test 127.0.0.1"],
    });
    const plain = { ...app, browser, url: `http://shop.test:${port}/` };
    try {
      const one = await watchedPage(plain, phone);
      expect(await one.page.evaluate(() => crypto.subtle === undefined)).toBe(true);
      await storeRecord(one.page);
      await goTo(one.page, "#/shop");
      expect(await one.page.getByLabel("Address").inputValue()).toBe(`${plain.url}store/`);
      await one.page.getByLabel("User name").fill(login.user);
      await one.page.getByLabel("Password").fill(login.password);
      await pressConnect(one.page);
      await replicated(one.page, "");
      expect(filesIn(join(folder, "objects")).length).toBe(13);
      await one.page.getByRole("button", { name: "Show the code" }).click();
      const two = await watchedPage(plain, phone);
      await joinWith(two.page, await one.page.getByTestId("shown-code").inputValue());
      await replicated(two.page, "");
      await goTo(two.page, "#/records");
      await expect.poll(() => two.page.getByTestId("records").textContent()).toContain("AB 123");
      expect([...one.foreign, ...two.foreign]).toEqual([]);
    } finally {
      await browser.close();
      server.closeAllConnections();
      server.close();
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it("repairs what the store lost, deletes for good and changes the key, from the screen", async () => {
    const own = await startApache({ origin: new URL(app.url).origin });
    const before = served.store;
    served.store = new URL(own.url).origin;
    try {
      const { page, context } = await watchedPage(app, phone);
      await storeRecord(page);
      await goTo(page, "#/shop");
      await page.getByLabel("Address").fill(own.url);
      await page.getByLabel("User name").fill(login.user);
      await page.getByLabel("Password").fill(login.password);
      await pressConnect(page);
      await replicated(page, "");
      const objects = join(own.folder, "objects");
      const [lost, cut, spoilt] = filesIn(objects);
      expect(filesIn(objects).length).toBe(13);

      // A run that the app begins by itself moves no button away from under a finger.
      const placeOfRepair = () =>
        page
          .getByRole("button", { name: "Check and repair" })
          .evaluate((button) => button.getBoundingClientRect().top + window.scrollY);
      const still = await placeOfRepair();
      await context.route("**/index/**", async (route) => {
        await new Promise((resolve) => setTimeout(resolve, 300));
        await route.continue();
      });
      await page.getByRole("button", { name: "Replicate now" }).click();
      await page.getByTestId("replicating").waitFor();
      expect(await placeOfRepair()).toBe(still);
      await page.getByTestId("replicating").waitFor({ state: "detached" });
      await context.unroute("**/index/**");

      expect(await repair(page, "Check and repair")).toContain("13 objects of this phone are in");
      rmSync(lost);
      truncateSync(cut, 40);
      expect(await repair(page, "Check and repair")).toContain("2 were missing or damaged");
      expect(filesIn(objects).length).toBe(13);
      // The same length and other bytes: only reading back finds it.
      const bytes = readFileSync(spoilt);
      bytes[bytes.length - 1] ^= 1;
      writeFileSync(spoilt, bytes);
      expect(await repair(page, "Check and repair")).toContain("13 objects of this phone are in");
      expect(await repair(page, "Read all back and repair")).toContain("1 was missing or damaged");

      await page.getByRole("button", { name: "Change the key" }).click();
      await page.getByRole("dialog").getByRole("button", { name: "Change the key" }).click();
      await page.getByText("The key was changed").waitFor();
      expect(filesIn(join(own.folder, "keys")).length).toBe(2);
      await replicateNow(page);
      expect(await page.getByTestId("ended").count()).toBe(0);

      // Deleted on this phone: the store still has it until it is deleted for good.
      await page.evaluate(async (sha256) => {
        const db = await new Promise<IDBDatabase>((resolve) => {
          const request = indexedDB.open("plumbshot");
          request.onsuccess = () => resolve(request.result);
        });
        const transaction = db.transaction(["revisions", "revisionEntries"], "readwrite");
        transaction.objectStore("revisions").delete(sha256);
        transaction.objectStore("revisionEntries").delete(sha256);
        await new Promise((resolve) => {
          transaction.oncomplete = resolve;
        });
        db.close();
      }, sealed.sha256);
      await goTo(page, "#/");
      await goTo(page, "#/shop");
      await page.getByTestId("deleted-here").waitFor();
      await page.getByRole("button", { name: "Delete for good on all devices" }).click();
      await page
        .getByRole("dialog")
        .getByRole("button", { name: "Delete for good on all devices" })
        .click();
      await expect.poll(() => filesIn(objects).length, { timeout: 60_000 }).toBeLessThanOrEqual(1);
      await context.close();
    } finally {
      served.store = before;
      await own.stop();
    }
  });

  it("says what is wrong with an address, a password, a code and a store that is not allowed", async () => {
    const { page, context } = await watchedPage(app, phone);
    await goTo(page, "#/shop");
    if (process.env.SHOTS) {
      await page.screenshot({ path: join(process.env.SHOTS, "shop-first.png"), fullPage: true });
    }
    await page.getByTestId("code").fill("PLUMBSHOT:half of a code");
    await page.getByRole("button", { name: "Join", exact: true }).click();
    await page.getByText("This is no code of a shop's store").waitFor();
    await page.getByLabel("Address").fill("https://elsewhere.example/dav/");
    await pressConnect(page);
    await page.getByText("npm start -- --store https://elsewhere.example").waitFor();
    await page.getByLabel("Address").fill("elsewhere");
    await pressConnect(page);
    await page.getByText("must begin with https://").waitFor();
    await page.getByLabel("Address").fill(apache.url);
    await page.getByLabel("User name").fill(login.user);
    await page.getByLabel("Password").fill("wrong");
    await pressConnect(page);
    await page.getByText(/does not accept the user name|gives no answer/).waitFor();
    // The store has a key by now: a new one does not open it.
    await page.getByLabel("Password").fill(login.password);
    await pressConnect(page);
    await page.getByText("is not that of this shop's store").waitFor();
    await context.close();
  });
});

/** A second tap so soon after the first is ignored: a finger takes its time. */
async function pressConnect(page: Page): Promise<void> {
  await page.waitForTimeout(1000);
  await page.getByRole("button", { name: "Connect", exact: true }).click();
}

async function addPhotoTo(page: Page, jobId: string): Promise<void> {
  await page.evaluate(async (id) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const transaction = db.transaction(["photos", "photoBytes"], "readwrite");
    const photo = {
      id: "second-phones-photo",
      jobId: id,
      name: "from the second phone.jpg",
      purpose: "boards",
      position: 1,
      setup: 1,
      epoch: "before",
      about: "",
      addedAt: "2026-11-30T12:00:00.000Z",
      byteLength: 6,
      fingerprint: "f",
      thumb: null,
      removed: false,
    };
    transaction.objectStore("photos").put(photo, photo.id);
    transaction
      .objectStore("photoBytes")
      .put(new Blob([Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 1, 2)]), photo.id);
    await new Promise((resolve) => {
      transaction.oncomplete = resolve;
    });
    db.close();
  }, jobId);
}

const photosOf = (page: Page, jobId: string): Promise<string[]> =>
  page.evaluate(async (id) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const all = db.transaction("photos").objectStore("photos").index("jobId").getAll(id);
    await new Promise((resolve) => {
      all.onsuccess = resolve;
    });
    db.close();
    return all.result.map(({ name }: { name: string }) => name);
  }, jobId);

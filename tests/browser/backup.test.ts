/**
 * Moving to another phone through the screens: a key, a signed record, a backup of everything, another
 * browser that takes it in, verification against the public key, and deleting everything.
 */
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { choosePhotos, closeRecord, demoAtRecord, make } from "../tools/record-in-app.ts";
import { phone, startApp, watchedPage } from "./app-harness.ts";

let app: Awaited<ReturnType<typeof startApp>>;
const folder = mkdtempSync(join(tmpdir(), "plumbshot-backup-"));
const kept = (name: string, bytes: Buffer): string => {
  const file = join(folder, name);
  writeFileSync(file, bytes);
  return file;
};

beforeAll(async () => {
  app = await startApp("backup");
}, 120_000);
afterAll(() => app?.close());

test("a signed record goes to another phone and is known there by the first one's key", {
  timeout: 400_000,
}, async () => {
  // The file picker of a desktop would wait for a hand; phones have none.
  const noPicker = () => Reflect.deleteProperty(window, "showSaveFilePicker");
  const { page, errors, foreign, context } = await watchedPage(app, phone);
  await context.addInitScript(noPicker);
  await page.goto(`${app.url}#/settings`);
  await page.reload();
  await page.getByTestId("make-key").click();
  const fingerprint = /(?:[0-9a-f]{4} ){7}[0-9a-f]{4}/.exec(
    (await page.getByTestId("key").textContent()) ?? "",
  )?.[0];
  expect(fingerprint).toBeDefined();
  const publicKey = kept("key.json", (await make(page, "export-key")).bytes);

  await page.goto(app.url);
  await demoAtRecord(page);
  await closeRecord(page);
  const signature = page.getByTestId("signature").first();
  await signature.and(page.locator("[data-signed=true]")).waitFor();
  expect(await signature.textContent()).toContain(fingerprint);
  await choosePhotos(page, "record-archive", "none");
  const archive = kept("record.zip", (await make(page, "leaving-make")).bytes);

  await page.evaluate(() => {
    window.location.hash = "#/settings";
  });
  const made = await make(page, "backup-all");
  expect(made.name).toMatch(/^plumbshot-backup-.*\.zip$/);
  const backup = kept("backup.zip", made.bytes);
  expect(await page.getByTestId("backup-said").textContent()).toContain("1 job");
  expect(errors).toEqual([]);
  expect(foreign).toEqual([]);

  const other = await watchedPage(app, phone);
  await other.page.goto(`${app.url}#/settings`);
  // A backup that was touched changes nothing.
  const spoilt = readFileSync(backup);
  spoilt[Math.floor(spoilt.length / 2)] ^= 1;
  await other.page.getByTestId("restore-all").setInputFiles(kept("spoilt.zip", spoilt));
  const said = other.page.getByTestId("backup-said");
  await said.waitFor();
  expect(await said.textContent()).toContain("nothing was changed");
  await other.page.getByTestId("restore-all").setInputFiles(backup);
  await other.page.getByTestId("restore-plan").waitFor({ timeout: 60_000 });
  await other.page.locator("dialog .button-row button").last().click();
  await other.page.getByText("Everything was taken in.").waitFor({ timeout: 60_000 });
  await other.page.evaluate(() => {
    window.location.hash = "#/records";
  });
  const records = other.page.getByTestId("records").locator("li");
  await records.first().waitFor();
  expect(await records.count()).toBe(1);

  // The other phone knows the first one's signature by the key that was handed over.
  await other.page.getByTestId("verify-key").setInputFiles(publicKey);
  await other.page.getByTestId("wanted-key").waitFor();
  await other.page.getByTestId("verify-archive").setInputFiles(archive);
  const verified = other.page.getByTestId("verified");
  await verified.waitFor();
  expect(await verified.getAttribute("data-state")).toBe("intact");
  expect(await verified.textContent()).toContain(fingerprint);

  // The job opens there and measures the same photos.
  await records.first().locator("a").click();
  await other.page.getByTestId("revisions").waitFor({ timeout: 60_000 });

  await other.page.evaluate(() => {
    window.location.hash = "#/settings";
  });
  await other.page.getByTestId("wipe").click();
  await other.page.locator("dialog .button-row button").last().click();
  await other.page.getByTestId("demo").waitFor({ timeout: 60_000 });
  const left = await other.page.evaluate(async () => {
    const names = (await indexedDB.databases()).map(({ name }) => name);
    return new Promise<number>((resolve) => {
      const open = indexedDB.open(names[0] ?? "");
      open.onsuccess = () => {
        const stores = [...open.result.objectStoreNames];
        const counts = stores.map(
          (store) =>
            new Promise<number>((done) => {
              const count = open.result.transaction(store).objectStore(store).count();
              count.onsuccess = () => done(store === "settings" ? 0 : count.result);
            }),
        );
        resolve(Promise.all(counts).then((all) => all.reduce((a, b) => a + b, 0)));
      };
    });
  });
  expect(left).toBe(0);
  expect(other.errors).toEqual([]);
});

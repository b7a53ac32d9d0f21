/**
 * What a phone and a browser may do to a job: photos of 24 and 48 megapixels, HEIC, a device that
 * is full in the middle of a sentence, storage that is not promised, records of other versions.
 */

import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { inventedJob } from "../../src/app/fixtures/invented-job.ts";
import { withExif, writeTiff } from "../tools/exif-writer.ts";
import { encodeHeic, ensureHeifTools } from "../tools/heif-tools.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";
import {
  type AppUnderTest,
  goTo,
  phone,
  startApp,
  storedJobs,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;
const patience = 120_000;

beforeAll(async () => {
  app = await startApp("bad-input-test");
});

afterAll(async () => {
  await app?.close();
});

async function newJob(page: Page): Promise<string> {
  await page.getByTestId("new-job").click();
  await page.getByTestId("job-title").waitFor();
  return new URL(page.url()).hash.replace("/car", "");
}

/** A sample photo brought to another size by the browser, with EXIF that says so. */
async function enlarged(page: Page, path: string, width: number, height: number): Promise<Buffer> {
  const bytes = await page.evaluate(
    async ([encoded, w, h]) => {
      const source = Uint8Array.from(atob(encoded), (letter) => letter.charCodeAt(0));
      const bitmap = await createImageBitmap(new Blob([source]), { imageOrientation: "none" });
      const canvas = new OffscreenCanvas(w, h);
      const context = canvas.getContext("2d");
      if (!context) throw new Error("no canvas");
      context.imageSmoothingQuality = "high";
      context.drawImage(bitmap, 0, 0, w, h);
      const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 });
      const url = await new Promise<string>((resolve) => {
        const reader = new FileReader();
        reader.onload = () => resolve(reader.result as string);
        reader.readAsDataURL(blob);
      });
      return url.slice(url.indexOf(",") + 1);
    },
    [readFileSync(path).toString("base64"), width, height] as const,
  );
  // Make, model, orientation; focal length, real and 35 mm; size (CIPA DC-008).
  const tiff = writeTiff(
    { 271: "Invented", 272: "Bay Two", 274: 1 },
    { 37386: [56, 10], 40962: width, 40963: height, 41989: 26 },
    true,
  );
  return Buffer.from(withExif(Buffer.from(bytes, "base64"), tiff));
}

test("photos of 24 and 48 megapixels are examined like any other", async () => {
  const { page, errors, context } = await watchedPage(app, phone);
  const job = await newJob(page);
  await goTo(page, `${job}/photos`);
  const sample = "sample-images/demo-job/photos/bay-13.jpg";
  const sizes = [
    [5664, 4248],
    [8064, 6048],
  ] as const;
  const large = [];
  for (const [width, height] of sizes) {
    const name = `large-${width}.jpg`;
    const buffer = await enlarged(page, sample, width, height);
    large.push({ name, mimeType: "image/jpeg", buffer });
  }
  const files = [
    { name: "plain.jpg", mimeType: "image/jpeg", buffer: readFileSync(sample) },
    ...large,
  ];
  await page.getByTestId("add-board-photos").setInputFiles(files);
  const done = page.locator("[data-testid=photo][data-state=ok]");
  await expect.poll(() => done.count(), { timeout: patience }).toBe(3);
  const boards = async (name: string) =>
    Number.parseInt(
      (await done.filter({ hasText: name }).locator(".photo-tile-state").textContent()) ?? "",
      10,
    );
  const found = await boards("plain.jpg");
  expect(found).toBeGreaterThanOrEqual(5);
  for (const { name } of large) {
    expect([name, await boards(name)]).toEqual([name, found]);
    await expect.poll(() => done.filter({ hasText: name }).locator("img").count()).toBe(1);
  }
  // The photo itself is shown, with what was found in it.
  await done.filter({ hasText: "large-8064" }).click();
  await expect.poll(() => page.locator(".found-line").count()).toBe(found);
  expect(errors).toEqual([]);
  await context.close();
});

test("HEIC is examined and shown like a JPEG; one that breaks off says what to do", async () => {
  ensureHeifTools();
  const { page, errors, context } = await watchedPage(app, phone);
  const job = await newJob(page);
  await goTo(page, `${job}/photos`);
  const sample = new Uint8Array(readFileSync("sample-images/demo-job/photos/bay-13.jpg"));
  const heic = Buffer.from(encodeHeic([sample], ["-q", "90"]));
  const mimeType = "image/heic";
  await page.getByTestId("add-board-photos").setInputFiles([
    { name: "bay-13.jpg", mimeType: "image/jpeg", buffer: Buffer.from(sample) },
    { name: "IMG_7.HEIC", mimeType, buffer: heic },
    { name: "IMG_8.HEIC", mimeType, buffer: heic.subarray(0, heic.length >> 1) },
  ]);
  const done = page.locator("[data-testid=photo][data-state=ok]");
  await expect.poll(() => done.count(), { timeout: patience }).toBe(2);
  const boards = await done.locator(".photo-tile-state").allTextContents();
  expect(Number.parseInt(boards[0], 10)).toBeGreaterThanOrEqual(5);
  expect(boards[1]).toBe(boards[0]);
  const failed = page.locator("[data-testid=photo][data-state=failed]");
  await failed.waitFor({ timeout: patience });
  await expect.poll(() => done.locator("img").count(), { timeout: patience }).toBe(2);
  await failed.click();
  expect(await page.getByText("damaged or ends early").count()).toBeGreaterThan(0);
  await goTo(page, `${job}/photos`);
  await done.filter({ hasText: "IMG_7" }).click();
  await page.locator(".photo-svg image").waitFor({ timeout: patience });
  expect(errors).toEqual([]);
  await context.close();
});

/** Every write of the stores named fails as on a full device, while `full` is set. */
const fullDevice = (stores: string[]) => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (...given) {
    const { full } = globalThis as { full?: boolean };
    if (full && stores.includes(this.name)) {
      throw new DOMException("The device is full.", "QuotaExceededError");
    }
    return put.apply(this, given);
  };
};

test("a device that is full while typing says so; afterwards the entry is saved", async () => {
  const { page, errors, context } = await watchedPage(app, phone);
  await page.addInitScript(fullDevice, ["jobs"]);
  await page.reload();
  await newJob(page);
  await page.evaluate(() => Object.assign(globalThis, { full: true }));
  await page.getByTestId("car-description").fill("Invented estate");
  await page.getByText("This device has no room left").waitFor();
  await page.evaluate(() => Object.assign(globalThis, { full: false }));
  await page.getByRole("button", { name: "Try again" }).click();
  await page.getByText("This device has no room left").waitFor({ state: "detached" });
  await page.reload();
  await page.getByTestId("car-description").waitFor();
  expect(await page.getByTestId("car-description").inputValue()).toBe("Invented estate");
  expect(errors).toEqual([]);
  await context.close();
});

test("a device that is full while photos come in keeps what it has and names the rest", async () => {
  const { page, context } = await watchedPage(app, phone);
  await page.addInitScript(fullDevice, ["photoBytes"]);
  await page.reload();
  const job = await newJob(page);
  await goTo(page, `${job}/photos`);
  const photo = (at: number) => ({
    name: `IMG_${at}.jpg`,
    mimeType: "image/jpeg",
    buffer: Buffer.from(
      writeFlatJpeg(64, 48, (column, row) => (column * 3 + row * 5 + 40 * at) % 256),
    ),
  });
  const tiles = page.getByTestId("photo");
  const add = (...which: number[]) =>
    page.getByTestId("add-board-photos").setInputFiles(which.map(photo));
  await add(1);
  await expect.poll(() => tiles.count()).toBe(1);
  await page.evaluate(() => Object.assign(globalThis, { full: true }));
  await add(2, 3);
  await page.getByText("This device has no room left").waitFor();
  await page.getByText("IMG_2.jpg was not stored. Add it again.").waitFor();
  await page.getByText("IMG_3.jpg was not stored. Add it again.").waitFor();
  expect(await tiles.count()).toBe(1);
  await page.evaluate(() => Object.assign(globalThis, { full: false }));
  await page.getByRole("button", { name: "Try again" }).click();
  await page.getByText("This device has no room left").waitFor({ state: "detached" });
  await add(2, 3);
  await expect.poll(() => tiles.count()).toBe(3);
  await page.reload();
  await expect.poll(() => tiles.count()).toBe(3);
  await context.close();
});

test("a device that is nearly full, and a browser that promises nothing, are told in words", async () => {
  const { page, errors, context } = await watchedPage(app, phone);
  await page.addInitScript(() => {
    navigator.storage.estimate = async () => ({ usage: 990e6, quota: 1000e6 });
    navigator.storage.persist = async () => false;
    navigator.storage.persisted = async () => false;
  });
  await page.reload();
  await page.getByText("This device has only 10 MB left for photos.").waitFor();
  await goTo(page, "#/settings");
  await page.getByRole("button", { name: "Ask the browser to keep them" }).click();
  await page.getByText("The browser did not promise it.").waitFor();
  expect(errors).toEqual([]);
  await context.close();
});

test("a record of the first layout opens as it was; one of a newer program is kept and named", async () => {
  const { page, errors, context } = await watchedPage(app, phone);
  const present = inventedJob();
  const { backedUpAt: _at, revision: _revision, ...first } = structuredClone(present);
  const { positionKind: _kind, setups: _setups, ...photos } = first.photos;
  const { readings: _readings, ...placement } = first.placement;
  const old = { ...first, version: 1, title: "An old job", photos, placement };
  await storeJob(page, old, null);
  await storeJob(page, { ...present, id: "of-tomorrow", version: 99 } as { id: string }, null);
  await page.reload();
  await page.getByText("One stored job cannot be read: a newer version wrote it").waitFor();
  await page.locator(".job-line a", { hasText: "An old job" }).click();
  await page.locator("h1", { hasText: "An old job" }).waitFor();
  await goTo(page, `#/job/${old.id}/car`);
  expect(await page.getByTestId("car-description").inputValue()).toBe(present.car.description);
  await page.getByTestId("car-description").fill("Looked at again");
  await page.reload();
  await page.getByTestId("car-description").waitFor();
  expect(await page.getByTestId("car-description").inputValue()).toBe("Looked at again");
  const jobs = await storedJobs<{ version: number }>(page);
  const stored = jobs.map((job) => job.version).sort();
  expect(stored).toEqual([2, 99]);
  expect(errors).toEqual([]);
  await context.close();
});

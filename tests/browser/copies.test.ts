/**
 * Copies of photos for somebody else, from the record stage of a phone: every photo is shown first, a
 * touched place is covered, the copies carry no EXIF, and the job keeps its photos as they were.
 */
import { readFileSync } from "node:fs";
import { unzipSync } from "fflate";
import { afterAll, beforeAll, expect, test } from "vitest";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import {
  type AppUnderTest,
  goTo,
  phone,
  settled,
  startApp,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;
const job = inventedJob();
const patience = 240_000;
const photo = "sample-images/demo-job/photos/bay-01.jpg";

beforeAll(async () => {
  app = await startApp("copies-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

test(
  "copies are looked at, covered by a touch, saved without EXIF; the job's photo stays",
  async () => {
    const { page, context, errors, foreign } = await watchedPage(app, phone);
    await storeJob(page, job, inventedResult);
    await page.reload();
    await page.locator(".job-line").waitFor();
    await goTo(page, `#/job/${job.id}/record`);
    await settled(page);
    // Nothing to copy: the way is there, and closed.
    expect(await page.getByTestId("copies-begin").getAttribute("aria-disabled")).toBe("true");
    await goTo(page, `#/job/${job.id}/photos`);
    const [chooser] = await Promise.all([
      page.waitForEvent("filechooser"),
      page.getByRole("button", { name: "Choose photos" }).tap(),
    ]);
    await chooser.setFiles(photo);
    await page
      .getByTestId("photo")
      .first()
      .waitFor({ timeout: patience / 2 });
    await page.getByTestId("work").waitFor({ state: "detached", timeout: patience / 2 });
    await goTo(page, `#/job/${job.id}/record`);
    await page.getByTestId("copies-begin").tap();
    const shown = page.getByTestId("copies").locator("li");
    await shown.first().waitFor({ timeout: patience / 2 });
    expect(await shown.count()).toBe(1);
    const before = Number(await shown.first().getAttribute("data-faces"));
    const picture = shown.first().locator(".copy-photo");
    await picture.scrollIntoViewIfNeeded();
    const box = (await picture.boundingBox())!;
    expect(box.width).toBeGreaterThan(200);
    await page.mouse.click(box.x + 0.455 * box.width, box.y + 0.118 * box.height);
    await expect
      .poll(async () => Number(await shown.first().getAttribute("data-faces")))
      .toBe(before + 1);
    const [download] = await Promise.all([
      page.waitForEvent("download", { timeout: patience / 2 }),
      page.getByTestId("save-copies").tap(),
    ]);
    const files = unzipSync(readFileSync(await download.path()));
    expect(Object.keys(files)).toEqual(["bay-01.jpg"]);
    const [copy] = Object.values(files);
    expect(Buffer.from(copy).includes("Exif")).toBe(false);
    expect(decodePhoto(copy, "bay-01.jpg").ok).toBe(true);
    const stored = await page.evaluate(async () => {
      const db = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
      });
      const all = db.transaction("photos").objectStore("photos").getAll();
      await new Promise((resolve) => {
        all.onsuccess = resolve;
      });
      db.close();
      return (all.result as { byteLength: number }[]).map(({ byteLength }) => byteLength);
    });
    expect(stored).toEqual([readFileSync(photo).byteLength]);
    // The face detector tells on the console that it has started.
    const failed = errors.filter((line) => !line.startsWith("INFO:"));
    expect([failed, foreign]).toEqual([[], []]);
    await context.close();
  },
  patience,
);

/** The bay stage before the first photo, on a phone: the plan from rough dimensions. */

import { readFileSync } from "node:fs";
import { strToU8, zipSync } from "fflate";
import { afterAll, beforeAll, expect, test } from "vitest";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { recordWithJobFile } from "../../src/app/state/job-file.ts";
import {
  type AppUnderTest,
  goTo,
  overflow,
  phone,
  startApp,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

const patience = 300_000;
const read = (name: string) => JSON.parse(readFileSync(`sample-images/demo-job/${name}`, "utf8"));

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp("photo-plan-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

test(
  "numbered places on the drawing and the same photos in words",
  async () => {
    const { page, errors, context } = await watchedPage(app, phone);
    const raw = { ...read("job.json"), placement: read("placement.json") };
    const job = { ...recordWithJobFile(inventedJob(), raw), id: "planned" };
    await storeJob(page, job, inventedResult);
    await goTo(page, "#/job/planned/photos");
    await page.getByTestId("plan-drawing").waitFor({ timeout: patience });
    const places = await page.getByTestId("plan-place").count();
    expect(places).toBeGreaterThanOrEqual(3);
    const lines = page.getByTestId("plan-shots").locator("li");
    expect(await lines.count()).toBe(places);
    expect(await lines.first().textContent()).toMatch(/wheel|stand/);
    expect(await page.getByTestId("plan-checks").locator("tbody tr").count()).toBeGreaterThan(2);
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    if (process.env.PLAN_PICTURE) {
      await page.getByTestId("photo-plan").screenshot({ path: process.env.PLAN_PICTURE });
    }
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "a plan that cannot be worked out says so, and is worked out on request",
  async () => {
    const { page, context } = await watchedPage(app, phone);
    const raw = { ...read("job.json"), placement: read("placement.json") };
    await storeJob(
      page,
      { ...recordWithJobFile(inventedJob(), raw), id: "failing" },
      inventedResult,
    );
    await page.route(/solver-worker/, (route) => route.abort());
    await goTo(page, "#/job/failing/photos");
    const told = page.getByTestId("plan-failed");
    await told.waitFor({ timeout: patience });
    expect(await told.textContent()).toContain("could not be worked out");
    expect(await page.getByTestId("photo-plan").textContent()).not.toContain("Working out");
    await page.unroute(/solver-worker/);
    await told.getByRole("button", { name: "Try again" }).click();
    await page.getByTestId("plan-drawing").waitFor({ timeout: patience });
    expect(await told.count()).toBe(0);
    await context.close();
  },
  patience,
);

test(
  "after some photos: boards seen, what is known now, and the one photo that brings most",
  async () => {
    const { page, errors, context } = await watchedPage(app, phone);
    const photos = ["bay-01.jpg", "bay-03.jpg", "bay-09.jpg", "bay-13.jpg"];
    const job = { ...read("job.json"), placement: read("placement.json") };
    const zip = zipSync({
      "job.json": strToU8(JSON.stringify(job)),
      ...Object.fromEntries(
        photos.map((name) => [
          `photos/${name}`,
          new Uint8Array(readFileSync(`sample-images/demo-job/photos/${name}`)),
        ]),
      ),
    });
    const file = { name: "job.zip", mimeType: "application/zip", buffer: Buffer.from(zip) };
    await page.getByTestId("import-job").setInputFiles(file);
    await page.locator(".job-line a").first().click();
    await page.getByTestId("stage-photos").last().click();
    await page.getByTestId("plan-seen").waitFor({ timeout: patience });
    await page.getByTestId("plan-next").waitFor({ timeout: patience });
    expect(await page.getByTestId("plan-next").textContent()).toMatch(/Next photo.*(wheel|stand)/s);
    expect(await page.getByTestId("plan-seen").textContent()).toMatch(/seen/);
    // Small pictures are upright: the second photo is turned by its EXIF alone.
    const sizes = () =>
      page
        .locator(".photo-tile img")
        .evaluateAll((all) =>
          (all as HTMLImageElement[]).map((i) => [i.naturalWidth, i.naturalHeight]),
        );
    const lying = [400, 300];
    const wanted = [lying, [300, 400], lying, lying];
    await expect.poll(sizes, { timeout: patience }).toEqual(wanted);
    if (process.env.PLAN_PICTURE) {
      await page.screenshot({ path: process.env.PLAN_PICTURE, fullPage: true });
    }
    expect(await overflow(page)).toBeLessThanOrEqual(0);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

/** The bay stage before the first photo, on a phone: the plan from rough dimensions. */

import { readFileSync } from "node:fs";
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

/** Slips that were found by using the app on a phone, each mended: what only a browser can show. */
import { afterAll, beforeAll, expect, test } from "vitest";
import { inventedResult } from "../../src/app/fixtures/invented-job.ts";
import type { JobRecord } from "../../src/app/store/database/schema.ts";
import {
  type AppUnderTest,
  desktop,
  goTo,
  jobWithDemoSheet,
  phone,
  settled,
  startApp,
  storedJobs,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;
const job = jobWithDemoSheet();
const patience = 120_000;

beforeAll(async () => {
  app = await startApp("found-on-the-way-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

async function openWithJob(options = phone, stored = job) {
  const watched = await watchedPage(app, options);
  await storeJob(watched.page, stored, inventedResult);
  await watched.page.reload();
  await watched.page.locator(".job-line").waitFor();
  return watched;
}

test(
  "a number that may be negative has a key for its sign, since some keypads have none",
  async () => {
    const { page, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/placement`);
    await settled(page);
    await page.getByRole("button", { name: "Add a reading" }).tap();
    const field = page.getByLabel("Reading", { exact: true }).first();
    await field.fill("12.5");
    await page
      .getByRole("button", { name: /^Other sign/ })
      .first()
      .tap();
    expect(await field.inputValue()).toBe("-12.5");
    await context.close();
  },
  patience,
);

test(
  "larger keeps the target in sight, not a corner of the paper",
  async () => {
    const { page, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/placement`);
    await settled(page);
    const larger = page.getByRole("button", { name: "Larger" }).first();
    for (let times = 0; times < 4; times++) {
      await larger.tap();
      await page.waitForTimeout(350);
    }
    const seen = await page
      .locator(".bay-scroll")
      .first()
      .evaluate((region) => {
        const frame = region.getBoundingClientRect();
        const target = region.querySelector(".required-target")?.getBoundingClientRect();
        if (!target) return "no target drawn";
        const x = (target.left + target.right) / 2;
        const y = (target.top + target.bottom) / 2;
        return x > frame.left && x < frame.right && y > frame.top && y < frame.bottom
          ? "in sight"
          : `target at ${x - frame.left}, ${y - frame.top} of ${frame.width} x ${frame.height}`;
      });
    expect(seen).toBe("in sight");
    await context.close();
  },
  patience,
);

test(
  "a phone that photographs the sheet is not asked to show it; a desk screen is",
  async () => {
    for (const [options, shown] of [
      [phone, false],
      [desktop, true],
    ] as const) {
      const { page, context } = await openWithJob(options);
      await goTo(page, `#/job/${job.id}/camera`);
      await settled(page);
      const link = page.getByRole("link", { name: "Show the sheet on this screen" });
      expect(await link.isVisible()).toBe(shown);
      await context.close();
    }
  },
  patience,
);

test(
  "some boards of another print: named, given boards and bars by touch, kept for the shop",
  async () => {
    // An invented job is nobody's last one: its prints are not taken over.
    const { page, context, errors } = await openWithJob(phone, { ...job, invented: false });
    await goTo(page, `#/job/${job.id}/boards`);
    await settled(page);
    await page.getByTestId("add-print-set").tap();
    const set = page.getByTestId("print-set");
    await set.getByText("Say which boards were printed together.", { exact: false }).waitFor();
    await set.getByRole("button", { name: /^Wheel plate 1–4/ }).tap();
    await set.getByText("4 boards: 1–4").waitFor();
    await set.getByTestId("set-across").fill("188.2");
    await set.getByTestId("set-up").fill("267.4");
    await set.getByText("Printed at 99", { exact: false }).waitFor();
    await set.getByText("Name this print and keep it").tap();
    await set.getByTestId("print-set-name").fill("office printer, March");
    await set.getByRole("button", { name: "Keep it for the next jobs" }).tap();
    await set.getByRole("button", { name: "Kept" }).waitFor();
    const stored = async () =>
      (await storedJobs<JobRecord>(page)).find(({ id }) => id === job.id)?.boards.sets[0];
    await expect.poll(async () => (await stored())?.name).toBe("office printer, March");
    expect(await stored()).toMatchObject({
      ids: [1, 2, 3, 4],
      barHorizontal: { readingMm: 188.2 },
      barVertical: { readingMm: 267.4 },
    });
    // A later job finds it among the prints of the shop, and the last job's prints with it.
    await goTo(page, "#/");
    await page.getByTestId("new-job").tap();
    await page.getByTestId("job-title").waitFor();
    const place = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    await goTo(page, `${place}/boards`);
    await settled(page);
    await page.getByRole("button", { name: "office printer, March" }).waitFor();
    await page.getByTestId("taken-prints").waitFor();
    expect(await page.getByTestId("print-set").count()).toBe(1);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

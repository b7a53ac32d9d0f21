/**
 * The demo job in a real Chromium, phone size: the same verdicts as the command line, values within
 * a tenth of their stated uncertainty; a reload in the middle; offline; saved as a file and opened
 * again. Every request and every error of the walks is written down.
 */
import { readdirSync, readFileSync } from "node:fs";
import { zipSync } from "fflate";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { Result } from "../../src/job/result/result.ts";
import {
  type AppUnderTest,
  goTo,
  phone,
  shownChecks,
  startApp,
  type WatchedPage,
  watchedPage,
} from "./app-harness.ts";
import { commandLineResult, expectSameNumbers, settledChecks } from "./same-numbers.ts";

const folder = "sample-images/demo-job";
const photoCount = (part: string): number =>
  readdirSync(`${folder}/${part}`).filter((name) => name.endsWith(".jpg")).length;
const sheetPhotos = photoCount("camera");
const boardPhotos = photoCount("photos");
const patience = 300_000;

let app: AppUnderTest;
let expected: Result;

beforeAll(async () => {
  app = await startApp("app-test");
  expected = await commandLineResult(folder);
}, patience);

afterAll(async () => {
  await app?.close();
});

async function openDemo(): Promise<WatchedPage> {
  const watched = await watchedPage(app, phone);
  await watched.page.getByTestId("demo").click();
  await watched.page.getByTestId("work").waitFor({ timeout: patience });
  return watched;
}

async function outcome(page: Page): Promise<string | null> {
  await page.getByTestId("outcome").first().waitFor({ timeout: patience });
  return page.getByTestId("outcome").first().getAttribute("data-outcome");
}

const jobHash = (page: Page): string => new URL(page.url()).hash.split("/").slice(0, 3).join("/");

test(
  "one tap runs the demo job to the numbers of the command line",
  async () => {
    const { page, errors, foreign, context } = await openDemo();
    expect(await outcome(page)).toBe(expected.outcome);
    expectSameNumbers(await shownChecks(page), expected);
    expect(await page.getByTestId("move").count()).toBe(expected.moves.length);
    await goTo(page, `${jobHash(page)}/photos`);
    const examined = page.locator("[data-testid=photo][data-state=ok]");
    await expect.poll(() => examined.count()).toBe(boardPhotos);
    await page.getByTestId("photo").first().click();
    await page.locator(".found-line").first().waitFor();
    await goTo(page, `${jobHash(page)}/record`);
    await page.getByTestId("printed-record").waitFor();
    const pdf = await page.pdf({ format: "A4" });
    expect(pdf.length).toBeGreaterThan(20_000);
    expect(errors).toEqual([]);
    expect(foreign).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "a reload in the middle goes on with the rest and ends in the same numbers",
  async () => {
    const { page, errors, context } = await openDemo();
    await goTo(page, `${jobHash(page)}/camera`);
    const done = page.locator("[data-testid=photo][data-state=ok]");
    await expect.poll(() => done.count(), { timeout: patience }).toBeGreaterThan(2);
    const before = await done.count();
    await page.reload();
    await page.getByTestId("photo").first().waitFor();
    expect(await page.getByTestId("photo").count()).toBe(sheetPhotos);
    expect(await done.count()).toBeGreaterThanOrEqual(before);
    await goTo(page, `${jobHash(page)}/placement`);
    expect(await outcome(page)).toBe(expected.outcome);
    expectSameNumbers(await shownChecks(page), expected);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "offline after the first visit: start, photos from files, verdict; saved and opened again",
  async () => {
    const { page, errors, foreign, context } = await watchedPage(app, phone);
    await goTo(page, "#/settings");
    await page.locator("[data-testid=offline][data-state='all ready']").waitFor({
      timeout: patience,
    });
    await context.setOffline(true);
    await page.goto(app.url);
    await page.getByTestId("new-job").click();
    await page.getByTestId("job-title").waitFor();
    const statements = zipSync({
      "job.json": readFileSync(`${folder}/job.json`),
      "placement.json": readFileSync(`${folder}/placement.json`),
    });
    await goTo(page, "#/");
    await page.getByTestId("import-job").setInputFiles({
      name: "invented.zip",
      mimeType: "application/zip",
      buffer: Buffer.from(statements),
    });
    await page.locator(".job-line a", { hasText: "Demonstration" }).click();
    await page.locator("h1").waitFor();
    const files = (part: string) =>
      readdirSync(`${folder}/${part}`)
        .filter((name) => name.endsWith(".jpg"))
        .map((name) => `${folder}/${part}/${name}`);
    await goTo(page, `${jobHash(page)}/camera`);
    await page.getByTestId("add-sheet-photos").setInputFiles(files("camera"));
    await expect
      .poll(() => page.getByTestId("photo").count(), { timeout: patience })
      .toBe(sheetPhotos);
    await goTo(page, `${jobHash(page)}/photos`);
    await page.getByTestId("add-board-photos").setInputFiles(files("photos"));
    await goTo(page, `${jobHash(page)}/placement`);
    expect(await outcome(page)).toBe(expected.outcome);
    // Photos arrive one by one, so a first result may come before the last photo.
    expectSameNumbers(await settledChecks(page, patience), expected);

    await goTo(page, `${jobHash(page)}/record`);
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByTestId("export-job").click(),
    ]);
    const path = await download.path();
    await goTo(page, "#/");
    await page.getByTestId("import-job").setInputFiles(path);
    await expect.poll(() => page.locator(".job-line").count(), { timeout: patience }).toBe(3);
    await page.locator(".job-line a", { hasText: "Demonstration" }).first().click();
    await goTo(page, `${jobHash(page)}/placement`);
    expect(await outcome(page)).toBe(expected.outcome);
    expectSameNumbers(await settledChecks(page, patience), expected);
    expect(errors).toEqual([]);
    expect(foreign).toEqual([]);
    await context.close();
  },
  2 * patience,
);

test(
  "the camera sheet on the screen is the sheet that the tool finds",
  async () => {
    const { page, errors, context } = await watchedPage(app, phone);
    await page.getByTestId("new-job").click();
    await page.getByTestId("job-title").waitFor();
    const job = jobHash(page);
    for (const viewport of [
      { width: 1600, height: 1100 },
      { width: 1100, height: 1600 },
    ]) {
      await page.setViewportSize(viewport);
      await goTo(page, "#/sheet");
      await page.getByTestId("screen-sheet").waitFor();
      const buffer = await page.screenshot();
      await goTo(page, `${job}/camera`);
      const name = `screen-${viewport.width}.png`;
      const file = { name, mimeType: "image/png", buffer };
      await page.getByTestId("add-sheet-photos").setInputFiles(file);
      await page
        .locator("[data-testid=photo][data-state=ok]", { hasText: name })
        .getByText("sheet found")
        .waitFor({ timeout: patience });
    }
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

/** Closes the demo's record in the app and takes its papers out, for the bench and the browser test. */
import { readFileSync } from "node:fs";
import type { Download, Page } from "playwright-core";

const patience = 180_000;

/** Opens the demo, waits for its verdict and goes to the record. */
export async function demoAtRecord(page: Page): Promise<void> {
  await page.getByTestId("demo").click();
  await page.getByTestId("outcome").waitFor({ timeout: patience });
  await page.evaluate(() => {
    window.location.hash = window.location.hash.replace(/placement.*$/, "record");
  });
  await page.getByTestId("close-record").waitFor();
}

/** Closes the record as it is, open points confirmed. */
export async function closeRecord(page: Page): Promise<void> {
  await page.getByTestId("close-record").click();
  await page.getByTestId("open-points").waitFor({ timeout: patience });
  await page.locator("dialog .button-row button").last().click();
  await page.getByTestId("revisions").waitFor({ timeout: patience });
}

export interface Made {
  readonly bytes: Buffer;
  readonly name: string;
  readonly seconds: number;
}

/**
 * Opens the question about the photos of a file and answers it, so that one more press makes the file
 * (`leaving-make`). "covered": looks at the photos first where nobody has; seconds that this took.
 */
export async function choosePhotos(
  page: Page,
  testId: "revision-pdf" | "record-archive",
  way: "covered" | "boards only" | "none" | "originals",
): Promise<number> {
  await page.getByTestId(testId).first().click();
  const leaving = page.getByTestId("leaving");
  await leaving.locator("input[type=radio]").first().waitFor();
  const places = ["covered", "boards only", "none", "originals"];
  await leaving.locator(".choice-item").nth(places.indexOf(way)).click();
  const begin = performance.now();
  if (way === "covered" && (await page.getByTestId("leaving-make").isDisabled())) {
    await page.getByTestId("leaving-look").click();
    await leaving.getByTestId("copies").waitFor({ timeout: patience });
  }
  return (performance.now() - begin) / 1000;
}

/** Presses a button that makes a file; seconds until the file is there. */
export async function make(page: Page, testId: string): Promise<Made> {
  const begin = performance.now();
  const [download] = (await Promise.all([
    page.waitForEvent("download", { timeout: patience }),
    page.getByTestId(testId).first().click(),
  ])) as [Download, undefined];
  const path = await download.path();
  const seconds = (performance.now() - begin) / 1000;
  return { bytes: readFileSync(path), name: download.suggestedFilename(), seconds };
}

/**
 * The demo job in inches, decimal and by sixteenths, in English and Spanish: no text on any screen nor
 * on the printed record says mm, and in no unit does an uncertainty read as nothing.
 */
import { mkdirSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { stages } from "../../src/app/context/routes.ts";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";

const patience = 300_000;
let app: AppUnderTest;
let page: Page;
let job: string;
let errors: readonly string[];
beforeAll(async () => {
  app = await startApp("inches-test");
  ({ page, errors } = await watchedPage(app, phone));
  await page.getByTestId("demo").click();
  await page.getByTestId("outcome").first().waitFor({ timeout: patience });
  await page.getByTestId("work").waitFor({ state: "detached", timeout: patience });
  job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
}, patience);
afterAll(async () => {
  await app?.close();
});

/** A number of millimetres; "mm/m" is a slope. */
const millimetres = /\d\s*mm\b(?!\/m)/;
/** An uncertainty that reads as nothing. */
const nothing = /±\s*0(?:[.,]0*)?\s*(?:mm|in|°|px)/;

async function choose(length: string, language: string): Promise<void> {
  await goTo(page, "#/settings");
  await page.locator(`input[value=${length}]`).check({ force: true });
  await page.locator(`input[value=${language}]`).check({ force: true });
  await expect.poll(() => page.evaluate(() => document.documentElement.lang)).toBe(language);
}

/** Every text of the page, folded parts and drawings included. */
async function wordsAt(place: string): Promise<string[]> {
  await goTo(page, place);
  await page
    .locator("details:not([open])")
    .evaluateAll((folds) => folds.map((fold) => fold.setAttribute("open", "")));
  // What is drawn late stands by then.
  await page.waitForTimeout(300);
  const texts = await page
    .locator("main :is(p, li, td, th, dd, h3, legend, label, text)")
    .allTextContents();
  return texts.map((text) => text.replace(/\s+/g, " ").trim()).filter((text) => text !== "");
}

/** All stages, teaching, and the move shown large. */
const places = (): string[] => [
  job,
  ...stages.map((stage) => `${job}/${stage}`),
  `${job}/placement/moves`,
  `${job}/sheet/teach`,
];

const pictures = process.env.PLUMBSHOT_PICTURES;

async function walk(length: string, language: string): Promise<string[]> {
  await choose(length, language);
  const shown: string[] = [];
  for (const place of places()) {
    const words = await wordsAt(place);
    shown.push(...words.map((text) => `${place.replace(job, "")}: ${text}`));
    if (pictures) {
      mkdirSync(pictures, { recursive: true });
      const name = `${length}-${language}${place.replace(job, "-job").replaceAll("/", "-")}`;
      await page.screenshot({ path: `${pictures}/${name}.png`, fullPage: true });
    }
  }
  return shown;
}

test.each([
  ["mm", "en"],
  ["inch", "en"],
  ["inch16", "en"],
  ["inch", "es"],
  ["inch16", "es"],
])(
  "lengths in %s, language %s",
  async (length, language) => {
    const shown = await walk(length, language);
    expect(shown.filter((text) => nothing.test(text))).toEqual([]);
    expect(shown.filter((text) => text.includes("±")).length).toBeGreaterThan(30);
    if (length === "mm") {
      return;
    }
    expect(shown.filter((text) => millimetres.test(text))).toEqual([]);
    expect(shown.filter((text) => /\d in\b/.test(text)).length).toBeGreaterThan(50);
    const fractions = shown.filter((text) => /\d\/\d+ in\b/.test(text));
    if (length === "inch16") {
      // What a hand sets; what is measured keeps its decimals.
      expect(fractions.length).toBeGreaterThan(5);
      expect(shown.filter((text) => /± \d+(?: \d+)?\/\d+ in/.test(text))).toEqual([]);
    } else {
      expect(fractions).toEqual([]);
    }
    expect(errors).toEqual([]);
  },
  patience,
);

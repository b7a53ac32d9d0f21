/** The demo job in inches: no text on any screen says mm. */
import { mkdirSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { stages } from "../../src/app/routes.ts";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";

const patience = 300_000;
let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp("inches-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

/** A number of millimetres; "mm/m" is a slope. */
const millimetres = /\d\s*mm\b(?!\/m)/;
const wordsOn = async (page: Page): Promise<string[]> => {
  await page.locator("main").first().waitFor();
  await page
    .locator("details:not([open])")
    .evaluateAll((folds) => folds.map((fold) => fold.setAttribute("open", "")));
  const texts = await page
    .locator("main p, main li, main td, main text, main h3, main dd")
    .allTextContents();
  return texts.map((text) => text.trim()).filter((text) => text !== "");
};

test(
  "no length in millimetres is left where inches were chosen",
  async () => {
    const { page, errors, context } = await watchedPage(app, phone);
    await goTo(page, "#/settings");
    await page.locator("select:has(option[value=inch]), input[value=inch]").first().waitFor();
    const select = page.locator("select:has(option[value=inch])");
    if (await select.count()) await select.selectOption("inch");
    else await page.locator("input[value=inch]").check({ force: true });
    await goTo(page, "#/");
    await page.getByTestId("demo").click();
    await page.getByTestId("outcome").first().waitFor({ timeout: patience });
    await page.getByTestId("work").waitFor({ state: "detached", timeout: patience });
    const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    const pictures = process.env.PLUMBSHOT_PICTURES;
    if (pictures) mkdirSync(pictures, { recursive: true });
    const places = [job, ...stages.map((stage) => `${job}/${stage}`), `${job}/placement/moves`];
    const found: string[] = [];
    const shown: string[] = [];
    for (const place of places) {
      await goTo(page, place);
      const words = await wordsOn(page);
      shown.push(...words);
      const wrong = words.filter((text) => millimetres.test(text));
      found.push(...wrong.map((text) => `${place.replace(job, "")}: ${text}`));
      const name = place.replace(job, "job").replaceAll("/", "-");
      if (pictures) await page.screenshot({ path: `${pictures}/${name}.png`, fullPage: true });
    }
    expect(shown.filter((text) => /\d in\b/.test(text)).length).toBeGreaterThan(10);
    expect(found).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

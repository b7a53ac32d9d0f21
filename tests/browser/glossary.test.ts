/**
 * The words of the glossary: wherever one stands in a sentence, a heading or a label, it can be tapped
 * for two sentences and a picture, in English and in Spanish.
 */
import { afterAll, beforeAll, expect, test } from "vitest";
import { stages } from "../../src/app/context/routes.ts";
import { inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { en } from "../../src/app/i18n/en/english.ts";
import { es } from "../../src/app/i18n/es/spanish.ts";
import { piecesOf, type Term } from "../../src/app/parts/glossary.ts";
import {
  type AppUnderTest,
  goTo,
  jobWithDemoSheet,
  phone,
  settled,
  startApp,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;
const job = jobWithDemoSheet();
const patience = 120_000;

beforeAll(async () => {
  app = await startApp("glossary-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

const places = [
  ...stages.map((stage) => `#/job/${job.id}/${stage}`),
  `#/job/${job.id}`,
  `#/job/${job.id}/sheet/teach`,
  "#/settings",
  "#/records",
];

/** Running text of the page by block, with the words in it that can be tapped. Runs in the page. */
function blocksWithTerms(): { readonly text: string; readonly tapped: string[] }[] {
  const blocks = document.querySelectorAll<HTMLElement>(
    "main :is(p, li, dt, dd, h2, h3, h4, legend, td, th, .field-label, .check-item)",
  );
  return [...blocks]
    .filter(
      (block) =>
        !block.querySelector("p, li, dt, dd, h2, h3, h4, legend, td, th, dl, .field-label"),
    )
    .filter(
      (block) =>
        !block.closest("button, a, summary, svg, .print-only, [data-testid=printed-record]"),
    )
    .map((block) => {
      const tapped = [...block.querySelectorAll(".term")];
      const copy = block.cloneNode(true) as HTMLElement;
      for (const part of copy.querySelectorAll(
        "button:not(.term), a, summary, select, svg, dialog, .only-heard",
      )) {
        part.remove();
      }
      return {
        text: (copy.textContent ?? "").replace(/\s+/g, " ").trim(),
        tapped: tapped.map((term) => term.getAttribute("aria-label") ?? term.textContent ?? ""),
      };
    });
}

test.each([
  ["en-GB", en],
  ["es-ES", es],
] as const)(
  "every term in running text can be tapped, %s",
  async (locale, texts) => {
    const { page, context, errors } = await watchedPage(app, { ...phone, locale });
    await storeJob(page, job, inventedResult);
    await page.reload();
    await page.locator(".job-line").waitFor();
    const dumb: string[] = [];
    const seen = new Set<Term>();
    for (const place of places) {
      await goTo(page, place);
      await settled(page);
      if (place.endsWith("/sheet")) {
        await page.locator(".check-row-head").nth(1).tap();
        await page.locator(".check-entry").waitFor();
      }
      for (const { text, tapped } of await page.evaluate(blocksWithTerms)) {
        const terms = piecesOf(text, (term) => texts[`term.${term}`]).flatMap(
          ({ term }) => term ?? [],
        );
        for (const term of terms) seen.add(term);
        if (terms.length > tapped.length) {
          dumb.push(`${place}: ${terms.join(", ")} in “${text.slice(0, 100)}”`);
        }
      }
    }
    expect(dumb).toEqual([]);
    expect(seen.size).toBeGreaterThan(12);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "a tapped word opens its sentences and its picture, and closes again",
  async () => {
    const { page, context } = await watchedPage(app, phone);
    await storeJob(page, job, inventedResult);
    await page.reload();
    await goTo(page, `#/job/${job.id}/boards`);
    await page.getByRole("button", { name: en["term.printCheck"] }).first().tap();
    const window = page.getByRole("dialog", { name: en["term.printCheck"] });
    await window.waitFor();
    expect(await window.textContent()).toContain(en["term.printCheck.text"].split("{")[0]);
    expect(await window.locator("svg path").count()).toBeGreaterThan(1);
    await window.getByRole("button", { name: en["glossary.close"] }).tap();
    await window.waitFor({ state: "detached" });
    await context.close();
  },
  patience,
);

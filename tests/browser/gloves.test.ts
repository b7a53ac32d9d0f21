/**
 * Glove mode: turned on by a finger, and then every control of every screen is 56 px high and 12 px
 * from its neighbours, with nothing sticking out. Words inside a sentence are no controls of their own.
 */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { stages } from "../../src/app/context/routes.ts";
import { inventedResult } from "../../src/app/fixtures/invented-job.ts";
import {
  type AppUnderTest,
  goTo,
  jobWithDemoSheet,
  overflow,
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
  app = await startApp("gloves-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

/** Controls of the present screen that are lower than `height` px or nearer to another than `gap` px. */
const tooSmall = (page: Page, height: number, gap: number): Promise<string[]> =>
  page.evaluate(
    ([least, apart]) => {
      const controls = [
        ...document.querySelectorAll<HTMLElement>(
          ":is(header, main, dialog[open]) :is(button, a, select, textarea, summary, label:has(input:is([type=checkbox], [type=radio])), input:not([type=checkbox], [type=radio], [type=file]))",
        ),
      ].filter(
        (item) =>
          item.checkVisibility({ visibilityProperty: true }) &&
          !item.matches(".term, p a") &&
          // What lies under a window cannot be reached.
          (document.querySelector("dialog:modal")?.contains(item) ?? true),
      );
      const words = (item: HTMLElement) =>
        `${item.tagName} ${item.className} ${(item.textContent ?? "").trim().slice(0, 30)}`;
      const boxes = controls.map((item) => item.getBoundingClientRect());
      const found: string[] = [];
      for (const [i, item] of controls.entries()) {
        const a = boxes[i];
        if (a.height < least - 0.5 || a.width < least - 0.5) {
          found.push(`${words(item)}: ${a.width} x ${a.height} px`);
        }
        for (const [j, other] of controls.entries()) {
          const b = boxes[j];
          const within = item.contains(other) || other.contains(item);
          // The parts of one control share an edge: the halves of a switch, a number and its sign.
          const oneControl =
            item.parentElement === other.parentElement &&
            item.parentElement?.matches(".segments, .field-number");
          if (j <= i || within || oneControl) continue;
          const across = Math.max(a.left - b.right, b.left - a.right);
          const up = Math.max(a.top - b.bottom, b.top - a.bottom);
          if (Math.max(across, up) < apart - 0.5) {
            found.push(`${words(item)} and ${words(other)}: ${Math.max(across, up)} px apart`);
          }
        }
      }
      return found;
    },
    [height, gap] as const,
  );

test(
  "controls of 56 px, 12 px apart, nothing sticks out",
  async () => {
    const { page, context, errors } = await watchedPage(app, phone);
    await storeJob(page, job, inventedResult);
    await page.reload();
    await page.locator(".job-line").waitFor();
    await goTo(page, `#/job/${job.id}/boards`);
    await page.getByTestId("bar-across").waitFor();
    expect((await tooSmall(page, 56, 12)).length).toBeGreaterThan(5);
    // The switch is found from inside the job, by its word.
    await page.getByRole("link", { name: "Settings" }).tap();
    await page
      .getByRole("group", { name: "Glove mode" })
      .locator("label", { hasText: /^on$/ })
      .tap();
    await page.waitForFunction(() => document.documentElement.dataset.gloves === "on");
    const found: string[] = [];
    for (const place of [
      ...stages.map((stage) => `#/job/${job.id}/${stage}`),
      `#/job/${job.id}`,
      `#/job/${job.id}/placement/moves`,
      `#/job/${job.id}/sheet/teach`,
      "#/settings",
      "#/records",
      "#/",
    ]) {
      await goTo(page, place);
      await settled(page);
      found.push(...(await tooSmall(page, 56, 12)).map((text) => `${place} ${text}`));
      expect([place, await overflow(page)]).toEqual([place, 0]);
    }
    expect(found).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

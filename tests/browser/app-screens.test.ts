/**
 * Every screen in a real Chromium: accessible (axe-core, WCAG 2.2 AA), usable by keyboard, saying in
 * words what is wrong with an input, and keeping what was typed.
 */

import { randomBytes } from "node:crypto";
import { appendFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { stages } from "../../src/app/context/routes.ts";
import { inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";
import {
  type AppUnderTest,
  desktop,
  goTo,
  jobWithDemoSheet,
  overflow,
  phone,
  startApp,
  storeJob,
  type WatchedPage,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;
const job = jobWithDemoSheet();
const axeSource = readFileSync(
  createRequire(import.meta.url).resolve("axe-core/axe.min.js"),
  "utf8",
);

beforeAll(async () => {
  app = await startApp("app-screens-test");
});

afterAll(async () => {
  await app?.close();
});

const places: readonly string[] = [
  `#/job/${job.id}`,
  ...stages.map((stage) => `#/job/${job.id}/${stage}`),
  `#/job/${job.id}/placement/moves`,
  `#/job/${job.id}/placement/sheet`,
  "#/settings",
  "#/glossary",
  "#/building",
  "#/sheet",
  "#/",
];

async function open(options = phone): Promise<WatchedPage> {
  const watched = await watchedPage(app, options);
  await watched.page.locator("h1").waitFor();
  return watched;
}

async function openWithJob(options = phone): Promise<WatchedPage> {
  const watched = await open(options);
  await storeJob(watched.page, job, inventedResult);
  await watched.page.reload();
  await watched.page.locator(".job-line").waitFor();
  return watched;
}

interface AxeFinding {
  readonly id: string;
  readonly nodes: readonly {
    readonly target: readonly string[];
    readonly failureSummary: string;
  }[];
}

/** Violations of WCAG 2.2 A and AA that axe-core can find on the present screen. */
async function violations(page: Page): Promise<string[]> {
  const found = await page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(options: unknown): Promise<{ violations: unknown[]; passes: unknown[] }> };
    };
    const outcome = await axe.run({
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
    return { violations: outcome.violations, passes: outcome.passes.length };
  });
  expect(found.passes).toBeGreaterThan(5);
  return (found.violations as AxeFinding[]).flatMap((finding) =>
    finding.nodes.map((node) => `${finding.id}: ${node.target.join(" ")}: ${node.failureSummary}`),
  );
}

describe.each([
  ["phone, light", { ...phone, colorScheme: "light" as const }],
  ["desktop, dark", { ...desktop, colorScheme: "dark" as const }],
])("%s", (_name, options) => {
  test("no screen has an accessibility violation, nothing sticks out, no errors", async () => {
    // axe-core is put into the page by the driver; the page's own policy stays as it is.
    const { page, errors, foreign, context } = await openWithJob(options);
    await page.evaluate(axeSource);
    const found: string[] = [];
    for (const place of places) {
      await goTo(page, place);
      await page.waitForTimeout(150);
      found.push(...(await violations(page)).map((text) => `${place} ${text}`));
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect([place, overflow]).toEqual([place, 0]);
    }
    expect(found).toEqual([]);
    expect(errors).toEqual([]);
    expect(foreign).toEqual([]);
    await context.close();
  });

  test("every control is at least 24 px, every main control 44 px high", async () => {
    const { page, context } = await openWithJob(options);
    for (const place of places) {
      await goTo(page, place);
      // WCAG 2.2, 2.5.8 (24 px) for all; 2.5.5 (44 px) for our buttons and fields.
      const small = await page.evaluate(() =>
        [...document.querySelectorAll("main button, main a, main input, main select")].flatMap(
          (element) => {
            const box = element.getBoundingClientRect();
            const shown = box.width > 0 && box.height > 0;
            const least = element.matches(".button, .stage-list a, .field *:not(.term)")
              ? 43.5
              : 24;
            return shown && box.height < least
              ? [`${element.className} ${element.textContent} ${box.height}`]
              : [];
          },
        ),
      );
      expect([place, small]).toEqual([place, []]);
    }
    await context.close();
  });
});

describe("by keyboard", () => {
  test("a job is begun, filled in and found again without a pointer", async () => {
    const { page, errors, context } = await open(desktop);
    const press = async (times: number) => {
      for (let i = 0; i < times; i++) {
        await page.keyboard.press("Tab");
      }
    };
    // Skip link, brand, settings, then the first button of the page.
    await press(4);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe("New job");
    await page.keyboard.press("Enter");
    await page.getByTestId("car-description").waitFor();
    await page.getByTestId("car-description").focus();
    await page.keyboard.type("Invented estate");
    await page.keyboard.press("Tab");
    await page.keyboard.type("XY 77");
    const box = page.getByTestId("check-tyres");
    await box.focus();
    await page.keyboard.press("Space");
    expect(await box.isChecked()).toBe(true);
    await page.reload();
    await page.getByTestId("car-description").waitFor();
    expect(await page.getByTestId("car-description").inputValue()).toBe("Invented estate");
    expect(await page.getByTestId("check-tyres").isChecked()).toBe(true);
    await goTo(page, "#/");
    await page.getByTestId("search").focus();
    await page.keyboard.type("xy 77");
    expect(await page.locator(".job-line").count()).toBe(1);
    await page.keyboard.type("8");
    expect(await page.locator(".job-line").count()).toBe(0);
    expect(errors).toEqual([]);
    await context.close();
  });
});

describe("the focus", () => {
  const focused = (page: Page) =>
    page.evaluate(() => {
      const element = document.activeElement;
      return `${element?.tagName} ${element?.getAttribute("aria-label") ?? element?.className}`;
    });

  test("a dialog holds it and gives it back; what was deleted leaves it nearby", async () => {
    const { page, errors, context } = await openWithJob(desktop);
    const bin = page.locator(".job-line button");
    await bin.focus();
    await page.keyboard.press("Enter");
    await page.locator("dialog").waitFor();
    for (let stop = 0; stop < 4; stop++) {
      await page.keyboard.press("Tab");
      const inside = await page.evaluate(() => {
        const dialog = document.querySelector("dialog");
        // Between the last and the first stop the browser's own controls have their turn.
        return document.activeElement === document.body || dialog?.contains(document.activeElement);
      });
      expect(inside).toBe(true);
    }
    await page.keyboard.press("Escape");
    await page.locator("dialog").waitFor({ state: "detached" });
    expect(await focused(page)).toMatch(/^BUTTON Delete job/);
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: "Keep it" }).focus();
    await page.keyboard.press("Enter");
    await page.locator("dialog").waitFor({ state: "detached" });
    expect(await focused(page)).toMatch(/^BUTTON Delete job/);
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: "Delete job", exact: true }).focus();
    await page.keyboard.press("Enter");
    await page.locator(".job-line").waitFor({ state: "detached" });
    await expect.poll(() => focused(page)).not.toMatch(/^BODY/);
    expect(errors).toEqual([]);
    await context.close();
  });

  test("a new screen has it on its heading; a removed photo leaves it at the list", async () => {
    const { page, errors, context } = await openWithJob(desktop);
    await page.locator(".job-line a").focus();
    await page.keyboard.press("Enter");
    await expect.poll(() => focused(page)).toMatch(/^H1 /);
    await goTo(page, `#/job/${job.id}/photos`);
    const photo = (index: number) => ({
      name: `photo-${index}.jpg`,
      mimeType: "image/jpeg",
      buffer: Buffer.from(writeFlatJpeg(64, 48, (x) => (x * 7 + index) % 256)),
    });
    await page.getByTestId("add-board-photos").setInputFiles([photo(1), photo(2)]);
    const removeFirst = page.getByRole("button", { name: "Remove photo: photo-1.jpg" });
    await removeFirst.focus();
    await page.keyboard.press("Enter");
    await removeFirst.waitFor({ state: "detached" });
    await expect.poll(() => focused(page)).toBe("UL photo-grid");
    expect(errors).toEqual([]);
    await context.close();
  });
});

describe("updates", () => {
  test("a newer version waits: not offered inside a job, taken only when asked for", async () => {
    const { page, errors, context } = await openWithJob();
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
    });
    appendFileSync(`${app.folder}/sw.js`, "\n// A later version.\n");
    await goTo(page, `#/job/${job.id}/car`);
    await page.evaluate(async () => {
      const registration = await navigator.serviceWorker.getRegistration();
      await registration?.update();
    });
    await expect
      .poll(() =>
        page.evaluate(
          async () => (await navigator.serviceWorker.getRegistration())?.waiting?.state ?? "",
        ),
      )
      .toBe("installed");
    expect(await page.getByText("A newer version is ready").count()).toBe(0);
    await goTo(page, "#/");
    await page.getByText("A newer version is ready").waitFor();
    await page.getByRole("button", { name: "Use it now" }).click();
    await page.getByText("A newer version is ready").waitFor({ state: "detached" });
    await page.locator(".job-line").waitFor();
    expect(errors).toEqual([]);
    await context.close();
  });
});

describe("entries", () => {
  test("comma and point are read, nonsense is named, inches are shown", async () => {
    const { page, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/boards`);
    await page.getByTestId("bar-across").fill("190,4");
    await page.getByTestId("bar-up").fill("270.5");
    await page.getByText("Printed at").waitFor();
    await page.getByTestId("bar-up").fill("27o");
    await page.getByText("“27o” cannot be read as a number.").waitFor();
    await page.getByTestId("bar-up").fill("27");
    await page.getByText("looks like centimetres").waitFor();
    await page.getByTestId("bar-up").fill("270.5");
    await goTo(page, "#/settings");
    await page.getByRole("radio", { name: "inches, decimal" }).click();
    await goTo(page, `#/job/${job.id}/boards`);
    const shown = Number(await page.getByTestId("bar-across").inputValue());
    expect(Math.abs(shown - 190.4 / 25.4)).toBeLessThan(1e-4);
    await context.close();
  });

  test("Spanish is complete on screen", async () => {
    const { page, context } = await openWithJob({ ...phone, locale: "es-ES" });
    await goTo(page, `#/job/${job.id}/placement`);
    await page.getByTestId("outcome").waitFor();
    expect(await page.getByTestId("outcome").textContent()).toBe("Aún no cumple");
    expect(await page.evaluate(() => document.documentElement.lang)).toBe("es");
    const text = await page.locator("main").textContent();
    expect(text).toContain("no probado");
    expect(text).toContain("23,4 mm");
    await context.close();
  });

  test("a video, a text and an empty file are refused by name; nothing is lost", async () => {
    const { page, errors, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/photos`);
    const video = Buffer.from("\0\0\0\x18ftypmp42\0\0\0\0mp42isom");
    await page.getByTestId("add-board-photos").setInputFiles([
      { name: "walk.mp4", mimeType: "video/mp4", buffer: video },
      { name: "note.jpg", mimeType: "image/jpeg", buffer: Buffer.from("this is no photo at all") },
      { name: "empty.jpg", mimeType: "image/jpeg", buffer: Buffer.alloc(0) },
    ]);
    await expect.poll(() => page.getByTestId("refusal").count()).toBe(3);
    const text = (await page.getByTestId("refusal").allInnerTexts()).join("\n");
    expect(text).toContain("walk.mp4 is a video");
    expect(text).toContain("note.jpg is not a photo");
    expect(text).toContain("empty.jpg is empty");
    expect(await page.getByTestId("photo").count()).toBe(0);
    expect(errors).toEqual([]);
    await context.close();
  });

  test("100 photos at once are all taken, twice the same photo is not; removing can be undone", async () => {
    const { page, errors, context } = await open();
    await page.getByTestId("new-job").click();
    await page.getByTestId("job-title").waitFor();
    await goTo(page, `${new URL(page.url()).hash.replace("/car", "")}/photos`);
    const photo = (index: number) => ({
      name: `photo-${index}.jpg`,
      mimeType: "image/jpeg",
      buffer: Buffer.from(writeFlatJpeg(640, 480, (x, y) => (x * 7 + y * 3 + index) % 256)),
    });
    const many = Array.from({ length: 100 }, (_, index) => photo(index));
    await page.getByTestId("add-board-photos").setInputFiles(many);
    const tiles = page.getByTestId("photo");
    await expect.poll(() => tiles.count(), { timeout: 60_000 }).toBe(100);
    await page.getByTestId("add-board-photos").setInputFiles([{ ...photo(5), name: "again.jpg" }]);
    await page.getByTestId("refusal").getByText("again.jpg is in this job already").waitFor();
    expect(await tiles.count()).toBe(100);
    await page.getByRole("button", { name: "Remove photo: photo-7.jpg" }).click();
    await expect.poll(() => tiles.count()).toBe(99);
    await page.getByTestId("undo").click();
    await expect.poll(() => tiles.count()).toBe(100);
    expect(errors).toEqual([]);
    await context.close();
  });

  test("a full device stops with a sentence, and what is stored stays", async () => {
    // Without the service worker, whose stored files would count too.
    const { page, context } = await open({ ...phone, serviceWorkers: "block" });
    const session = await context.newCDPSession(page);
    const origin = new URL(app.url).origin;
    await session.send("Storage.overrideQuotaForOrigin", { origin, quotaSize: 5_000_000 });
    await page.getByTestId("new-job").click();
    await page.getByTestId("job-title").waitFor();
    await goTo(page, `${new URL(page.url()).hash.replace("/car", "")}/photos`);
    // The browser counts what is stored with some delay, so there must be plenty.
    const count = 20;
    // From the disk, not as 40 MB through the channel that steers the browser.
    const folder = mkdtempSync(join(tmpdir(), "full-device-"));
    const photos = Array.from({ length: count }, (_, index) => {
      const path = join(folder, `photo-${index}.jpg`);
      const image = writeFlatJpeg(640, 480, (x) => (x * 7 + index) % 256);
      // Whatever follows the end of a JPEG is ignored; here it only takes room.
      writeFileSync(path, Buffer.concat([Buffer.from(image), randomBytes(2_000_000)]));
      return path;
    });
    await page.getByTestId("add-board-photos").setInputFiles(photos);
    await page.getByText("This device has no room left for photos.").waitFor();
    const stored = await page.getByTestId("photo").count();
    expect(stored).toBeGreaterThan(0);
    expect(stored).toBeLessThan(count);
    await page.reload();
    await expect.poll(() => page.getByTestId("photo").count()).toBe(stored);
    await context.close();
    rmSync(folder, { recursive: true });
  });

  test("an entry that cannot be read is kept as typed and holds the verdict back", async () => {
    const { page, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/placement`);
    await page.getByTestId("outcome").waitFor();
    await goTo(page, `#/job/${job.id}/car`);
    await page.getByTestId("wheelbase").fill("2.6 km");
    await page.getByText("“2.6 km” cannot be read as a number.").waitFor();
    await goTo(page, `#/job/${job.id}/bay`);
    await goTo(page, `#/job/${job.id}/car`);
    await expect.poll(() => page.getByTestId("wheelbase").inputValue()).toBe("2.6 km");
    await goTo(page, `#/job/${job.id}`);
    await page.getByText("changed since").waitFor();
    await page.reload();
    await goTo(page, `#/job/${job.id}/car`);
    await page.getByTestId("wheelbase").fill('102 3/8"');
    await page.getByText("cannot be read").waitFor({ state: "detached" });
    await context.close();
  });

  test("an example sheet is chosen, a wrong entry is questioned at its place", async () => {
    const { page, errors, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/placement/sheet`);
    const examples = page.locator(".pick-list .pick");
    await examples.nth(4).waitFor({ state: "attached" });
    const others = page.locator("summary", { hasText: "Another sheet, an example, or a file" });
    await others.click();
    for (const index of [0, 1, 2, 3, 4]) {
      await examples.nth(index).click();
      await page.getByText("The sheet is complete and raises no question.").waitFor();
    }
    await page.getByTestId("new-sheet").click();
    await page.getByText("Still missing: a first number.").waitFor();
    await page.getByTestId("spot-distance").click();
    await page.getByTestId("sheet-value").fill("-2500");
    await page.getByText("Behind the line?").waitFor();
    await page.getByText("Still missing: tolerance of distance ahead.").waitFor();
    await page.getByTestId("sheet-tolerance").fill("±5");
    await page.getByText("behind the line, though the target faces the car").waitFor();
    await page.getByTestId("sheet-value").fill("98 7/16 in ± 1/4 in");
    await expect
      .poll(() => page.getByTestId("sheet-row").textContent())
      .toContain("2500.313 mm ahead ± 6.35 mm");
    // What was typed is asked for before an example takes its place, and undo takes steps back.
    await examples.nth(0).click();
    await page.getByRole("button", { name: "Keep it" }).click();
    await page.getByTestId("sheet-undo").click();
    await expect
      .poll(() => page.getByTestId("sheet-row").textContent())
      .toContain("2500 mm behind ± 5 mm");
    expect(errors).toEqual([]);
    await context.close();
  });

  test("a second tab on the same job only looks, until it takes over", async () => {
    const { page, context } = await openWithJob();
    await goTo(page, `#/job/${job.id}/car`);
    const second = await context.newPage();
    await second.goto(`${app.url}#/job/${job.id}/car`);
    await second.getByTestId("other-tab").waitFor();
    await second.getByRole("button", { name: "Go on in this tab" }).click();
    await second.getByTestId("other-tab").waitFor({ state: "detached" });
    await page.getByTestId("other-tab").waitFor();
    await context.close();
  });
});

describe("hands", () => {
  test("long names stay inside the list of jobs, text at 200 % inside every screen", async () => {
    const { page, context } = await open();
    const long = { ...job, title: "Donaudampfschiffahrtsgesellschaftskapitaen".repeat(3) };
    long.car = { ...job.car, description: "x".repeat(120), plate: "ABCDEFGHIJKLMNOPQRSTUVWXYZ" };
    await storeJob(page, long, inventedResult);
    await page.reload();
    await page.locator(".job-line").waitFor();
    expect(await overflow(page)).toBe(0);
    await page.evaluate(() => {
      document.documentElement.style.fontSize = "200%";
    });
    for (const place of [
      "#/",
      `#/job/${job.id}/sheet`,
      `#/job/${job.id}/boards`,
      `#/job/${job.id}/placement`,
      "#/glossary",
      "#/building",
    ]) {
      await goTo(page, place);
      await page.waitForTimeout(200);
      expect([place, await overflow(page)]).toEqual([place, 0]);
    }
    await context.close();
  });
});

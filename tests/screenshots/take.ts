/**
 * `npm run screenshots [-- folder]`: every screen of the app with the demo job, phone and desktop, light and
 * dark, Spanish, letters twice as large, into tests/screenshots/out for a person to look at.
 */
import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { stages } from "../../src/app/context/routes.ts";
import { desktop, goTo, phone, settled, startApp, watchedPage } from "../browser/app-harness.ts";

const out = process.argv[2] ?? join(import.meta.dirname, "out");
const sizes = { phone: phone.viewport!, desktop: desktop.viewport! };
const themes = ["light", "dark"] as const;

rmSync(out, { recursive: true, force: true });
mkdirSync(out, { recursive: true });

const app = await startApp(process.argv[2] ? "screenshots-elsewhere" : "screenshots");
const { page, errors, context } = await watchedPage(app, {
  ...phone,
  isMobile: false,
  deviceScaleFactor: 1,
});

/** One screen in both sizes and themes. */
async function take(name: string, prepare?: (page: Page) => Promise<void>): Promise<void> {
  for (const [size, viewport] of Object.entries(sizes)) {
    for (const colorScheme of themes) {
      await page.setViewportSize(viewport);
      await page.emulateMedia({ colorScheme });
      await prepare?.(page);
      await page.waitForTimeout(350);
      await page.screenshot({
        path: join(out, `${size}-${colorScheme}-${name}.png`),
        fullPage: true,
      });
    }
  }
}

await page.locator("h1").waitFor();
await take("00-first-start");
await page.getByTestId("demo").click();
await page.getByTestId("work").waitFor({ timeout: 120_000 });
const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
await page.setViewportSize(sizes.phone);
await page.emulateMedia({ colorScheme: "light" });
await goTo(page, `${job}/photos`);
await page.getByTestId("photo").first().waitFor();
await page.screenshot({ path: join(out, "phone-light-01-working.png") });
await goTo(page, `${job}/placement`);
await page.getByTestId("outcome").first().waitFor({ timeout: 300_000 });
await page.getByTestId("work").waitFor({ state: "detached", timeout: 300_000 });

await goTo(page, "#/");
await take("02-jobs");
await goTo(page, job);
await take("03-job");
for (const [index, stage] of stages.entries()) {
  await goTo(page, `${job}/${stage}`);
  await take(`1${index}-${stage}`);
}
await goTo(page, `${job}/sheet/teach`);
await page.getByTestId("teach-name").waitFor();
await take("19-teach");
await goTo(page, `${job}/photos`);
const photo = new URL(
  await page
    .getByTestId("photo")
    .nth(2)
    .evaluate((a) => (a as HTMLAnchorElement).href),
).hash;
await goTo(page, photo);
await page.locator(".found-line").first().waitFor();
await take("20-photo");
await goTo(page, `${job}/placement`);
await take("21-placement-side", async () => {
  await page.getByRole("button", { name: "From the side" }).click();
});
await take("22-budget", async () => {
  await page.locator(".check-card details").evaluateAll((folds) => {
    for (const fold of folds) {
      (fold as HTMLDetailsElement).open = true;
    }
  });
});
await goTo(page, `${job}/placement/moves`);
await take("23-move");
await goTo(page, `${job}/placement/sheet`);
await take("24-sheet");
for (const [name, place] of [
  ["30-settings", "#/settings"],
  ["31-glossary", "#/glossary"],
  ["32-building", "#/building"],
  ["33-records", "#/records"],
] as const) {
  await goTo(page, place);
  await settled(page);
  await take(name);
}
// The same screens in Spanish and with letters twice as large, on the phone.
await page.setViewportSize(sizes.phone);
await page.emulateMedia({ colorScheme: "light" });
const again = [
  ...stages.map((stage) => `${job}/${stage}`),
  `${job}/sheet/teach`,
  `${job}/placement/moves`,
  "#/glossary",
  "#/building",
  "#/settings",
  "#/",
];
async function takeAgain(what: string): Promise<void> {
  for (const place of again) {
    await goTo(page, place);
    await settled(page);
    const name = place.replace(job, "job").replace(/[#/]+/g, "-");
    await page.screenshot({ path: join(out, `phone-${what}${name}.png`), fullPage: true });
  }
}
await page.evaluate(() => {
  document.documentElement.style.fontSize = "200%";
});
await takeAgain("large");
await page.evaluate(() => {
  document.documentElement.style.fontSize = "";
});
await goTo(page, "#/settings");
await page.locator("label", { hasText: /^Español$/ }).click();
await page.waitForFunction(() => document.documentElement.lang === "es");
await takeAgain("es");
await goTo(page, "#/settings");
await page.locator("label", { hasText: /^English$/ }).click();
await page.waitForFunction(() => document.documentElement.lang === "en");
// A job with nothing in it: what a person sees who begins.
await goTo(page, "#/");
await page.getByTestId("new-job").click();
await page.getByTestId("job-title").waitFor();
const empty = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
await goTo(page, empty);
await take("40-new-job");
for (const [index, stage] of stages.entries()) {
  await goTo(page, `${empty}/${stage}`);
  await take(`4${index + 1}-new-${stage}`);
}
// The stand was moved: its photos are asked for before anything else.
await goTo(page, `${job}/placement`);
await page.getByRole("button", { name: "The stand was moved" }).click();
await page.getByTestId("stand-moved").waitFor();
await take("50-stand-moved");
await goTo(page, `${job}/placement`);
await page.getByRole("button", { name: "It was not moved" }).click();
await goTo(page, `${job}/photos/after`);
await take("51-after-the-run");
await goTo(page, `${job}/record`);
await page.getByTestId("printed-record").waitFor();
for (const format of ["A4", "Letter"] as const) {
  await page.pdf({ path: join(out, `record-${format}.pdf`), format });
}
await context.close();
await app.close();
console.log(`Screens are in ${out}.`);
if (errors.length > 0) {
  console.error(errors.join("\n"));
  process.exitCode = 1;
}

/**
 * `npm run screenshots:readme`: the picture of the README, three screens of the demo job on a phone
 * side by side: verdict and moves, the checks, one move shown large.
 */
import { join } from "node:path";
import { goTo, phone, startApp, watchedPage } from "../browser/app-harness.ts";

const file = join(import.meta.dirname, "readme.png");
const patience = 300_000;

const app = await startApp("readme-picture");
const { page, context } = await watchedPage(app, {
  ...phone,
  isMobile: false,
  deviceScaleFactor: 1,
});

const screens: string[] = [];
const take = async (): Promise<void> => {
  await page.waitForTimeout(500);
  screens.push((await page.screenshot()).toString("base64"));
};

await page.getByTestId("demo").click();
await page.getByTestId("outcome").first().waitFor({ timeout: patience });
await page.getByTestId("work").waitFor({ state: "detached", timeout: patience });
const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
await goTo(page, `${job}/placement`);
await page.getByTestId("check").first().waitFor();
await take();
await page.getByRole("heading", { name: "Checks", exact: true }).evaluate((heading) => {
  window.scrollBy(0, heading.getBoundingClientRect().top - 24);
});
await take();
await goTo(page, `${job}/placement/moves`);
await take();

const { width, height } = phone.viewport!;
const sheet = await context.newPage();
await sheet.setViewportSize({ width: 3 * (width + 2) + 2 * 16, height: height + 2 });
await sheet.setContent(
  `<body style="margin: 0; display: flex; gap: 16px; background: white">${screens
    .map((png) => `<img style="border: 1px solid #14233b" src="data:image/png;base64,${png}">`)
    .join("")}</body>`,
);
await sheet.locator("img").last().waitFor();
await sheet.screenshot({ path: file });
await context.close();
await app.close();
console.log(`The README's picture is in ${file}.`);

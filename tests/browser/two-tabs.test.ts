/**
 * Two tabs on one job over plain http, where browsers have no Web Locks: one writes, the other
 * looks; and a tab that could not be asked loses nothing without a word.
 */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type AppUnderTest, phone, startApp, storedJobs, watchedPage } from "./app-harness.ts";

let app: AppUnderTest;

beforeAll(async () => {
  // A name that no browser treats as secure, led to this machine.
  app = await startApp("two-tabs-test", "bay.test");
});

afterAll(async () => {
  await app?.close();
});

/** The browser itself notes that it ignores a header on plain http. */
const aboutPlainHttp = /^The Cross-Origin-Opener-Policy header has been ignored/;

const car = (page: Page) => page.getByTestId("car-description");
const otherTab = (page: Page) => page.getByTestId("other-tab");

async function twoTabs() {
  const watched = await watchedPage(app, phone);
  const first = watched.page;
  expect(await first.evaluate(() => [isSecureContext, "locks" in navigator])).toEqual([
    false,
    false,
  ]);
  await first.getByTestId("new-job").click();
  await car(first).fill("Invented estate");
  return { ...watched, first, second: await watched.context.newPage(), address: first.url() };
}

test("the second tab only looks, takes over when told to, and gets the job when the first closes", async () => {
  const { first, second, address, errors, context } = await twoTabs();
  await second.goto(address);
  await otherTab(second).waitFor();
  await car(second).fill("Not written");
  await second.getByRole("button", { name: "Go on in this tab" }).click();
  await otherTab(second).waitFor({ state: "detached" });
  await otherTab(first).waitFor();
  expect(await car(second).inputValue()).toBe("Invented estate");
  await car(second).fill("Invented estate, blue");
  // Written at once, but on a busy machine not sooner than the page can be killed.
  await expect.poll(() => storedCar(second)).toBe("Invented estate, blue");
  await second.close();
  await otherTab(first).waitFor({ state: "detached" });
  await expect.poll(() => car(first).inputValue()).toBe("Invented estate, blue");
  const third = await context.newPage();
  await third.goto(address);
  await otherTab(third).waitFor();
  await first.close();
  await otherTab(third).waitFor({ state: "detached" });
  expect(errors.filter((text) => !aboutPlainHttp.test(text))).toEqual([]);
  await context.close();
});

test.each([
  ["Keep what is shown here", "Second"],
  ["Keep what the other tab stored", "First"],
])("a tab that did not hear of the other asks before it writes: %s", async (button, kept) => {
  const { first, second, address, errors, context } = await twoTabs();
  // As if it had slept: it neither hears nor answers the other tab.
  await second.addInitScript(() => {
    BroadcastChannel.prototype.postMessage = () => {};
    BroadcastChannel.prototype.addEventListener = () => {};
  });
  await second.goto(address);
  await car(second).waitFor();
  await second.waitForTimeout(500);
  await car(first).fill("First");
  await expect.poll(() => storedCar(first)).toBe("First");
  await car(second).fill("Second");
  await second.getByTestId("changed-elsewhere").waitFor();
  expect(await storedCar(first)).toBe("First");
  await second.getByRole("button", { name: button }).click();
  await second.getByTestId("changed-elsewhere").waitFor({ state: "detached" });
  expect(await car(second).inputValue()).toBe(kept);
  await expect.poll(() => storedCar(second)).toBe(kept);
  await car(second).fill("Goes on");
  await expect.poll(() => storedCar(second)).toBe("Goes on");
  expect(errors.filter((text) => !aboutPlainHttp.test(text))).toEqual([]);
  await context.close();
});

test("the demo job runs over plain http too", async () => {
  const { page, errors, foreign, context } = await watchedPage(app, phone);
  await page.getByTestId("demo").click();
  const outcome = page.getByTestId("outcome").first();
  await outcome.waitFor({ timeout: 100_000 });
  // As the job's command line says; its numbers are compared where the origin is secure.
  expect(await outcome.getAttribute("data-outcome")).toBe("some miss");
  expect(errors.filter((text) => !aboutPlainHttp.test(text))).toEqual([]);
  expect(foreign).toEqual([]);
  await context.close();
});

/** The car's name in the one stored job. */
async function storedCar(page: Page): Promise<string> {
  const [job] = await storedJobs<{ car: { description: string } }>(page);
  return job.car.description;
}

/**
 * Gloves, wet fingers, haste: second taps, entries that are half a number, endless names, inputs that
 * no longer give a result. Nothing typed is lost, and no number stands where it must not.
 */
import type { Locator, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import {
  type AppUnderTest,
  goTo,
  overflow,
  phone,
  startApp,
  storedJobs,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;
const patience = 120_000;
const record = inventedJob();
const job = `#/job/${record.id}`;

beforeAll(async () => {
  app = await startApp("clumsy-hands-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

async function openWithJob(stored = record) {
  const watched = await watchedPage(app, phone);
  await storeJob(watched.page, stored, inventedResult);
  await watched.page.reload();
  await watched.page.locator(".job-line").waitFor();
  return watched;
}

/**
 * Two taps of one finger at the same place, sooner than anybody reads. They carry their own times, so
 * that a busy machine does not turn them into two decisions.
 */
async function tapTwice(page: Page, target: Locator): Promise<void> {
  await target.scrollIntoViewIfNeeded();
  const box = await target.boundingBox();
  if (!box) throw new Error("There is nothing to tap.");
  const touch = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  const session = await page.context().newCDPSession(page);
  const begun = Date.now() / 1000;
  const send = (type: "touchStart" | "touchEnd", after: number) =>
    session.send("Input.dispatchTouchEvent", {
      type,
      touchPoints: type === "touchStart" ? [touch] : [],
      timestamp: begun + after,
    });
  await Promise.all([
    send("touchStart", 0),
    send("touchEnd", 0.04),
    send("touchStart", 0.12),
    send("touchEnd", 0.16),
  ]);
  await session.detach();
  await page.waitForTimeout(400);
}

test(
  "a second tap does not skip a move, untick a check or begin a second job",
  async () => {
    const { page, errors, context } = await openWithJob();
    await goTo(page, `${job}/placement/moves`);
    const count = page.locator(".move-big-count");
    expect(await count.textContent()).toContain("Move 1 of");
    await tapTwice(page, page.getByRole("button", { name: "Done, next" }));
    expect(await count.textContent()).toContain("Move 2 of");

    await goTo(page, `${job}/bay`);
    const check = page.getByRole("checkbox").first();
    const before = await check.isChecked();
    await tapTwice(page, page.locator("label:has(input[type=checkbox])").first());
    expect(await check.isChecked()).toBe(!before);

    // Zoom may be tapped as fast as one likes.
    await goTo(page, `${job}/placement`);
    const larger = page.getByRole("button", { name: "Larger" }).first();
    const width = () =>
      page
        .locator(".bay-scroll svg")
        .first()
        .evaluate((svg) => svg.clientWidth);
    const [small] = [await width(), await larger.tap()];
    await page.waitForTimeout(400);
    const once = await width();
    await tapTwice(page, larger);
    expect(once).toBeGreaterThan(small);
    expect((await width()) / once).toBeGreaterThan((once / small) * 1.2);

    await goTo(page, "#/");
    await tapTwice(page, page.getByTestId("new-job"));
    await page.getByTestId("job-title").waitFor();
    expect((await storedJobs(page)).length).toBe(2);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "the part of an entry that could be read does not count",
  async () => {
    const { page, errors, context } = await openWithJob();
    await goTo(page, `${job}/boards`);
    const bar = page.getByTestId("bar-across");
    const stored = async () => {
      const [found] = await storedJobs<typeof record>(page);
      return found.boards.barHorizontal.readingMm;
    };
    await bar.fill("190.4");
    await bar.blur();
    await expect.poll(stored).toBe(190.4);
    await bar.fill("");
    await bar.pressSequentially("1,190.4");
    await page.getByText("“1,190.4” cannot be read as a number.").waitFor();
    await expect.poll(stored).toBe(190.4);
    await bar.blur();
    // Read as a fraction where this language would write thousands: that is said.
    await bar.fill("190,400");
    await page.getByText("Read as 190.4 mm. Type thousands without a mark.").waitFor();
    // Not a word about an ordinary decimal comma.
    await bar.fill("190,6");
    await expect.poll(stored).toBe(190.6);
    expect(await page.getByText("Read as").count()).toBe(0);
    await page.reload();
    await bar.waitFor();
    expect(await bar.inputValue()).toBe("190.6");
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "endless names stay inside the page, on every screen and on paper",
  async () => {
    const { page, errors, context } = await openWithJob({
      ...record,
      title: "Donaudampfschifffahrt".repeat(12),
      car: { ...record.car, description: "W".repeat(200), customer: "M".repeat(150) },
    });
    const marks = {
      "#/": ".job-line",
      [job]: ".title-block",
      [`${job}/car`]: "[data-testid=job-title]",
      [`${job}/placement`]: "[data-testid=check]",
      [`${job}/record`]: "[data-testid=printed-record]",
    };
    for (const [place, mark] of Object.entries(marks)) {
      await goTo(page, place);
      await page.locator(mark).first().waitFor();
      expect([place, await overflow(page)]).toEqual([place, 0]);
    }
    await page.emulateMedia({ media: "print" });
    expect(await overflow(page)).toBe(0);
    expect(await page.getByTestId("printed-record").textContent()).toContain("M".repeat(150));
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "a job that is not here says what to do",
  async () => {
    const { page, context } = await watchedPage(app, phone);
    await page.evaluate(() => {
      window.location.hash = "#/job/nothing/photos";
    });
    await page.getByRole("heading", { name: "This job is not on this device" }).waitFor();
    await page.locator("main").getByRole("link", { name: "Jobs" }).tap();
    await page.getByTestId("new-job").waitFor();
    await context.close();
  },
  patience,
);

test(
  "entries changed since: the earlier verdict is neither shown nor printed as the present one",
  async () => {
    const { page, errors, context } = await openWithJob();
    const line = page.locator(".job-line");
    await line.getByText("Does not meet yet").waitFor();
    await goTo(page, `${job}/record`);
    await page.getByTestId("printed-record").waitFor();
    await goTo(page, `${job}/boards`);
    await page.getByTestId("bar-across").fill("188.9");
    await page.getByTestId("bar-up").fill("268.4");
    await goTo(page, job);
    await page.getByText("Something was changed since").waitFor();
    expect(await page.getByTestId("outcome").count()).toBe(0);
    await goTo(page, `${job}/record`);
    await page.getByTestId("not-printable").waitFor();
    expect(await page.getByTestId("printed-record").count()).toBe(0);
    expect(await page.getByRole("button", { name: "Print" }).getAttribute("aria-disabled")).toBe(
      "true",
    );
    await goTo(page, "#/");
    await line.getByText("to be measured again").waitFor();
    expect(await line.textContent()).not.toContain("meet");
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

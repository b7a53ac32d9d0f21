/** The camera stage while sheet photos come in, on a phone: what it asks for, and when it stops. */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";

const folder = "sample-images/demo-job";
const patience = 300_000;
const sheet = (...numbers: number[]) =>
  numbers.map((n) => `${folder}/camera/sheet-${String(n).padStart(2, "0")}.jpg`);

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp("camera-guidance-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

const shown = async (page: Page) => {
  const box = page.getByTestId("camera-guidance");
  return { code: await box.getAttribute("data-state"), text: await box.textContent() };
};

/** Adds photos and waits until advice for all of them stands there. */
async function add(page: Page, files: readonly string[]): Promise<void> {
  const before = await page.getByTestId("photo").count();
  await page.getByTestId("add-sheet-photos").setInputFiles([...files]);
  await expect
    .poll(() => page.getByTestId("photo").count(), { timeout: patience })
    .toBe(before + files.length);
  await expect
    .poll(async () => (await shown(page)).code, { timeout: patience })
    .not.toBe("looking");
}

test(
  "one instruction after the other, until the lens is good enough",
  async () => {
    const { page, errors, context } = await watchedPage(app, phone);
    await page.getByRole("button", { name: "New job" }).first().click();
    await expect.poll(() => new URL(page.url()).hash, { timeout: patience }).toMatch(/^#\/job\//);
    const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    await goTo(page, `${job}/camera`);
    await page.getByTestId("camera-guidance").waitFor();
    expect((await shown(page)).code).toBe("first-photo");

    await add(page, sheet(1, 2));
    expect(await shown(page)).toMatchObject({ code: "next-photo" });
    expect((await shown(page)).text).toContain("in the middle of the picture");

    // A photo without the sheet is named, and the instruction stays.
    await add(page, [`${folder}/photos/bay-01.jpg`]);
    expect((await shown(page)).code).toBe("next-photo");
    expect(await page.locator("main").textContent()).toContain("bay-01.jpg: the camera sheet");

    // All corners but the one that photo 8 shows.
    await add(page, sheet(3, 4, 5, 6, 7, 9, 10));
    expect((await shown(page)).text).toContain("bottom right");
    expect(await page.locator("main").textContent()).toMatch(/9 of at least 8/);

    await add(page, sheet(8, 11, 12));
    const last = await shown(page);
    expect(last.code).toBe("good-enough");
    expect(await page.locator("main").textContent()).toMatch(/0\.\d\d mm, aim 0\.20 mm/);

    // Stored with the job: there at once after a reload, without asking the engine again.
    await page.reload();
    await page.getByTestId("camera-guidance").waitFor();
    expect((await shown(page)).code).toBe("good-enough");
    expect(
      await page.getByTestId("camera-guidance").evaluate((box) => box.scrollWidth),
    ).toBeLessThan(390);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

/** A photo's small picture: the camera's own at once, turned as it was held; later a sharper one. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { withPreview } from "../tools/exif-writer.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";

const patience = 300_000;
let app: AppUnderTest;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "plumbshot-first-look-"));
  app = await startApp("first-look-test");
}, patience);
afterAll(async () => {
  await app?.close();
  rmSync(folder, { recursive: true, force: true });
});

test(
  "the camera's own small picture stands there until there is a sharper one",
  async () => {
    const small = writeFlatJpeg(160, 120, (column) => 10 * column);
    // Held upright: EXIF orientation 6 shows the stored picture turned by a quarter.
    const good = join(folder, "upright.jpg");
    const large = writeFlatJpeg(1600, 1200, (column) => column);
    writeFileSync(good, withPreview(large, small, 6));
    // No browser can decode this one, so that no sharper picture ever takes the place of its own.
    const damaged = join(folder, "damaged.jpg");
    writeFileSync(damaged, withPreview(Uint8Array.of(0xff, 0xd8, 0xff, 0xd9), small, 6));
    const { page, errors, context } = await watchedPage(app, phone);
    await page.getByRole("button", { name: "New job" }).first().click();
    await expect.poll(() => new URL(page.url()).hash, { timeout: patience }).toMatch(/^#\/job\//);
    const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    await goTo(page, `${job}/camera`);
    await page.getByTestId("add-sheet-photos").setInputFiles([damaged, good]);
    const sizeOf = (name: string) => async () => {
      const picture = page.getByTestId("photo").filter({ hasText: name }).locator("img");
      await picture.waitFor({ timeout: patience });
      return picture.evaluate((img) => [
        (img as HTMLImageElement).naturalWidth,
        (img as HTMLImageElement).naturalHeight,
      ]);
    };
    await expect.poll(sizeOf("upright.jpg"), { timeout: patience }).toEqual([300, 400]);
    expect(await sizeOf("damaged.jpg")()).toEqual([120, 160]);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

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
  "the camera's own small picture stands there before the photo is examined",
  async () => {
    const small = writeFlatJpeg(160, 120, (column) => 10 * column);
    const file = join(folder, "upright.jpg");
    // Held upright: EXIF orientation 6 shows the stored picture turned by a quarter.
    writeFileSync(
      file,
      withPreview(
        writeFlatJpeg(1600, 1200, (column) => column),
        small,
        6,
      ),
    );
    const { page, errors, context } = await watchedPage(app, phone);
    await page.getByRole("button", { name: "New job" }).first().click();
    await expect.poll(() => new URL(page.url()).hash, { timeout: patience }).toMatch(/^#\/job\//);
    const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    await goTo(page, `${job}/camera`);
    await page.getByTestId("add-sheet-photos").setInputFiles([file]);
    const picture = page.getByTestId("photo").locator("img");
    const size = () =>
      picture.evaluate((img) => [
        (img as HTMLImageElement).naturalWidth,
        (img as HTMLImageElement).naturalHeight,
      ]);
    await picture.waitFor({ timeout: patience });
    expect(await size()).toEqual([120, 160]);
    await expect.poll(size, { timeout: patience }).toEqual([300, 400]);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

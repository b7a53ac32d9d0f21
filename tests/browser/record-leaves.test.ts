/**
 * What leaves with a closed record: a place that was brushed over is gone from the PDF and the archive
 * of copies; the archive of originals holds them; the verifier says which is which.
 */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { decodePhoto } from "../../src/photo/decode.ts";
import { bytesAsSource } from "../../src/record/archive/byte-source.ts";
import { openArchive } from "../../src/record/archive/read-archive.ts";
import { hashOf } from "../../src/record/sha256.ts";
import { verifyArchive } from "../../src/record/verify/verify-archive.ts";
import { choosePhotos, closeRecord, demoAtRecord, make } from "../tools/record-in-app.ts";
import { desktop, startApp, watchedPage } from "./app-harness.ts";

let app: Awaited<ReturnType<typeof startApp>>;
let page: Page;
let errors: string[];
let foreign: string[];
/** Shares of the first photo. */
const drawers = { x: 0.455, y: 0.118 };
const folder = mkdtempSync(join(tmpdir(), "plumbshot-leaves-"));

beforeAll(async () => {
  app = await startApp("record-leaves");
  ({ page, errors, foreign } = await watchedPage(app, desktop));
  await demoAtRecord(page);
  await closeRecord(page);
}, 300_000);
afterAll(() => app?.close());

test("the PDF carries covered pictures only, once somebody has looked at them", {
  timeout: 300_000,
}, async () => {
  await page.getByTestId("revision-pdf").first().click();
  // Nobody has looked: there is no way to make it with photos.
  expect(await page.getByTestId("leaving-make").isDisabled()).toBe(true);
  await page.getByTestId("leaving-look").click();
  const shown = page.getByTestId("leaving").getByTestId("copies").locator("li");
  await shown.first().waitFor({ timeout: 180_000 });
  expect(await shown.count()).toBe(16);
  const first = shown.first().locator(".copy-photo");
  await first.scrollIntoViewIfNeeded();
  const box = (await first.boundingBox())!;
  // One touch on the drawers of the tool cabinet.
  await page.mouse.click(box.x + drawers.x * box.width, box.y + drawers.y * box.height);
  expect(await shown.first().getAttribute("data-faces")).toBe("1");
  const pdf = await make(page, "leaving-make");
  const file = join(folder, "record.pdf");
  writeFileSync(file, pdf.bytes);
  execFileSync("pdfimages", ["-all", file, join(folder, "picture")]);
  const pictures = readdirSync(folder).filter((name) => name.startsWith("picture"));
  expect(pictures.length).toBe(16);
  const [covered] = pictures.sort().map((name) => contrast(readFileSync(join(folder, name))));
  const original = contrast(readFileSync("sample-images/demo-job/photos/bay-01.jpg"));
  expect(original).toBeGreaterThan(100);
  // Even; the JPEG's own waves are left.
  expect(covered).toBeLessThan(12);
});

test("an archive of copies verifies, says that the photos are withheld, and carries no original", {
  timeout: 300_000,
}, async () => {
  await choosePhotos(page, "record-archive", "covered");
  const { bytes, name } = await make(page, "leaving-make");
  expect(name).toMatch(/record-copies\.zip$/);
  const { intact, findings, revisions } = await verifyArchive(bytesAsSource(bytes));
  expect(findings.filter(({ severity }) => severity === "fault")).toEqual([]);
  expect(intact).toBe(true);
  expect(findings.map(({ code }) => code)).toContain("finding.withheld");
  const originals = new Set(revisions[0].revision.content.photos.map(({ sha256 }) => sha256));
  const opened = await openArchive(bytesAsSource(bytes));
  const inside = opened!.files.map((file) => ({
    name: file.name,
    content: bytes.subarray(file.from, file.from + file.size),
  }));
  const copies = inside.filter((file) => file.name.startsWith("copies/"));
  expect(copies.length).toBe(16);
  expect(inside.filter(({ content }) => originals.has(hashOf(content)))).toEqual([]);
  for (const { content } of copies) expect(content.includes("Exif")).toBe(false);
});

test("the archive of originals has to be asked for by name, and measures to the same numbers", {
  timeout: 900_000,
}, async () => {
  await page.getByTestId("record-archive").click();
  // Nothing is chosen for the user.
  expect(await page.getByTestId("leaving-make").isDisabled()).toBe(true);
  await choosePhotos(page, "record-archive", "originals");
  const { bytes } = await make(page, "leaving-make");
  const { intact, findings } = await verifyArchive(bytesAsSource(bytes));
  expect(intact).toBe(true);
  expect(findings.map(({ code }) => code)).not.toContain("finding.withheld");
  // Another program in another engine: the command line, with nothing but the archive.
  const file = join(folder, "record.zip");
  writeFileSync(file, bytes);
  const said = execFileSync("npx", ["tsx", "src/cli/verify.ts", file, "--recompute"], {
    encoding: "utf8",
    timeout: 800_000,
  });
  expect(said).toMatch(/\d{3,} values compared, 0 different/);
  // The face detector says through console.error what it runs on.
  expect(errors.filter((line) => !line.startsWith("INFO:"))).toEqual([]);
  expect(foreign).toEqual([]);
});

/** Lightest less darkest grey of a small part of a JPEG, there where the drawers are in the first photo. */
function contrast(jpeg: Uint8Array): number {
  const decoded = decodePhoto(jpeg, "picture");
  if (!decoded.ok) throw new Error(decoded.remark.message);
  const { width, height, data } = decoded.luma;
  const greys: number[] = [];
  for (let y = Math.round((drawers.y - 0.02) * height); y < (drawers.y + 0.02) * height; y++) {
    for (let x = Math.round((drawers.x - 0.02) * width); x < (drawers.x + 0.02) * width; x++) {
      greys.push(data[y * width + x]);
    }
  }
  return greys.reduce((a, b) => Math.max(a, b)) - greys.reduce((a, b) => Math.min(a, b));
}

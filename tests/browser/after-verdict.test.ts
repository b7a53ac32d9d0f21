/**
 * What follows the first verdict, on one job: the stand moved and photographed again, the steps of a
 * sheet one after the other, photos after the run, another source of the lens. The sample has photos
 * of one set-up only. Photos of a moved stand are those again under another name; what they show is
 * projected from the renderer's truth with the stand's boards shifted, as detection would report it.
 */
import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { Vec3 } from "../../src/maths/pose.ts";
import { simulateSample } from "../tools/simulated-job.ts";
import {
  type AppUnderTest,
  goTo,
  phone,
  type ShownCheck,
  shownChecks,
  startApp,
  type WatchedPage,
  watchedPage,
} from "./app-harness.ts";
import { settledChecks } from "./same-numbers.ts";

const folder = "sample-images/demo-job";
const patience = 240_000;
/** Sample photos with the stand in view, from several sides. */
const standPhotos = ["bay-12", "bay-13", "bay-14", "bay-15", "bay-16"];

let app: AppUnderTest;
let watched: WatchedPage;
let page: Page;
let job: string;
let first: ShownCheck[];

beforeAll(async () => {
  app = await startApp("after-verdict-test");
  watched = await watchedPage(app, phone);
  page = watched.page;
  await page.getByTestId("demo").click();
  await page.getByTestId("outcome").first().waitFor({ timeout: patience });
  job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
}, patience);

afterAll(async () => {
  await app?.close();
});

/**
 * A sample photo again, taken on a later day by its EXIF, each mark on its own: with the old time it
 * would be a copy, which proves nothing.
 */
const marks: string[] = [];
const dayOf = (mark: string): string => {
  if (!marks.includes(mark)) marks.push(mark);
  return `2026:01:${18 + marks.indexOf(mark)}`;
};
const again = (name: string, mark: string) => {
  const photo = readFileSync(`${folder}/photos/${name}.jpg`).toString("latin1");
  const later = photo.replaceAll("2026:01:17", dayOf(mark));
  if (later === photo) throw new Error(`${name} does not say when it was taken.`);
  // Whatever follows the end of a JPEG is ignored, but it is another file.
  const buffer = Buffer.from(later + mark, "latin1");
  return { name: `${name}-${mark}.jpg`, mimeType: "image/jpeg", buffer };
};

async function addPhotos(mark: string): Promise<void> {
  const tiles = page.getByTestId("photo");
  const before = await tiles.count();
  await page
    .getByTestId("add-board-photos")
    .setInputFiles(standPhotos.map((name) => again(name, mark)));
  await expect.poll(() => tiles.count(), { timeout: patience }).toBe(before + standPhotos.length);
  await expect
    .poll(() => page.locator("[data-testid=photo][data-state=ok]").count(), { timeout: patience })
    .toBe(before + standPhotos.length);
}

/** Replaces what was found in the photos with this mark by a stand that is shifted (vehicle, mm). */
async function showStandShifted(mark: string, shift: Vec3): Promise<void> {
  const { photos } = simulateSample({ seed: 7, shifts: { 31: shift, 32: shift } });
  const found = standPhotos.map((name) => ({
    name: `${name}-${mark}.jpg`,
    boards: boardsOf(photos.find((photo) => nameOf(photo) === `${name}.jpg`)),
  }));
  await page.evaluate(async (replaced) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const done = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve) => {
        request.onsuccess = () => resolve(request.result);
      });
    const transaction = db.transaction(["photos", "outcomes", "results"], "readwrite");
    const outcomes = transaction.objectStore("outcomes");
    for (const photo of await done(transaction.objectStore("photos").getAll())) {
      const other = replaced.find((item) => item.name === photo.name);
      if (other) {
        const stored = await done(outcomes.get(photo.id));
        stored.outcome.findings.boards = other.boards.map((board) => ({
          ...board,
          boardPoints: Float64Array.from(board.boardPoints),
          pixels: Float64Array.from(board.pixels),
          outline: Float64Array.from(board.outline),
        }));
        outcomes.put(stored, photo.id);
      }
    }
    // Measured again from what was found.
    transaction.objectStore("results").delete(location.hash.split("/")[2]);
    await new Promise((resolve) => {
      transaction.oncomplete = resolve;
    });
    db.close();
  }, found);
  await page.reload();
}

const nameOf = (photo: PhotoOutcome): string => (photo.ok ? photo.findings.name : photo.name);

const boardsOf = (photo: PhotoOutcome | undefined) =>
  photo?.ok
    ? photo.findings.boards.map((board) => ({
        ...board,
        boardPoints: Array.from(board.boardPoints),
        pixels: Array.from(board.pixels),
        outline: Array.from(board.outline),
      }))
    : [];

/** How many results of left steps are stored, in all jobs. */
const keptSteps = (): Promise<number> =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const keys = db.transaction("results").objectStore("results").getAllKeys();
    await new Promise((resolve) => {
      keys.onsuccess = resolve;
    });
    db.close();
    return keys.result.filter((key) => String(key).endsWith("/step/near")).length;
  });

const verdicts = (checks: readonly ShownCheck[]): Record<string, string> =>
  Object.fromEntries(checks.map(({ id, verdict }) => [id, verdict]));
const measuredOf = (checks: readonly ShownCheck[], id: string): number => {
  const check = checks.find((item) => item.id === id);
  if (!check) throw new Error(`There is no check ${id}.`);
  return check.measured;
};

test("the first verdict", async () => {
  first = await settledChecks(page, patience);
  expect(Object.values(verdicts(first))).toContain("misses");
});

test(
  "a moved stand: no verdict until it is photographed; then its new place, and the car as before",
  async () => {
    await goTo(page, `${job}/placement/moves`);
    for (const _ of first.slice(0, 2)) {
      await page.getByRole("button", { name: "Done, next" }).click();
      // The next move is read first; a click at once would count as a slip of the finger.
      await page.waitForTimeout(350);
    }
    await page.getByRole("button", { name: "Done, photograph again" }).click();
    await page.getByTestId("stand-moved").waitFor();
    await goTo(page, job);
    await page.getByText("The stand was moved: photograph it where it stands now.").waitFor();
    expect(await page.getByTestId("outcome").count()).toBe(0);
    await goTo(page, `${job}/placement`);
    await page.getByTestId("stand-moved").waitFor();
    expect(await page.getByTestId("check").count()).toBe(0);
    // Pressed by mistake: everything as it was.
    await page.getByRole("button", { name: "It was not moved" }).click();
    expect(verdicts(await settledChecks(page, patience))).toEqual(verdicts(first));
    await page.getByRole("button", { name: "The stand was moved" }).click();
    await page.getByTestId("stand-moved").waitFor();
    await addPhotos("moved");
    await goTo(page, `${job}/placement`);
    await page.getByTestId("outcome").waitFor({ timeout: patience });
    const [dx, dy] = [-7.5, -23.6];
    await showStandShifted("moved", [dx, dy, 0]);
    await page.getByTestId("outcome").waitFor({ timeout: patience });
    const moved = await settledChecks(page, patience);
    // Where the truth says it stands now: moved back and to the right, turned as before.
    expect(
      Math.abs(measuredOf(moved, "distance") - measuredOf(first, "distance") - dx),
    ).toBeLessThan(1);
    expect(Math.abs(measuredOf(moved, "lateral") - measuredOf(first, "lateral") - dy)).toBeLessThan(
      1,
    );
    expect(Math.abs(measuredOf(moved, "yaw") - measuredOf(first, "yaw"))).toBeLessThan(0.03);
    expect(verdicts(moved)).toEqual({ ...verdicts(first), lateral: "meets" });
    await goTo(page, `${job}/photos`);
    await page.getByText("5 photos show it where it stands now").waitFor();
  },
  patience,
);

test(
  "the steps of a sheet one after the other; the record carries all of them",
  async () => {
    const sheet = JSON.parse(readFileSync(`${folder}/placement.json`, "utf8"));
    const [step] = sheet.steps;
    const wide = step.checks.map((check: { lowerDeviation: number; upperDeviation: number }) => ({
      ...check,
      lowerDeviation: 5 * check.lowerDeviation,
      upperDeviation: 5 * check.upperDeviation,
    }));
    const steps = [
      { ...step, id: "near", title: "Near board", checks: wide },
      { ...step, id: "far", title: "Far board" },
    ];
    await goTo(page, `${job}/placement/sheet`);
    await page.locator("summary", { hasText: "Another sheet" }).tap();
    const [chooser] = await Promise.all([
      page.waitForEvent("filechooser"),
      page.getByRole("button", { name: "Open a file" }).tap(),
    ]);
    await chooser.setFiles({
      name: "two-steps.json",
      mimeType: "application/json",
      buffer: Buffer.from(JSON.stringify({ ...sheet, steps })),
    });
    await page.getByText("The sheet is complete").waitFor();
    await goTo(page, `${job}/placement`);
    const stands = page.getByTestId("step-done");
    await stands.getByText("Step 1 of 2 stands right.").waitFor({ timeout: patience });
    await goTo(page, job);
    await page.getByText("This step stands right").waitFor();
    await goTo(page, `${job}/placement`);
    await stands.getByRole("button", { name: "Go on: Far board" }).tap();
    await page.getByTestId("stand-moved").waitFor();
    await addPhotos("second");
    await goTo(page, `${job}/placement`);
    await page.getByTestId("outcome").waitFor({ timeout: patience });
    expect(verdicts(await settledChecks(page, patience))).toEqual(verdicts(first));
    expect(await stands.count()).toBe(0);
    await goTo(page, `${job}/record`);
    await page.getByRole("heading", { name: "Step 2: Far board" }).waitFor();
    await page.getByRole("heading", { name: /^Near board, measured / }).waitFor();
    expect(await page.locator(".paper-checks li").count()).toBe(2 * first.length);
    // The step that was left goes along in the job's file and comes back from it.
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByTestId("export-job").tap(),
    ]);
    expect(await keptSteps()).toBe(1);
    await goTo(page, "#/");
    await page.getByTestId("import-job").setInputFiles(await download.path());
    await expect.poll(() => page.locator(".job-line").count(), { timeout: patience }).toBe(2);
    expect(await keptSteps()).toBe(2);
  },
  patience,
);

test(
  "photos after the run: nothing moved; then a stand that was pushed by 6 mm is found out",
  async () => {
    await goTo(page, `${job}/record`);
    await page.getByRole("link", { name: "Add photos after the run" }).tap();
    await page.getByText("Before anything is touched").waitFor();
    await addPhotos("after");
    await page.getByRole("heading", { name: "After the run, position 1" }).waitFor();
    await goTo(page, `${job}/record`);
    const stability = page.getByTestId("stability");
    await stability.getByText("nothing moved", { exact: true }).waitFor({ timeout: patience });
    await showStandShifted("after", [0, 6, 0]);
    await stability.getByText("moved", { exact: true }).waitFor({ timeout: patience });
    const rows = await stability.locator("dl > div").allTextContents();
    const movedRows = rows
      .filter((row) => /moved/.test(row))
      .map((row) => Number.parseInt(row, 10));
    expect(rows.length).toBeGreaterThan(4);
    expect(movedRows.sort()).toEqual([31, 32]);
    const printed = page.getByTestId("printed-record");
    await printed.getByText("Did anything move during the run?").waitFor();
  },
  patience,
);

test(
  "the lens from the job's own photos: the same verdicts, less sure; and back again",
  async () => {
    await goTo(page, `${job}/camera`);
    await page.locator("label", { hasText: "The job's own photos" }).tap();
    const status = page.getByTestId("stage-status");
    await status.getByText("lens from the job's own photos").waitFor();
    await goTo(page, `${job}/placement`);
    await page.getByTestId("work").waitFor();
    const own = await settledChecks(page, patience);
    expect(own.length).toBe(first.length);
    for (const [index, check] of own.entries()) {
      const { id, measured, standardUncertainty } = first[index];
      const allowed = 3 * Math.hypot(check.standardUncertainty, standardUncertainty);
      expect([id, Math.abs(check.measured - measured) < allowed]).toEqual([id, true]);
      expect([id, check.standardUncertainty > 0.9 * standardUncertainty]).toEqual([id, true]);
    }
    expect(verdicts(own)).toEqual(verdicts(first));
    await goTo(page, `${job}/camera`);
    await page.locator("label", { hasText: "Sheet photos" }).tap();
    await goTo(page, `${job}/placement`);
    await page.getByTestId("work").waitFor();
    expect(verdicts(await settledChecks(page, patience))).toEqual(verdicts(first));
  },
  patience,
);

test("all of it without an error and without a foreign request", async () => {
  expect(await shownChecks(page)).not.toEqual([]);
  expect(watched.errors).toEqual([]);
  expect(watched.foreign).toEqual([]);
});

/**
 * `npm run bench:soak [-- --quick] [--photos N] [--jobs N] [--kills N] [--seed N] [--save FILE]`
 * Where one of photos, jobs, kills is named only what is named is run. With a file each part is kept
 * as soon as it is done (kills by tens), so that the whole can be run in pieces: the last line counts
 * what stands in the file. The app in Chromium under load and with its page ended at random: 500 photos in one job, 1,000 jobs
 * in the store, 200 kills, also while the phone's camera is open over the page. The photos are small
 * (they count as photos; their size says nothing about 12 megapixels). The last line is one JSON
 * object:
 * - lost: what a page had shown as stored, or been given, and that is neither there nor asked for
 *   after it was killed; a job that cannot be opened; a photo without its bytes.
 * - peak_mb: largest resident memory of the page's process, its workers included, with the photos.
 * - list_ms: from the wish to see the list to its first lines, median of seven.
 */
import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { type AppUnderTest, goTo, phone, startApp } from "../browser/app-harness.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";
import { drawFrom, killPages } from "./soak-kills.ts";

const number = { type: "string" } as const;
const { values } = parseArgs({
  options: {
    quick: { type: "boolean", default: false },
    photos: number,
    jobs: number,
    kills: number,
    seed: number,
    save: { type: "string" },
  },
});
const parts = ["photos", "jobs", "kills"] as const;
const all = parts.every((part) => values[part] === undefined);
const usual = values.quick ? [60, 200, 12] : [500, 1000, 200];
const [photos, jobs, kills] = parts.map((part, at) =>
  Number(values[part] ?? (all ? usual[at] : 0)),
);

if (values.seed) drawFrom(Number(values.seed));

/** Different small photos, as files: the same picture twice would be refused. */
function writePhotos(folder: string, count: number): string[] {
  return Array.from({ length: count }, (_, at) => {
    const file = join(folder, `IMG_${String(at).padStart(4, "0")}.jpg`);
    writeFileSync(
      file,
      writeFlatJpeg(640, 480, (column, row) => (column * 3 + row * (5 + (at >> 8)) + at * 7) % 256),
    );
    return file;
  });
}

/** Puts jobs with whole results into the store, as if they had been measured here. */
async function fillStore(app: AppUnderTest, count: number) {
  const context = await app.browser.newContext(phone);
  const page = await context.newPage();
  await page.goto(app.url);
  await page.getByTestId("new-job").waitFor();
  await page.evaluate(
    async ([record, result, wanted]) => {
      const db = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
      });
      const transaction = db.transaction(["jobs", "results"], "readwrite");
      for (let at = 0; at < wanted; at++) {
        const id = `soak-${at}`;
        const updatedAt = new Date(1.7e12 + at * 1e6).toISOString();
        const title = `Job ${at}`;
        transaction.objectStore("jobs").put({ ...record, id, title, updatedAt }, id);
        transaction.objectStore("results").put({ inputs: "before", result }, id);
      }
      await new Promise((resolve) => {
        transaction.oncomplete = resolve;
      });
      db.close();
    },
    [inventedJob(), inventedResult, count] as const,
  );
  return { context, page };
}

async function listTimes(app: AppUnderTest) {
  const { context, page } = await fillStore(app, jobs);
  const line = page.locator(".job-line").first();
  const firstStart = performance.now();
  await page.reload();
  await line.waitFor({ timeout: 120_000 });
  const first = performance.now() - firstStart;
  const times: number[] = [];
  for (let round = 0; round < 7; round++) {
    await goTo(page, "#/settings");
    times.push(
      await page.evaluate(async () => {
        const start = performance.now();
        window.location.hash = "#/";
        while (!document.querySelector(".job-line")) {
          await new Promise((resolve) => requestAnimationFrame(resolve));
        }
        return performance.now() - start;
      }),
    );
  }
  const drawn = await page.locator(".job-line").count();
  const started = performance.now();
  await page.reload();
  await line.waitFor();
  const reload = performance.now() - started;
  await context.close();
  times.sort((a, b) => a - b);
  console.log(
    `${jobs} jobs: list in ${times.map((ms) => ms.toFixed(0)).join(", ")} ms, ${drawn} lines drawn; ` +
      `page loaded anew ${reload.toFixed(0)} ms; entries made for all jobs once ${first.toFixed(0)} ms`,
  );
  return times[3];
}

/** Peak resident memory of a process, MB; Linux counts it. */
function peakMb(pid: number): number {
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  return Number(/VmHWM:\s+(\d+) kB/.exec(status)?.[1]) / 1000;
}

/** So long without a further photo is the end. */
const patienceMs = 60_000;

async function manyPhotos(app: AppUnderTest, files: readonly string[]) {
  const session = await app.browser.newBrowserCDPSession();
  const renderers = async (): Promise<number[]> => {
    const { processInfo } = await session.send("SystemInfo.getProcessInfo");
    return processInfo.filter(({ type }) => type === "renderer").map(({ id }) => id);
  };
  const before = new Set(await renderers());
  const context = await app.browser.newContext(phone);
  const page = await context.newPage();
  await page.goto(app.url);
  await page.getByTestId("new-job").click();
  await page.getByTestId("job-title").fill("Many photos");
  await goTo(page, `${new URL(page.url()).hash.replace("/car", "")}/photos`);
  const start = performance.now();
  await page.getByTestId("add-board-photos").setInputFiles([...files]);
  let stored = 0;
  let patience = Date.now() + patienceMs;
  const ids = new Set<number>();
  const half: { at: number; ms: number }[] = [];
  while (Date.now() < patience) {
    await page.waitForTimeout(500);
    for (const id of await renderers()) if (!before.has(id)) ids.add(id);
    const now = await countOf(page, "outcomes");
    if (now > stored) patience = Date.now() + patienceMs;
    stored = now;
    if (stored >= files.length / 2 && half.length === 0) {
      half.push({ at: stored, ms: performance.now() - start });
    }
    if (stored >= files.length) break;
  }
  const seconds = (performance.now() - start) / 1000;
  const drawn = await page.getByTestId("photo").count();
  await page.reload();
  await page.getByTestId("add-board-photos").waitFor({ state: "attached" });
  const peak = Math.max(...[...ids].map(peakMb));
  const firstHalf = half[0] ? `, half of them after ${(half[0].ms / 1000).toFixed(0)} s` : "";
  console.log(
    `${stored} of ${files.length} photos stored and examined in ${seconds.toFixed(0)} s${firstHalf}; ` +
      `${drawn} tiles drawn; page's process at most ${peak.toFixed(0)} MB`,
  );
  await context.close();
  return { stored, peak };
}

const countOf = (page: import("playwright-core").Page, store: string): Promise<number> =>
  page.evaluate(async (name) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const request = db.transaction(name).objectStore(name).count();
    await new Promise((resolve) => {
      request.onsuccess = resolve;
    });
    db.close();
    return request.result;
  }, store);

const folder = mkdtempSync(join(tmpdir(), "soak-"));
mkdirSync(join(folder, "photos"));
const files = writePhotos(join(folder, "photos"), Math.max(photos, 40));
const app = await startApp(`soak-${process.pid}`);

/** What one part found. */
interface Part {
  readonly photos?: number;
  readonly jobs?: number;
  readonly kills?: number;
  readonly lost?: number;
  readonly peak_mb?: number;
  readonly list_ms?: number;
}
const kept: Part[] =
  values.save && existsSync(values.save)
    ? readFileSync(values.save, "utf8")
        .split("\n")
        .filter(Boolean)
        .map((line) => JSON.parse(line))
    : [];
const keep = (part: Part): void => {
  kept.push(part);
  if (values.save) appendFileSync(values.save, `${JSON.stringify(part)}\n`);
};
const sum = (what: keyof Part): number =>
  kept.reduce((total, part) => total + (part[what] ?? 0), 0);
const worst = (what: keyof Part): number | null => {
  const known = kept.flatMap((part) => part[what] ?? []);
  return known.length > 0 ? Math.round(Math.max(...known)) : null;
};

try {
  // The kills first: what they find matters most, and they end browsers.
  if (kills > 0) await killPages(app, files.slice(0, 40), kills, keep);
  if (jobs > 0) keep({ jobs, list_ms: await listTimes(app) });
  if (photos > 0) {
    const { stored, peak } = await manyPhotos(app, files.slice(0, photos));
    keep({ photos: stored, peak_mb: peak });
  }
  console.log(
    JSON.stringify({
      photos: worst("photos") ?? 0,
      jobs: worst("jobs") ?? 0,
      kills: sum("kills"),
      lost: sum("lost"),
      peak_mb: worst("peak_mb"),
      list_ms: worst("list_ms"),
    }),
  );
} finally {
  await app.close();
  rmSync(folder, { recursive: true, force: true });
}

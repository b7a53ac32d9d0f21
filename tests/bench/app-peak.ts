/**
 * Memory of the whole job: the demonstration's sheet photos, then 20 bay photos of 12 megapixels, until
 * the verdict stands, the plan is made and every photo has its small picture. In a page that nobody
 * listens to (`bare-page.ts`).
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { type AppUnderTest, phone } from "../browser/app-harness.ts";
import { recordMemory, regionsOf } from "./app-memory.ts";
import { type BarePage, megabytesOf, openBarePage } from "./bare-page.ts";

export interface Peak {
  /** Resident memory at its largest: the browser's own program pages, some 135 MB, included. */
  readonly residentMb: number;
  /** What the page made for itself, without the program: anonymous and shared memory. */
  readonly ownMb: number;
  readonly story: readonly string[];
}

const bayPhotos = 20;
/** Time for picking photos, and for whatever still goes on at the end, ms. */
const pickingMs = 4000;
const afterwardsMs = 6000;
/** So long after the bay photos are stored, they are being examined. */
const amidstMs = 3000;

export async function peakOfWholeJob(
  app: AppUnderTest,
  job: Uint8Array,
  sheet: readonly string[],
  boards: readonly string[],
  parts = false,
): Promise<Peak> {
  const place = resolve(".cache/bench-app-photos");
  mkdirSync(place, { recursive: true });
  writeFileSync(`${place}/job.zip`, job);
  const recording = parts ? await recordMemory(app.browser) : null;
  const page = await openBarePage(app.browser, app.url, phone.viewport as never);
  const watch = watchMemory(page.pid);
  const course = parts ? followCourse(page) : null;
  const hash = await importJob(page, `${place}/job.zip`);
  watch.say("workers start");
  await pause(pickingMs);
  watch.say("workers ready");
  await page.setFiles(
    "[data-testid=add-sheet-photos]",
    sheet.map((name) => resolve(name)),
  );
  await page.evaluate(`location.hash = "${hash}/photos"`);
  await page.setFiles("[data-testid=add-board-photos]", manyPhotos(place, boards));
  if (recording) {
    await page.until(`document.querySelectorAll("[data-testid=photo]").length === ${bayPhotos}`);
    await pause(amidstMs);
    await recording.dump();
  }
  await page.until(
    `document.querySelectorAll("[data-testid=photo]").length === ${bayPhotos} &&
      !document.querySelector("[data-testid=work]")`,
    300_000,
  );
  watch.say("photos examined");
  await page.evaluate(`location.hash = "${hash}/placement"`);
  await page.until(
    `document.querySelectorAll("[data-testid=check]").length > 0 &&
      !document.querySelector("[data-testid=work], [data-testid=stale]")`,
    300_000,
  );
  watch.say("verdict");
  await page.evaluate(`location.hash = "${hash}/photos"`);
  await pause(afterwardsMs);
  watch.say("quiet");
  const story = [...((await course?.()) ?? [])];
  if (recording) story.push(...(await partsAtEnd(page, recording)));
  const peak = watch.stop();
  await page.close();
  return { ...peak, story: [...peak.story, ...story] };
}

async function importJob(page: BarePage, file: string): Promise<string> {
  await page.setFiles("[data-testid=import-job]", [file]);
  await page.until("document.querySelector('.job-line a')");
  await page.evaluate("document.querySelector('.job-line a').click()");
  await page.until("document.querySelector('[data-testid=stage-camera]')");
  const hash = (await page.evaluate<string>("location.hash")).split("/").slice(0, 3).join("/");
  await page.evaluate(`location.hash = "${hash}/camera"`);
  await page.until("document.querySelector('[data-testid=add-sheet-photos]')");
  return hash;
}

/** Bytes after the end of a JPEG are ignored; they make every copy another file. */
const manyPhotos = (place: string, boards: readonly string[]): string[] =>
  Array.from({ length: bayPhotos }, (_, index) => {
    const copy = `${place}/copy-${index}.jpg`;
    const bytes = readFileSync(boards[index % boards.length]);
    writeFileSync(copy, Buffer.concat([bytes, Buffer.from(`copy ${index}`)]));
    return copy;
  });

function watchMemory(pid: number) {
  let [resident, own, highest] = [0, 0, 0];
  const story: string[] = [];
  const start = Date.now();
  const seconds = (): number => (Date.now() - start) / 1000;
  const look = () => {
    const at = megabytesOf(pid);
    if (at.now > resident) highest = seconds();
    resident = Math.max(resident, at.now);
    own = Math.max(own, at.own);
  };
  const timer = setInterval(look, 50);
  return {
    say: (what: string) => {
      look();
      const { now, own: present } = megabytesOf(pid);
      story.push(
        `${what} (${seconds().toFixed(1)} s): ${now.toFixed(0)} MB, own ${present.toFixed(0)}; ` +
          `so far at most ${resident.toFixed(0)}, own ${own.toFixed(0)} (${highest.toFixed(1)} s)`,
      );
    },
    stop: (): Peak => {
      clearInterval(timer);
      return { residentMb: resident, ownMb: own, story };
    },
  };
}

/** Every half second: own memory, and what page and workers hold of it. */
function followCourse(page: BarePage): () => Promise<string[]> {
  const lines: string[] = [];
  const start = Date.now();
  let going = true;
  const ended = (async () => {
    while (going) {
      const heaps = await page.heaps();
      const seconds = ((Date.now() - start) / 1000).toFixed(1);
      lines.push(
        `${seconds} s, own ${megabytesOf(page.pid).own.toFixed(0)} MB: ${heaps.join("; ")}`,
      );
      await pause(500);
    }
  })();
  return async () => {
    going = false;
    await ended;
    return lines;
  };
}

async function partsAtEnd(
  page: BarePage,
  recording: Awaited<ReturnType<typeof recordMemory>>,
): Promise<string[]> {
  await recording.dump();
  return [...regionsOf(page.pid), await recording.stop(page.pid)];
}

const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

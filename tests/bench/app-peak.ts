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
  const story = recording ? await partsAtEnd(page, recording) : [];
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
  let [resident, own] = [0, 0];
  const story: string[] = [];
  const look = () => {
    const at = megabytesOf(pid);
    resident = Math.max(resident, at.now);
    own = Math.max(own, at.own);
  };
  const timer = setInterval(look, 50);
  return {
    say: (what: string) => {
      look();
      const { now, own: present } = megabytesOf(pid);
      story.push(
        `${what}: ${now.toFixed(0)} MB, own ${present.toFixed(0)}; ` +
          `so far at most ${resident.toFixed(0)}, own ${own.toFixed(0)}`,
      );
    },
    stop: (): Peak => {
      clearInterval(timer);
      return { residentMb: resident, ownMb: own, story };
    },
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

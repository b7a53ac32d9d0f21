/** Ends the app's page at random moments and looks at what is there when it is opened again. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import type { Page } from "playwright-core";
import { type AppUnderTest, goTo } from "../browser/app-harness.ts";
import { type OwnBrowser, startBrowser } from "./soak-browser.ts";

/** What the harness knows of one job: shown as stored, given to the page, typed. */
interface Known {
  readonly hash: string;
  readonly shown: Set<string>;
  readonly given: Set<string>;
  /** Put aside and perhaps taken back in the same life of the page. */
  readonly unsure: Set<string>;
  titles: string[];
}

interface Stored {
  readonly title: string | null;
  readonly photos: readonly { readonly name: string; readonly hasBytes: boolean }[];
  readonly asked: readonly string[];
  readonly cameraOpen: boolean;
}

/** One generator for all choices, so that a run can be had again (Numerical Recipes' LCG). */
let state = 20261130;
/** Another run of choices. */
export const drawFrom = (seed: number): void => {
  state = seed;
};
const random = (): number => {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return state / 2 ** 32;
};

/** Each how many kills end the whole browser instead of the page. */
const wholeBrowserEach = 20;
/** Each how many lives of the page may load the vision code. */
const examiningEach = 5;
const longestLifeMs = 900;
/** What takes longer than this has lost its page, and the whole browser goes. */
const stepPatienceMs = 90_000;

/** So many kills make a job; what they found is told by then. */
const killsOfAJob = 10;

/** Prints what was lost as it is found; tells `tell` what every ten kills came to. */
export async function killPages(
  app: AppUnderTest,
  files: readonly string[],
  kills: number,
  tell: (part: { kills: number; lost: number }) => void,
): Promise<void> {
  const profile = mkdtempSync(join(tmpdir(), "soak-profile-"));
  let lost = 0;
  let told = { kills: 0, lost: 0 };
  const ways: Record<string, number> = {};
  const done = { given: 0, shown: 0 };
  let browser = await startBrowser(profile);
  const begin = async (): Promise<void> => {
    browser.kill();
    browser = await startBrowser(profile);
  };
  /** A step that may lose its page: tried again in a new browser, never waited for without end. */
  const surely = async <T>(work: () => Promise<T>): Promise<T> => {
    for (let tries = 0; tries < 3; tries++) {
      const answer = await within(work());
      if (answer !== null) return answer;
      ways.stuck = (ways.stuck ?? 0) + 1;
      await begin();
    }
    throw new Error("The app could not be opened in three new browsers.");
  };
  let job: Known | null = null;
  let killed = 0;
  try {
    for (; killed < kills; killed++) {
      const known: Known =
        !job || killed % killsOfAJob === 0 ? await surely(() => newJob(browser, app)) : job;
      job = known;
      const page = await surely(() =>
        openJob(browser, app, known.hash, killed % examiningEach === 0),
      );
      const [shownBefore, givenBefore] = [known.shown.size, known.given.size];
      await within(watch(page, known));
      void live(page, known, files).catch(() => undefined);
      await new Promise((resolve) => setTimeout(resolve, random() * longestLifeMs));
      const whole = killed % wholeBrowserEach === wholeBrowserEach - 1;
      const how = whole ? null : await within(endPage(browser, page));
      if (how === null) await begin();
      ways[how ?? "browser"] = (ways[how ?? "browser"] ?? 0) + 1;
      done.shown += known.shown.size - shownBefore;
      done.given += known.given.size - givenBefore;
      const faults = await surely(() => inspect(browser, app, known));
      lost += faults.length;
      for (const fault of faults) console.log(`kill ${killed + 1} (${how ?? "browser"}): ${fault}`);
      const count = killed + 1;
      if (count % killsOfAJob !== 0 && count < kills) continue;
      tell({ kills: count - told.kills, lost: lost - told.lost });
      told = { kills: count, lost };
      console.log(`${count} kills, ${lost} lost`);
    }
  } finally {
    browser.kill();
    rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  }
  console.log(
    `${killed} kills: ${JSON.stringify(ways)}; until then ${done.given} photos given, ${done.shown} shown`,
  );
}

/** Null where it fails or takes longer than any of this should. */
const within = <T>(work: Promise<T>): Promise<T | null> =>
  Promise.race([
    work.catch((error) => {
      console.log(`step failed: ${String(error).split("\n")[0]}`);
      return null;
    }),
    new Promise<null>((resolve) => setTimeout(() => resolve(null), stepPatienceMs).unref()),
  ]);

async function newJob(browser: OwnBrowser, app: AppUnderTest): Promise<Known> {
  const page = await browser.newPage();
  await page.goto(app.url);
  await page.getByTestId("new-job").click();
  await page.getByTestId("job-title").fill("Soak 0");
  const hash = new URL(page.url()).hash.replace("/car", "");
  await page.waitForTimeout(300);
  await browser.closePage(page);
  return { hash, shown: new Set(), given: new Set(), unsure: new Set(), titles: ["Soak 0"] };
}

async function openJob(
  browser: OwnBrowser,
  app: AppUnderTest,
  hash: string,
  examine: boolean,
): Promise<Page> {
  const page = await browser.newPage();
  // The name that the TypeScript loader gives to functions that are sent to the page.
  await page.addInitScript("globalThis.__name = (made) => made;");
  if (!examine) await page.route(/vision-worker/, (route) => route.abort());
  await page.goto(`${app.url}${hash}/photos`);
  await page.getByTestId("add-board-photos").waitFor({ state: "attached" });
  return page;
}

/** Every photo that the page shows is told at once: it counts as stored from then on. */
async function watch(page: Page, job: Known): Promise<void> {
  await page.exposeBinding("shownPhoto", (_source, name: string) => {
    job.shown.add(name);
  });
  await page.evaluate(() => {
    const told = new Set<string>();
    const look = () => {
      for (const tile of document.querySelectorAll(".photo-tile-name")) {
        const name = tile.textContent ?? "";
        if (!told.has(name)) {
          told.add(name);
          (globalThis as unknown as { shownPhoto(name: string): void }).shownPhoto(name);
        }
      }
    };
    look();
    new MutationObserver(look).observe(document.body, { childList: true, subtree: true });
  });
}

/** What a technician does until the page is gone; ends with an error when it is. */
async function live(page: Page, job: Known, files: readonly string[]): Promise<void> {
  for (;;) {
    const choice = random();
    if (choice < 0.5) {
      await addPhotos(page, job, files, choice < 0.15);
    } else if (choice < 0.6) {
      // The phone's camera lies over the page until the page is killed.
      await page.getByRole("button", { name: "Take a photo" }).click();
      await page.waitForEvent("close", { timeout: 0 });
      return;
    } else if (choice < 0.8) {
      await type(page, job);
    } else {
      await removeAndUndo(page, job);
    }
  }
}

async function addPhotos(page: Page, job: Known, files: readonly string[], byCamera: boolean) {
  const left = files.filter((file) => !job.given.has(basename(file)));
  const chosen = left.slice(0, byCamera ? 1 : 1 + Math.floor(random() * 4));
  const name = byCamera ? "Take a photo" : "Choose photos";
  const [chooser] = await Promise.all([
    page.waitForEvent("filechooser"),
    page.getByRole("button", { name }).click(),
  ]);
  if (chosen.length === 0) return;
  // As long as a finger takes to choose.
  await page.waitForTimeout(60);
  await chooser.setFiles(chosen);
  // From here on the page has been told; before, only the person knows of the choice.
  for (const file of chosen) job.given.add(basename(file));
  await page.waitForTimeout(random() * 200);
}

async function type(page: Page, job: Known): Promise<void> {
  await goTo(page, `${job.hash}/car`);
  const title = `Soak ${Math.floor(random() * 1e9)}`;
  job.titles.push(title);
  await page.getByTestId("job-title").fill(title);
  await goTo(page, `${job.hash}/photos`);
}

async function removeAndUndo(page: Page, job: Known): Promise<void> {
  const bin = page.locator(".photo-tile-bin").first();
  if ((await bin.count()) === 0) return;
  const name = await page.locator(".photo-tile-name").first().textContent();
  job.unsure.add(name ?? "");
  await bin.click();
  await page.getByTestId("undo").click();
  job.unsure.delete(name ?? "");
}

/** Ends the page as a phone does: closed, or its process gone. */
async function endPage(browser: OwnBrowser, page: Page): Promise<"process" | "closed"> {
  const crash = random() < 0.5;
  if (crash) await browser.crashPage(page);
  await browser.closePage(page);
  return crash ? "process" : "closed";
}

/** Opens the job again and says what is missing. */
async function inspect(browser: OwnBrowser, app: AppUnderTest, job: Known): Promise<string[]> {
  const faults: string[] = [];
  const page = await openJob(browser, app, job.hash, false);
  try {
    // Photos that were put aside when the page ended are offered back.
    await page.waitForTimeout(100);
    const undo = page.getByTestId("undo");
    if ((await undo.count()) > 0) await undo.click();
    await page.waitForTimeout(100);
    const stored = await readStore(page, job.hash.split("/")[2]);
    const asked = (await page.getByTestId("missed").count()) > 0;
    const names = new Set(stored.photos.map(({ name }) => name));
    if (stored.title === null) faults.push("the job is gone");
    else if (!job.titles.slice(-2).includes(stored.title)) {
      faults.push(`the title is "${stored.title}" instead of one of ${job.titles.slice(-2)}`);
    }
    for (const name of job.shown)
      if (!names.has(name)) faults.push(`${name} was shown and is gone`);
    for (const { name, hasBytes } of stored.photos) {
      if (!hasBytes) faults.push(`${name} has no bytes`);
    }
    const text = (asked && (await page.getByTestId("missed").textContent())) || "";
    for (const name of job.given) {
      if (!names.has(name) && !text.includes(name) && !stored.cameraOpen) {
        faults.push(`${name} was given and is neither there nor asked for`);
      }
    }
    // From here on the harness knows what is there.
    job.given.clear();
    for (const name of names) job.given.add(name);
    job.titles = [stored.title ?? ""];
    if (asked) await page.getByTestId("missed").getByRole("button").click();
    await page.waitForTimeout(50);
  } finally {
    await browser.closePage(page);
  }
  return faults;
}

const readStore = (page: Page, id: string): Promise<Stored> =>
  page.evaluate(async (jobId) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const transaction = db.transaction(["jobs", "photos", "photoBytes", "intake"]);
    const answer = <T>(request: IDBRequest): Promise<T> =>
      new Promise((resolve) => {
        request.onsuccess = () => resolve(request.result as T);
      });
    const job = await answer<{ title: string } | undefined>(
      transaction.objectStore("jobs").get(jobId),
    );
    const intake = await answer<{ names: string[]; cameraOpen: boolean } | undefined>(
      transaction.objectStore("intake").get(jobId),
    );
    const photos = await answer<{ id: string; name: string; removed: boolean }[]>(
      transaction.objectStore("photos").index("jobId").getAll(jobId),
    );
    const kept = [];
    for (const { id, name, removed } of photos) {
      const bytes = await answer<Blob | undefined>(transaction.objectStore("photoBytes").get(id));
      if (!removed) kept.push({ name, hasBytes: (bytes?.size ?? 0) > 0 });
    }
    db.close();
    return {
      title: job?.title ?? null,
      photos: kept,
      asked: intake?.names ?? [],
      cameraOpen: intake?.cameraOpen ?? false,
    };
  }, id);

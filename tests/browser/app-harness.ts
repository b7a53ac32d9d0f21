import { readFileSync, rmSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from "playwright-core";
import { inventedJob } from "../../src/app/fixtures/invented-job.ts";
import { inputsDigest } from "../../src/app/state/inputs.ts";
import type { JobState } from "../../src/app/state/job-state.ts";
import type { JobRecord } from "../../src/app/store/database/schema.ts";
import { type Served, staticFiles } from "../../src/cli/server/static-files.ts";
import { chromiumFlags, ensureChromium } from "../tools/debian.ts";
import { buildApp } from "./built-app.ts";

const root = join(import.meta.dirname, "../..");

export const phone: BrowserContextOptions = {
  viewport: { width: 390, height: 844 },
  deviceScaleFactor: 2,
  hasTouch: true,
  isMobile: true,
  locale: "en-GB",
};
export const desktop: BrowserContextOptions = {
  viewport: { width: 1280, height: 900 },
  locale: "en-GB",
};

/** The built app on a local port, with the headers it is written for, and a browser. */
export interface AppUnderTest {
  readonly url: string;
  /** Where the built files lie. */
  readonly folder: string;
  readonly browser: Browser;
  close(): Promise<void>;
}

/**
 * Builds the app into a folder of its own (test files run side by side) and serves it. `localhost`
 * is a name that browsers treat as secure, so that service workers are available; any other is not.
 * `served` may be changed later: every answer looks at it anew.
 */
export async function startApp(
  name: string,
  host = "localhost",
  served?: Served,
  flags: readonly string[] = [],
): Promise<AppUnderTest> {
  const outDir = join(root, ".cache", name);
  rmSync(outDir, { recursive: true, force: true });
  await buildApp(outDir);
  const server: Server = createServer(staticFiles(outDir, served));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  const browser = await chromium.launch({
    executablePath: ensureChromium(),
    args: [...chromiumFlags, ...flags, `--host-resolver-rules=MAP ${host} 127.0.0.1`],
  });
  return {
    folder: outDir,
    url: `http://${host}:${port}/`,
    browser,
    close: async () => {
      await browser.close();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** A page whose errors and requests are all written down. */
export interface WatchedPage {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Console errors, uncaught errors and failed requests. */
  readonly errors: string[];
  /** Addresses outside the app's own origin. */
  readonly foreign: string[];
}

export async function watchedPage(
  app: AppUnderTest,
  options: BrowserContextOptions,
): Promise<WatchedPage> {
  const context = await app.browser.newContext(options);
  const errors: string[] = [];
  const foreign: string[] = [];
  const origin = new URL(app.url).origin;
  context.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(origin) && !/^(blob|data):/.test(url)) {
      foreign.push(url);
    }
  });
  context.on("console", (message) => {
    if (message.type() === "error") {
      errors.push(message.text());
    }
  });
  context.on("weberror", (error) => errors.push(error.error().message));
  const page = await context.newPage();
  await page.goto(app.url);
  return { page, context, errors, foreign };
}

/** What a screen says about every check, at full precision. */
export interface ShownCheck {
  readonly id: string;
  readonly verdict: string;
  readonly measured: number;
  readonly standardUncertainty: number;
  readonly expandedUncertainty: number;
}

export async function shownChecks(page: Page): Promise<ShownCheck[]> {
  return page.locator("[data-testid=check]").evaluateAll((elements) =>
    elements.map((element) => {
      const data = (element as HTMLElement).dataset;
      return {
        id: data.id ?? "",
        verdict: data.verdict ?? "",
        measured: Number(data.measured),
        standardUncertainty: Number(data.standardUncertainty),
        expandedUncertainty: Number(data.expandedUncertainty),
      };
    }),
  );
}

/** The invented job of the screens with the placement sheet of the demonstration. */
export function jobWithDemoSheet(): JobRecord {
  const job = inventedJob();
  job.placement.sheet = JSON.parse(
    readFileSync("sample-images/demo-job/placement.json", "utf8"),
  ) as unknown;
  return job;
}

/** Puts a job without photos and its result, which counts as the present one, into the page's own database. */
export async function storeJob(page: Page, job: { id: string }, result: unknown): Promise<void> {
  await page.evaluate(
    async ([record, stored, inputs]) => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
      const transaction = db.transaction(["jobs", "results", "listings"], "readwrite");
      // The list reads the job anew.
      transaction.objectStore("listings").delete((record as { id: string }).id);
      transaction.objectStore("jobs").put(record, (record as { id: string }).id);
      transaction
        .objectStore("results")
        .put({ inputs, result: stored }, (record as { id: string }).id);
      await new Promise((resolve) => {
        transaction.oncomplete = resolve;
      });
      db.close();
    },
    [job, result, result === null ? "" : inputsOf(job as JobRecord)] as const,
  );
}

const { version } = JSON.parse(readFileSync(join(root, "package.json"), "utf8")) as {
  version: string;
};

const inputsOf = (record: JobRecord): string => {
  const state = {
    record,
    photos: [],
    outcomes: new Map(),
    camera: null,
    profile: null,
    otherLenses: [],
  };
  return inputsDigest(state as unknown as JobState, version);
};

/** Goes to a place of the app and waits until its screen stands. */
export async function goTo(page: Page, hash: string): Promise<void> {
  await page.evaluate((place) => {
    window.location.hash = place;
  }, hash);
  await page.locator("main h1, main h2, main .move-big").first().waitFor();
  await page.evaluate(() => document.fonts.ready);
}

/** Waits until nothing is added to the screen any more: parts of it are loaded when they are needed. */
export async function settled(page: Page): Promise<void> {
  const parts = () => page.evaluate(() => document.querySelectorAll("main *").length);
  for (let [before, now] = [-1, await parts()]; now < 20 || now !== before; ) {
    await page.waitForTimeout(400);
    [before, now] = [now, await parts()];
  }
}

/** How far the page sticks out of the window to the right, px. */
export const overflow = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/** The jobs as the browser has stored them. */
export const storedJobs = <Job>(page: Page): Promise<Job[]> =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const all = db.transaction("jobs").objectStore("jobs").getAll();
    await new Promise((resolve) => {
      all.onsuccess = resolve;
    });
    db.close();
    return all.result;
  });

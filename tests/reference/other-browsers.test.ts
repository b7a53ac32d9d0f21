/**
 * The app in Debian's Firefox and in WebKitGTK, whose engine every iPhone uses: the demo job from
 * the first screen to verdict, record and job file, a photo through the file input, every stage on
 * a phone and a desktop, and a start without the network. The numbers are those of the command line
 * in Node.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { stages } from "../../src/app/context/routes.ts";
import { staticFiles } from "../../src/cli/server/static-files.ts";
import type { Result } from "../../src/job/result/result.ts";
import type { ShownCheck } from "../browser/app-harness.ts";
import { buildApp } from "../browser/built-app.ts";
import { commandLineResult, expectSameNumbers } from "../browser/same-numbers.ts";
import { startFirefox } from "../tools/firefox-driver.ts";
import type { DrivenPage } from "../tools/webdriver.ts";
import { startWebKit } from "../tools/webkit-driver.ts";

const folder = "sample-images/demo-job";
const patience = 180_000;
const place = mkdtempSync(join(tmpdir(), "plumbshot-browsers-"));
const built = join(place, "app");

let expected: Result;

beforeAll(async () => {
  [expected] = await Promise.all([commandLineResult(folder), buildApp(built)]);
}, patience);

afterAll(() => rmSync(place, { recursive: true, force: true }));

interface Browser {
  readonly page: DrivenPage;
  errors(origin: string): Promise<readonly string[]>;
}

const browsers: Record<string, (downloads: string) => Promise<Browser>> = {
  Firefox: (downloads) =>
    startFirefox({ "browser.download.folderList": 2, "browser.download.dir": downloads }),
  WebKit: async (downloads) => {
    const page = await startWebKit(downloads);
    // Its driver hands over no console: what the page itself hears of uncaught errors.
    return { page, errors: () => page.run<string[]>("return window.heard") };
  },
};

describe.each(Object.keys(browsers))("%s", (name) => {
  const downloads = mkdtempSync(join(place, "downloads-"));
  let server: Server;
  let origin: string;
  let browser: Browser;
  let page: DrivenPage;
  let job: string;

  beforeAll(async () => {
    server = createServer(staticFiles(built));
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    origin = `http://localhost:${(server.address() as AddressInfo).port}`;
    browser = await browsers[name](downloads);
    page = browser.page;
    console.log(`${name} ${page.version}`);
    await page.resize(390, 844);
    await page.go(`${origin}/`);
    await listen();
  }, patience);

  afterAll(async () => {
    await page?.close();
    server?.closeAllConnections();
    server?.close();
  });

  const listen = () =>
    page.run(`window.heard = [];
      addEventListener("error", (event) => heard.push(event.message));
      addEventListener("unhandledrejection", (event) => heard.push(String(event.reason)));`);
  const goTo = async (hash: string): Promise<void> => {
    await page.run("location.hash = arguments[0]", hash);
    await page.until("document.querySelector('main h1, main h2, main .move-big')", 10_000);
  };
  const settled = (photos: number): Promise<unknown> =>
    page.until(
      `document.querySelector("[data-testid=outcome]") &&
        !document.querySelector("[data-testid=work], [data-testid=stale]") &&
        document.querySelector("[data-testid=stage-photos]")
          ?.textContent.includes("${photos} photos examined")`,
      patience,
    );

  test("the demo job: the command line's verdicts and numbers", async () => {
    const start = Date.now();
    await page.click("[data-testid=demo]");
    await settled(expected.photos.length);
    console.log(`${name}: verdict of the demo job after ${(Date.now() - start) / 1000} s`);
    job = (await page.run<string>("return location.hash")).split("/").slice(0, 3).join("/");
    const shown = await page.run<ShownCheck[]>(
      `return [...document.querySelectorAll("[data-testid=check]")].map(({ dataset }) => ({
        id: dataset.id,
        verdict: dataset.verdict,
        measured: Number(dataset.measured),
        standardUncertainty: Number(dataset.standardUncertainty),
      }))`,
    );
    expectSameNumbers(shown, expected);
  });

  test("every stage fits a phone and a desktop", async () => {
    const places = ["", ...stages.map((stage) => `/${stage}`), "/placement/moves"];
    for (const [width, height] of [
      [1280, 900],
      [390, 844],
    ]) {
      await page.resize(width, height);
      for (const at of places) {
        await goTo(job + at);
        const beyond = await page.run<number>(
          "return document.documentElement.scrollWidth - document.documentElement.clientWidth",
        );
        expect([at, width, beyond]).toEqual([at, width, 0]);
      }
    }
  });

  test("a job can be reloaded", async () => {
    await goTo(`${job}/placement`);
    await page.reload();
    await listen();
    await page.until("document.querySelector('[data-testid=outcome]')", 30_000);
  });

  test("an upright photo is drawn as it is stored, whatever the browser does with EXIF", async () => {
    await goTo(`${job}/photos`);
    await page.until("document.querySelectorAll('[data-testid=photo]').length > 2", 10_000);
    const hash = await page.run<string>(
      `return [...document.querySelectorAll("[data-testid=photo]")]
        .find((photo) => photo.textContent.includes("bay-03")).hash`,
    );
    await goTo(hash);
    await page.until("document.querySelector('.photo-svg image')", 10_000);
    await page.run(
      `const image = new Image();
      image.onload = () => document.body.dataset.stored = image.width + " x " + image.height;
      image.src = document.querySelector(".photo-svg image").href.baseVal;`,
    );
    // bay-03 is stored lying and shown upright.
    expect(await page.until("document.body.dataset.stored", 10_000)).toBe("4032 x 3024");
    const upright = "document.querySelector('.photo-svg').viewBox.baseVal";
    expect(await page.run(`return [${upright}.width, ${upright}.height]`)).toEqual([3024, 4032]);
  });

  test("a photo comes in through the file input", async () => {
    const another = join(place, "another.jpg");
    // Bytes after the end of a JPEG are ignored, but make it another file.
    const bytes = readFileSync(`${folder}/photos/bay-01.jpg`);
    writeFileSync(another, Buffer.concat([bytes, Buffer.from(name)]));
    await goTo(`${job}/photos`);
    await page.until("document.querySelector('[data-testid=add-board-photos]')", 10_000);
    await page.setFiles("[data-testid=add-board-photos]", [another]);
    await goTo(`${job}/placement`);
    await settled(expected.photos.length + 1);
  });

  test("the record is saved as a job file with its photos", async () => {
    await goTo(`${job}/record`);
    await page.click("[data-testid=export-job]");
    const archive = await expect
      .poll(() => finished(downloads), { timeout: 30_000 })
      .not.toBeNull()
      .then(() => finished(downloads));
    const names = Object.keys(archive ?? {});
    expect(names).toEqual(expect.arrayContaining(["record.json", "job.json"]));
    expect(names.filter((file) => file.startsWith("photos/")).length).toBe(
      expected.photos.length + 1,
    );
  });

  test("no error was written", async () => {
    expect(await browser.errors(origin)).toEqual([]);
  });

  test("it starts without the network, job and verdict at hand", async () => {
    await goTo("#/settings");
    await page.until(
      "document.querySelector('[data-testid=offline][data-state=\"all ready\"]')",
      60_000,
    );
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
    await page.go("about:blank");
    await page.go(`${origin}/${job}/placement`);
    await page.until("document.querySelector('[data-testid=outcome]')", 30_000);
    expect(await page.run("return document.querySelectorAll('[data-testid=check]').length")).toBe(
      expected.checks.length,
    );
  });
});

/** The entries of the one archive in a folder, or null while it is still being written. */
function finished(downloads: string): Record<string, Uint8Array> | null {
  const names = readdirSync(downloads).filter((name) => name.endsWith(".zip"));
  try {
    return names.length === 1 ? unzipSync(readFileSync(join(downloads, names[0]))) : null;
  } catch {
    return null;
  }
}

/** The acceptance screen: entries stay, a result is shown with its certificate, and nothing overflows. */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { accept } from "../../src/acceptance/acceptance.ts";
import { parseAcceptance } from "../../src/acceptance/file/parse-acceptance.ts";
import { learnCamera } from "../../src/job/run/learn-camera.ts";
import { tracedShop } from "../bench/accept/judge-shop.ts";
import { drawShop } from "../bench/accept/shop.ts";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";
import { settledChecks } from "./same-numbers.ts";

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp("browser-acceptance");
}, 240_000);
afterAll(() => app?.close());

const simulatedResult = () => {
  const shop = drawShop(4, "none", 8);
  const views = tracedShop(shop);
  const parsed = parseAcceptance(shop.file);
  const camera = learnCamera(views.sheet(0), "2026-01-02");
  if (!parsed.ok || !camera.ok) throw new Error("no shop");
  const file = { ...parsed.file, rounds: parsed.file.rounds.slice(0, 2) };
  const rounds = [0, 1].map((at) => ({
    camera: camera.camera,
    outcomes: views.photos(at, camera.camera),
  }));
  const answer = accept({ file, rounds, testedAt: new Date().toISOString() });
  if (!answer.ok) throw new Error("no result");
  return answer.result;
};

/** The stored entries, as text. */
const stored = (page: Page): Promise<string> =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const read = db.transaction("settings").objectStore("settings").get("acceptance");
    await new Promise((resolve) => {
      read.onsuccess = resolve;
    });
    db.close();
    return JSON.stringify(read.result ?? null);
  });

test("entries stay after a reload, and a result shows every length and a certificate", async () => {
  const { page, errors } = await watchedPage(app, phone);
  await page.goto(`${app.url}#/settings`);
  await page.getByTestId("acceptance-link").click();
  const plates = page.getByLabel("Wheel plates in use");
  await plates.fill("steel plates");
  await page.getByLabel("Reading 1").first().fill("2003.5");
  // What is being written when a page ends may be lost; what was written is not.
  await expect.poll(() => stored(page), { timeout: 10_000 }).toContain("2003.5");
  await page.reload();
  expect(await plates.inputValue()).toBe("steel plates");
  expect(await page.getByLabel("Reading 1").first().inputValue()).toBe("2003.5");

  const result = simulatedResult();
  await page.evaluate(
    async (measured) => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
      const store = db.transaction("settings", "readwrite").objectStore("settings");
      await new Promise<void>((resolve, reject) => {
        const read = store.get("acceptance");
        read.onerror = () => reject(read.error);
        read.onsuccess = () => {
          const written = store.put(
            { ...read.result, result: measured, stale: false },
            "acceptance",
          );
          written.onsuccess = () => resolve();
          written.onerror = () => reject(written.error);
        };
      });
      db.close();
    },
    JSON.parse(JSON.stringify(result)),
  );
  await page.reload();
  const outcome = page.getByTestId("acceptance-outcome");
  await outcome.waitFor();
  expect(await outcome.getAttribute("data-state")).toBe(result.outcome);
  const shown = await page.getByTestId("acceptance-result").innerText();
  for (const { from, to } of result.lengths) expect(shown).toContain(`${from} – ${to}`);
  const wider = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  expect(wider).toBeLessThanOrEqual(0);

  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Certificate (PDF)" }).click();
  expect((await download).suggestedFilename()).toMatch(/^acceptance-.*\.pdf$/);
  expect(errors).toEqual([]);
}, 180_000);

/** Reads a record of a store, changes it, writes it back; returns what was written, as text. */
const rewrite = (
  page: Page,
  store: string,
  key: string,
  change: Record<string, unknown>,
): Promise<string> =>
  page.evaluate(
    async (given) => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
      const done = <T>(request: IDBRequest<T>) =>
        new Promise<T>((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error);
        });
      const records = db.transaction(given.store, "readwrite").objectStore(given.store);
      const before = await done(records.get(given.key));
      const after = { ...before, ...given.change };
      await done(records.put(after, given.key));
      // Measured again from what was found.
      await done(db.transaction("results", "readwrite").objectStore("results").delete(given.key));
      db.close();
      return JSON.stringify(after);
    },
    { store, key, change },
  );

const patience = 240_000;

test("a job warns: never tested, tested too long ago, tested with other plates", async () => {
  const { page, errors } = await watchedPage(app, phone);
  await page.getByTestId("demo").click();
  await page.getByTestId("outcome").first().waitFor({ timeout: patience });
  const [, , id] = new URL(page.url()).hash.split("/");
  const placement = `#/job/${id}/placement`;
  const remarked = async (acceptance: unknown, plates: string): Promise<string> => {
    const job = JSON.parse(await rewrite(page, "jobs", id, {}));
    const { boards } = job;
    const { statements } = boards;
    const wheelPlates = { ...statements.wheelPlates, name: plates };
    const stated = { ...statements, wheelPlates, acceptance };
    await rewrite(page, "jobs", id, { boards: { ...boards, statements: stated } });
    await page.reload();
    await goTo(page, placement);
    await settledChecks(page, patience);
    return (await page.locator("main").textContent()) ?? "";
  };
  expect(await remarked({ everyDays: 90, last: null }, "steel plates")).toContain(
    "never put to an acceptance test",
  );
  const { note } = simulatedResult();
  const last = { ...note, testedAt: "2020-01-02T00:00:00Z", plates: "steel plates" };
  const old = await remarked({ everyDays: 90, last }, "steel plates");
  expect(old).toContain("not within the 90 days");
  const other = await remarked({ everyDays: 90, last }, "light plates");
  expect(other).toMatch(/another state of: [^.]*plates/);
  expect(old).not.toMatch(/another state of: [^.]*plates/);
  expect(errors).toEqual([]);
}, 600_000);

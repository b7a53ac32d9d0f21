/**
 * Teaching a target in a real Chromium: rendered photos of a stand with pointer boards, found and
 * adjusted by the app, end as a target of the library and of the job; a pointer that is missing is
 * named, and the photos can be taken again.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { compose, type Pose, type Vec3 } from "../../src/maths/pose.ts";
import { quickPhoto } from "../tools/quick-photo.ts";
import { cell, lookFrom, pointing } from "../tools/simulated-teaching.ts";
import { type AppUnderTest, goTo, overflow, phone, startApp, watchedPage } from "./app-harness.ts";

const patience = 180_000;

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp("teach-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

const flat = [1, 0, 0, 0, 1, 0, 0, 0, 1] as const;
/** Stand boards left and right of the face; tips on the reference point, right of it, above it. */
const boards: Record<number, Pose> = {
  31: { R: flat, t: [-480, 10, 20] },
  32: { R: flat, t: [480, 0, 25] },
  41: pointing([0, 0, 0], 0),
  42: pointing([230, 0, 0], 0),
  43: pointing([0, 150, 0], Math.PI),
};
const eyes: Vec3[] = [
  [0, 250, 1700],
  [850, 200, 1450],
  [-850, 100, 1450],
  [150, 850, 1400],
  [-250, -700, 1500],
];

const inCells = ({ R, t }: Pose): Pose => ({ R, t: [t[0] / cell, t[1] / cell, t[2] / cell] });

const photo = (eye: Vec3, ids: readonly number[]): Buffer =>
  quickPhoto({
    ...{ width: 2016, height: 1512, focalPx: 1500 },
    boards: ids.map((id) => ({ id, pose: inCells(compose(lookFrom(eye), boards[id])) })),
  });

const axeSource = readFileSync(
  createRequire(import.meta.url).resolve("axe-core/axe.min.js"),
  "utf8",
);

/** Violations of WCAG 2.2 A and AA that axe-core finds on the present screen. */
async function violations(page: Page): Promise<unknown[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(options: unknown): Promise<{ violations: { id: string; nodes: unknown }[] }> };
    };
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
    const found = await axe.run({ runOnly: { type: "tag", values: tags } });
    return found.violations.map(({ id, nodes }) => [id, JSON.stringify(nodes).slice(0, 300)]);
  });
}

test(
  "rendered photos of pointers end as a target of the library and the job",
  async () => {
    const { page, errors, context } = await watchedPage(app, phone);
    page.setDefaultTimeout(patience / 3);
    await page.getByRole("button", { name: "New job" }).click();
    await page.waitForURL(/#\/job\//);
    const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    await goTo(page, `${job}/boards`);
    await page.getByTestId("bar-across").fill("190");
    await page.getByTestId("bar-up").fill("270");
    await goTo(page, `${job}/sheet`);
    await page.getByRole("link", { name: "Teach a target by photos" }).click();
    await page.getByText("Add 3 or more photos first.").waitFor();
    await page.getByTestId("teach-name").fill("camera board");
    expect(await violations(page)).toEqual([]);

    // Without board 43 it is named; more photos then mend it.
    const files = (from: number, ids: readonly number[]) =>
      eyes.slice(from).map(([x, y, z], at) => ({
        name: `stand-${from + at}.png`,
        mimeType: "image/png",
        // From places of their own: the same view again would count as a copy.
        buffer: photo([x + 90, y + 60, z + 120], ids),
      }));
    const add = page.getByTestId("add-target-photos");
    await add.setInputFiles(files(2, [31, 32, 41, 42]));
    const work = page.getByRole("button", { name: "Work out where the target is" });
    await work.click();
    await page.getByText("No photo shows board 43.").waitFor();
    await page.getByRole("button", { name: "Try again" }).waitFor();

    await add.setInputFiles(
      eyes.map((eye, at) => ({
        name: `pointers-${at}.png`,
        mimeType: "image/png",
        buffer: photo(eye, [31, 32, 41, 42, 43]),
      })),
    );
    await work.click();
    const taught = page.getByTestId("taught");
    await taught.waitFor();
    // The reference frame is the scene's own: x to the right tip, y up.
    const words = ((await taught.textContent()) ?? "").replace(/\s+/g, " ");
    for (const [id, { t }] of Object.entries(boards).slice(0, 2)) {
      const [, x, side, y, out] =
        new RegExp(
          `Board ${id}.*?([\\d.]+) mm (left|right), ([\\d.]+) mm (?:up|down), ([\\d.]+) mm before`,
        ).exec(words) ?? [];
      expect([id, side]).toEqual([id, t[0] < 0 ? "left" : "right"]);
      expect(Math.abs(Number(x) - Math.abs(t[0]))).toBeLessThan(4);
      expect(Math.abs(Number(y) - Math.abs(t[1]))).toBeLessThan(4);
      expect(Math.abs(Number(out) - t[2])).toBeLessThan(4);
    }
    expect(await violations(page)).toEqual([]);
    expect(await overflow(page)).toBe(0);
    await page.getByRole("button", { name: "Keep it and use it in this job" }).click();
    await page.locator("summary", { hasText: "Target library" }).click();
    await page.getByRole("button", { name: /Use “camera board” in this job/ }).waitFor();
    await page.locator("summary", { hasText: "Where the target is" }).click();
    await page.getByText(/From 8 photos; residual/).waitFor();
    expect(await overflow(page)).toBe(0);
    const kept = await page.evaluate(async () => {
      const db = await new Promise<IDBDatabase>((resolve, reject) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
      return new Promise<unknown[]>((resolve) => {
        const request = db.transaction("targets").objectStore("targets").getAll();
        request.onsuccess = () => resolve(request.result);
      });
    });
    expect(kept).toMatchObject([
      { name: "camera board", taught: { how: "pointer board", proof: { lens: "own photos" } } },
    ]);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

/**
 * The watch in Chromium before a camera that plays a film: a person walks through, the light changes, the
 * tripod is nudged, and at a known second the stand is bumped.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { gaussian, seededRandom } from "../tools/render-board.ts";
import { fakeCamera, writeY4m } from "../tools/watch/fake-camera.ts";
import { filmed, type StreamChange, streamLens } from "../tools/watch/stream.ts";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";

const patience = 200_000;
const perSecond = 2;
/** 1 px at the middle of the picture: the tripod is nudged, and keeps its place. */
const camera = [0, 1 / streamLens.fx, 0] as const;
const nothing: StreamChange = {};
/** Parts of the film: what has moved, and what happens to the picture besides. */
const film: readonly {
  readonly seconds: number;
  readonly change: StreamChange;
  readonly walker?: boolean;
  readonly dim?: boolean;
}[] = [
  { seconds: 28, change: nothing },
  { seconds: 5, change: nothing, walker: true },
  { seconds: 6, change: nothing, dim: true },
  { seconds: 10, change: { camera } },
  { seconds: 20, change: { camera, stand: [3, 0, 0] } },
];
/** A square in the corner of every frame tells its part of the film: Chromium does not keep the time. */
const mark = { side: 32, levelOf: (part: number): number => 40 + 40 * part } as const;
/** A person in the way: a dark band of this width, px. */
const walkerPx = 320;
/** Grey levels of noise that is another in every frame; a prime number of them, cut anew for each. */
const fresh = Float32Array.from({ length: 999_983 }, normal(3));

function normal(sigma: number): () => number {
  const random = seededRandom(2);
  return () => sigma * gaussian(random);
}

/** Every frame its own array: the picture of the part, with noise and whoever is in the way. */
function* frames(): Generator<LumaImage> {
  const rendered = new Map<StreamChange, LumaImage>();
  const random = seededRandom(1);
  for (const [part, { seconds, change, walker, dim }] of film.entries()) {
    const picture = rendered.get(change) ?? filmed(change, 2)(1);
    rendered.set(change, picture);
    const count = seconds * perSecond;
    for (let at = 0; at < count; at++) {
      const frame = noisy(picture, dim ? 0.93 : 1, Math.floor(random() * fresh.length));
      const { width, height } = frame;
      if (walker) {
        const left = Math.round((at / count) * (width + walkerPx)) - walkerPx;
        paint(frame, [Math.max(0, left), Math.min(width, left + walkerPx)], [0, height], 60);
      }
      paint(frame, [0, mark.side], [0, mark.side], mark.levelOf(part));
      yield frame;
    }
  }
}

function noisy({ width, height, data }: LumaImage, factor: number, offset: number): LumaImage {
  const out = new Uint8ClampedArray(data.length);
  for (let i = 0, from = offset; i < data.length; i++, from++) {
    if (from === fresh.length) from = 0;
    out[i] = factor * data[i] + fresh[from];
  }
  return { width, height, data: new Uint8Array(out.buffer) };
}

function paint(
  { width, data }: LumaImage,
  [left, right]: readonly [number, number],
  [top, bottom]: readonly [number, number],
  level: number,
): void {
  for (let y = top; y < bottom; y++) data.fill(level, y * width + left, y * width + right);
}

interface Seen {
  /** When each part of the film was first seen, and the alarm, ms by the page's clock. */
  readonly parts: number[];
  alarm: number | null;
}

/** Looks at the corner of the picture, and for the alarm, ten times a second. */
const lookAtFilm = (levels: readonly number[]) => {
  const seen: Seen = { parts: [], alarm: null };
  (globalThis as unknown as { seen: Seen }).seen = seen;
  const canvas = new OffscreenCanvas(8, 8);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  setInterval(() => {
    const video = document.querySelector("video");
    if (!video || !context) return;
    context.drawImage(video, 8, 8, 8, 8, 0, 0, 8, 8);
    const [grey] = context.getImageData(4, 4, 1, 1).data;
    const part = levels.findIndex((level) => Math.abs(level - grey) < 15);
    if (part >= 0) seen.parts[part] ??= performance.now();
    if (document.querySelector("[data-testid=watch-alarm]")) seen.alarm ??= performance.now();
  }, 100);
};

let app: AppUnderTest;
let folder: string;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "plumbshot-watch-"));
  const file = join(folder, "bay.y4m");
  writeY4m(file, frames(), perSecond);
  app = await startApp("watch-test", "localhost", undefined, fakeCamera(file));
}, patience);
afterAll(async () => {
  await app?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** What the list of events says, the first event first; seconds since the watch began. */
const eventsOf = async (page: Page): Promise<{ second: number; text: string }[]> => {
  const lines = await page.getByTestId("watch-events").locator("li").allTextContents();
  return lines.reverse().map((line) => {
    const [, minutes, seconds, text] = /^\s*(\d+):(\d\d)\s+(.*)$/s.exec(line) ?? [];
    return { second: 60 * Number(minutes) + Number(seconds), text };
  });
};

test(
  "a walker is no movement, a nudged tripod is named, a stand moved by 3 mm is an alarm in time",
  async () => {
    const { page, context, errors } = await watchedPage(app, phone);
    await page.getByTestId("new-job").click();
    await page.getByTestId("job-title").waitFor();
    const job = new URL(page.url()).hash.replace("/car", "");
    await goTo(page, `${job}/photos/watch`);
    const start = page.getByRole("button", { name: "Start watching" });
    await expect.poll(() => start.getAttribute("aria-disabled"), { timeout: patience }).toBe(null);
    await page.evaluate(
      lookAtFilm,
      film.map((_, part) => mark.levelOf(part)),
    );
    await start.click();
    await page.getByTestId("watch-alarm").waitFor({ timeout: patience });
    const alarm = await page.getByTestId("watch-alarm").textContent();
    const events = await eventsOf(page);
    const told = JSON.stringify(events);
    const nudge = events.findIndex(({ text }) => /phone was touched/.test(text));
    expect(nudge, told).toBeGreaterThanOrEqual(0);
    const seconds = events.map(({ second }) => second);
    expect(seconds, told).toEqual([...seconds].sort((a, b) => a - b));
    const moved = events.filter(({ text }) => / moved/.test(text));
    // Nothing counted as moved before: neither the walker nor the light nor the tripod.
    expect(events.indexOf(moved[0]), told).toBeGreaterThan(nudge);
    const seen = await page.evaluate(() => (globalThis as unknown as { seen: Seen }).seen);
    const late = ((seen.alarm ?? 0) - (seen.parts[film.length - 1] ?? 0)) / 1000;
    expect(late, told).toBeGreaterThan(0);
    // 3 s are the aim; a loaded machine may take longer over a measurement.
    expect(late, told).toBeLessThanOrEqual(5);
    const [, sideways] = /(\d+\.\d)\s*mm/.exec(alarm ?? "") ?? [];
    expect(Math.abs(Number(sideways) - 3), alarm ?? "").toBeLessThan(0.3);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

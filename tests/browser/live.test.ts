/** Live view and watch in Chromium with a video file for a camera. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { fakeCamera, streamOfPhoto, writeY4m } from "../tools/watch/fake-camera.ts";
import { type AppUnderTest, goTo, phone, startApp, watchedPage } from "./app-harness.ts";

/** Less than the test's own limit, so that a failure names what was waited for. */
const patience = 100_000;
let app: AppUnderTest;
let folder: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "plumbshot-live-"));
  const file = join(folder, "bay.y4m");
  const frame = streamOfPhoto("sample-images/demo-job/photos/bay-13.jpg");
  writeY4m(file, [frame, frame, frame], 10);
  app = await startApp("live-test", "localhost", undefined, fakeCamera(file));
});

afterAll(async () => {
  await app?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function newJob(page: Page): Promise<string> {
  await page.getByTestId("new-job").click();
  await page.getByTestId("job-title").waitFor();
  return new URL(page.url()).hash.replace("/car", "");
}

test("boards are drawn over the stream, with words and counts", async () => {
  const { page, context, errors, foreign } = await watchedPage(app, phone);
  const job = await newJob(page);
  await goTo(page, `${job}/photos`);
  await page.getByTestId("open-live").click();
  const boards = page.getByTestId("live-board");
  await expect.poll(() => boards.count(), { timeout: patience }).toBeGreaterThanOrEqual(3);
  await expect
    .poll(() => page.getByTestId("live-advice").getAttribute("data-code"), { timeout: patience })
    .toMatch(/good|closer|flat|glare/);
  expect(await page.getByTestId("live-seen").textContent()).toMatch(/[3-9] boards in view/);
  if (process.env.LIVE_SHOTS)
    await page.screenshot({ path: `${process.env.LIVE_SHOTS}/live.png`, fullPage: true });
  expect(errors).toEqual([]);
  expect(foreign).toEqual([]);
  await context.close();
});

test("watching settles, says that nothing moved, and its log goes to the record", async () => {
  const { page, context, errors } = await watchedPage(app, phone);
  const job = await newJob(page);
  await goTo(page, `${job}/photos/watch`);
  const start = page.getByRole("button", { name: "Start watching" });
  await expect.poll(() => start.getAttribute("aria-disabled"), { timeout: patience }).toBe(null);
  await start.click();
  await expect
    .poll(() => page.getByTestId("watch-state").textContent(), { timeout: patience })
    .toContain("Nothing has moved");
  await page.getByTestId("strip").first().waitFor({ timeout: patience });
  if (process.env.LIVE_SHOTS) {
    await page.waitForTimeout(6000);
    await page.screenshot({ path: `${process.env.LIVE_SHOTS}/watch.png`, fullPage: true });
  }
  await page.getByRole("button", { name: "Stop and keep the log" }).click();
  await page.getByTestId("watch-kept").waitFor({ timeout: patience });
  await goTo(page, `${job}/record`);
  await page.getByText(/watch-\d{4}-.*\.json/).waitFor({ timeout: patience });
  expect(errors).toEqual([]);
  await context.close();
});

/** Makes getUserMedia fail with a name from W3C Media Capture. */
const failing = (name: string) => {
  navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException("no", name));
};

test.each([
  ["NotFoundError", "No camera was found"],
  ["NotAllowedError", "Allow it for this page"],
  ["NotReadableError", "Another app holds the camera"],
])("%s says what to do", async (name, words) => {
  const { page, context } = await watchedPage(app, phone);
  await page.evaluate(failing, name);
  const job = await newJob(page);
  await goTo(page, `${job}/photos/live`);
  const told = page.getByTestId("camera-problem");
  await told.waitFor({ timeout: patience });
  expect(await told.textContent()).toContain(words);
  await context.close();
});

test("a stream of 640 x 480 is told to be too coarse; a lost camera is told and comes back", async () => {
  const { page, context } = await watchedPage(app, phone);
  await page.evaluate(() => {
    const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    let small = true;
    navigator.mediaDevices.getUserMedia = async (wish) => {
      const stream = await ask(small ? { video: { width: 640, height: 480 } } : wish);
      small = false;
      (globalThis as { lastTrack?: MediaStreamTrack }).lastTrack = stream.getVideoTracks()[0];
      return stream;
    };
  });
  const job = await newJob(page);
  await goTo(page, `${job}/photos/live`);
  const told = page.getByTestId("camera-problem");
  await told.waitFor({ timeout: patience });
  expect(await told.textContent()).toContain("too coarse");
  await page.getByRole("button", { name: "Try again" }).click();
  await expect
    .poll(() => page.getByTestId("live-board").count(), { timeout: patience })
    .toBeGreaterThanOrEqual(3);
  await page.evaluate(() => {
    const { lastTrack } = globalThis as { lastTrack?: MediaStreamTrack };
    lastTrack?.dispatchEvent(new Event("ended"));
  });
  await told.waitFor({ timeout: patience });
  expect(await told.textContent()).toContain("taken away");
  await page.getByRole("button", { name: "Try again" }).click();
  await expect.poll(() => told.count(), { timeout: patience }).toBe(0);
  await context.close();
});

/** Another page before this one, or this one again, as the page sees it. */
const setSeen = (page: Page, state: "hidden" | "visible") =>
  page.evaluate((value) => {
    Object.defineProperty(document, "visibilityState", { value, configurable: true });
    document.dispatchEvent(new Event("visibilitychange"));
  }, state);

test("a page out of sight gives the camera back, and goes on when it is seen again", async () => {
  const { page, context, errors } = await watchedPage(app, phone);
  await page.evaluate(() => {
    const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    navigator.mediaDevices.getUserMedia = async (wish) => {
      const stream = await ask(wish);
      (globalThis as { lastTrack?: MediaStreamTrack }).lastTrack = stream.getVideoTracks()[0];
      return stream;
    };
  });
  const trackState = () =>
    page.evaluate(() => (globalThis as { lastTrack?: MediaStreamTrack }).lastTrack?.readyState);
  const boards = page.getByTestId("live-board");
  const job = await newJob(page);
  await goTo(page, `${job}/photos/live`);
  await expect.poll(() => boards.count(), { timeout: patience }).toBeGreaterThanOrEqual(3);
  await setSeen(page, "hidden");
  await expect.poll(trackState).toBe("ended");
  await expect.poll(() => boards.count()).toBe(0);
  expect(await page.getByTestId("camera-problem").count()).toBe(0);
  await setSeen(page, "visible");
  await expect.poll(trackState, { timeout: patience }).toBe("live");
  await expect.poll(() => boards.count(), { timeout: patience }).toBeGreaterThanOrEqual(3);
  expect(errors).toEqual([]);
  await context.close();
});

test("a phone turned in the middle is followed: the picture stands, the boards are found in it", async () => {
  const { page, context, errors } = await watchedPage(app, phone);
  // Chromium's film cannot turn: a canvas hands it on, lying or upright.
  await page.evaluate(() => {
    const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
    navigator.mediaDevices.getUserMedia = async (wish) => {
      const film = document.createElement("video");
      film.muted = true;
      film.srcObject = await ask(wish);
      await film.play();
      const canvas = document.createElement("canvas");
      const draw = () => {
        const { videoWidth: w, videoHeight: h } = film;
        const upright = (globalThis as { upright?: boolean }).upright === true;
        const [width, height] = upright ? [h, w] : [w, h];
        if (canvas.width !== width) Object.assign(canvas, { width, height });
        const context = canvas.getContext("2d");
        context?.setTransform(...((upright ? [0, 1, -1, 0, h, 0] : [1, 0, 0, 1, 0, 0]) as never[]));
        context?.drawImage(film, 0, 0);
      };
      draw();
      setInterval(draw, 100);
      return canvas.captureStream(10);
    };
  });
  const boards = page.getByTestId("live-board");
  const job = await newJob(page);
  await goTo(page, `${job}/photos/live`);
  await expect.poll(() => boards.count(), { timeout: patience }).toBeGreaterThanOrEqual(3);
  /** First corner of every board that is drawn, px of the frame, by its number. */
  const drawn = async () =>
    new Map(
      await boards.evaluateAll((groups) =>
        groups.map((group): [string, number[]] => {
          const path = group.querySelector("path")?.getAttribute("d") ?? "";
          return [group.textContent, path.slice(1).split("L")[0].split(" ").map(Number)];
        }),
      ),
    );
  const lying = await drawn();
  const shape = () =>
    page.locator("video").evaluate((video: HTMLVideoElement) => {
      const box = video.getBoundingClientRect();
      return [video.videoWidth < video.videoHeight, box.width < box.height];
    });
  expect(await shape()).toEqual([false, false]);
  await page.evaluate(() => {
    (globalThis as { upright?: boolean }).upright = true;
  });
  await expect.poll(shape, { timeout: patience }).toEqual([true, true]);
  /** Boards where the turned picture has them; a small one may be just too small for the other way up. */
  const turned = async () => {
    const height = 1080;
    return [...(await drawn())].filter(([id, [x, y]]) => {
      const [wasX, wasY] = lying.get(id) ?? [Number.NaN, Number.NaN];
      return Math.hypot(x - (height - wasY), y - wasX) < 3;
    }).length;
  };
  await expect.poll(turned, { timeout: patience }).toBeGreaterThanOrEqual(2);
  expect(await page.getByTestId("camera-problem").count()).toBe(0);
  expect(errors).toEqual([]);
  await context.close();
});

test("the phone as a level: two faces, the tilt with its uncertainty", async () => {
  const { page, context, errors } = await watchedPage(app, phone);
  const job = await newJob(page);
  await goTo(page, `${job}/photos/level`);
  const read = page.getByRole("button", { name: "Read" });
  await read.click();
  await expect
    .poll(() => page.getByTestId("level-problem").textContent(), { timeout: patience })
    .toContain("no motion");
  /** A phone on its long edge, tilted by so many degrees, sixty times a second. */
  const tilt = (degrees: number) =>
    page.evaluate((deg) => {
      const held = globalThis as { motion?: ReturnType<typeof setInterval> };
      clearInterval(held.motion);
      const angle = (deg * Math.PI) / 180;
      held.motion = setInterval(() => {
        const accelerationIncludingGravity = {
          x: 9.81 * Math.cos(angle),
          y: 9.81 * Math.sin(angle) + 0.01 * (Math.random() - 0.5),
          z: 0.1,
        };
        window.dispatchEvent(
          new DeviceMotionEvent("devicemotion", { accelerationIncludingGravity }),
        );
      }, 16);
    }, degrees);
  await tilt(1.5);
  await read.click();
  const state = page.getByTestId("level-state");
  await expect.poll(() => state.textContent(), { timeout: patience }).toContain("Now turn it");
  await tilt(0.7);
  await read.click();
  await expect
    .poll(() => state.textContent(), { timeout: patience })
    .toMatch(/0\.4\d?° ± 0\.0|0\.4/);
  if (process.env.LIVE_SHOTS)
    await page.screenshot({ path: `${process.env.LIVE_SHOTS}/level.png`, fullPage: true });
  expect(errors).toEqual([]);
  await context.close();
});

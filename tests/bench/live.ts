/**
 * `npm run bench:live`: the live view in Chromium with a video file for a camera, the processor as it
 * is and slowed down four times (Chrome's own setting slows the page; its workers run on the same
 * cores, so a busy loop beside them is not added). Last line: one JSON object.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { goTo, phone, startApp } from "../browser/app-harness.ts";
import { fakeCamera, streamOfPhoto, writeY4m } from "../tools/watch/fake-camera.ts";

const seconds = process.argv.includes("--quick") ? 5 : 15;
const folder = mkdtempSync(join(tmpdir(), "plumbshot-live-"));
const file = join(folder, "bay.y4m");
const frame = streamOfPhoto("sample-images/demo-job/photos/bay-13.jpg");
writeY4m(file, [frame, frame, frame], 30);
const app = await startApp("bench-live", "localhost", undefined, fakeCamera(file));

async function measured(slowDown: number): Promise<{ fps: number; firstMs: number }> {
  const context = await app.browser.newContext(phone);
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: slowDown });
  await session.send("Target.setAutoAttach", {
    autoAttach: true,
    waitForDebuggerOnStart: false,
    flatten: true,
  });
  await page.goto(app.url);
  await page.getByTestId("new-job").click();
  await page.getByTestId("job-title").waitFor();
  const job = new URL(page.url()).hash.replace("/car", "");
  const start = Date.now();
  await goTo(page, `${job}/photos/live`);
  await page.getByTestId("live-board").first().waitFor({ timeout: 120_000 });
  const firstMs = Date.now() - start;
  const count = () => page.evaluate(() => performance.getEntriesByName("live frame shown").length);
  const before = await count();
  const from = Date.now();
  await page.waitForTimeout(1000 * seconds);
  const fps = ((await count()) - before) / ((Date.now() - from) / 1000);
  await context.close();
  return { fps, firstMs };
}

const usual = await measured(1);
const slow = await measured(4);
console.log(`as it is: ${usual.fps.toFixed(1)} frames/s, first board after ${usual.firstMs} ms`);
console.log(
  `slowed down four times: ${slow.fps.toFixed(1)} frames/s, first board after ${slow.firstMs} ms`,
);
await app.close();
rmSync(folder, { recursive: true });
console.log(
  JSON.stringify({
    fps_4x_slow: Number(slow.fps.toFixed(1)),
    first_overlay_ms: slow.firstMs,
    fps: Number(usual.fps.toFixed(1)),
  }),
);

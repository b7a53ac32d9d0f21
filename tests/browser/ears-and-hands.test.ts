/**
 * For one person with gloves: read aloud, tones, vibration, a screen that stays awake, the share sheet.
 * Chromium on a desk has no voice, motor or share sheet, so that each is a stand-in that writes down
 * what it was asked for; what a phone makes of it is not shown here.
 */
import { afterAll, beforeAll, expect, test } from "vitest";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";
import { type AppUnderTest, goTo, phone, startApp, storeJob } from "./app-harness.ts";

let app: AppUnderTest;
const job = inventedJob();
const patience = 120_000;

beforeAll(async () => {
  app = await startApp("ears-and-hands-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

interface Asked {
  readonly said: { text: string; lang: string }[];
  readonly hushed: number;
  readonly tones: number[];
  readonly buzzes: number[][];
  readonly shared: { name: string; bytes: number }[];
  readonly awake: string[];
}

/** Runs in the page before the app: stand-ins that write down what they are asked for. */
function standIns(voices: { lang: string; localService: boolean }[]): void {
  const asked = {
    said: [] as { text: string; lang: string }[],
    hushed: 0,
    tones: [] as number[],
    buzzes: [] as number[][],
    shared: [] as { name: string; bytes: number }[],
    awake: [] as string[],
  };
  const put = (holder: object, name: string, value: unknown) =>
    Object.defineProperty(holder, name, { value, configurable: true });
  put(globalThis, "asked", asked);
  put(
    globalThis,
    "SpeechSynthesisUtterance",
    class {
      voice: unknown = null;
      lang = "";
      rate = 1;
      constructor(readonly text: string) {}
    },
  );
  put(globalThis, "speechSynthesis", {
    getVoices: () => voices,
    speak: ({ text, lang }: { text: string; lang: string }) => asked.said.push({ text, lang }),
    cancel: () => asked.hushed++,
    addEventListener: () => {},
    removeEventListener: () => {},
  });
  const gain = { setValueAtTime: () => {}, linearRampToValueAtTime: () => {} };
  put(
    globalThis,
    "AudioContext",
    class {
      state = "running";
      currentTime = 0;
      resume = async () => {};
      createGain = () => ({ gain, connect: () => ({}) });
      createOscillator = () => {
        const frequency = { value: 0 };
        return {
          frequency,
          connect: () => ({ connect: () => ({}) }),
          start: () => asked.tones.push(frequency.value),
          stop: () => {},
        };
      };
    },
  );
  put(navigator, "vibrate", (pattern: number[]) => asked.buzzes.push(pattern) > 0);
  put(navigator, "canShare", () => true);
  put(navigator, "share", async ({ files }: { files: File[] }) => {
    asked.shared.push(...files.map(({ name, size }) => ({ name, bytes: size })));
  });
  put(navigator, "wakeLock", {
    request: async (what: string) => {
      asked.awake.push(what);
      return { released: true, release: async () => {} };
    },
  });
}

const ownVoice = { lang: "en-GB", localService: true };

async function open(voices: (typeof ownVoice)[]) {
  const context = await app.browser.newContext(phone);
  await context.addInitScript(standIns, voices);
  const page = await context.newPage();
  await page.goto(app.url);
  await page.locator("h1").waitFor();
  await storeJob(page, job, inventedResult);
  await page.reload();
  await page.locator(".job-line").waitFor();
  const asked = () => page.evaluate(() => (globalThis as unknown as { asked: Asked }).asked);
  return { page, context, asked };
}

test(
  "moves are read aloud after one tap, each as it comes, and no longer after another",
  async () => {
    const { page, context, asked } = await open([ownVoice]);
    await goTo(page, `#/job/${job.id}/placement/moves`);
    expect((await asked()).said).toEqual([]);
    await page.getByRole("button", { name: "Read aloud" }).tap();
    await expect.poll(async () => (await asked()).said.length).toBe(1);
    const shown = await page.locator(".move-big-amount").first().textContent();
    expect((await asked()).said[0]).toMatchObject({ lang: "en-GB" });
    expect((await asked()).said[0].text).toContain(shown ?? "nothing shown");
    await page.waitForTimeout(400);
    await page.getByRole("button", { name: "Done, next" }).tap();
    await expect.poll(async () => (await asked()).said.length).toBe(2);
    const [first, second] = (await asked()).said;
    expect(second.text).not.toBe(first.text);
    await page.getByRole("button", { name: "Stop reading aloud" }).tap();
    await page.waitForTimeout(300);
    expect((await asked()).said.length).toBe(2);
    expect((await asked()).hushed).toBeGreaterThan(0);
    // The verdict has its own voice.
    await page.getByRole("button", { name: "Read aloud" }).tap();
    await goTo(page, `#/job/${job.id}/placement`);
    await expect.poll(async () => (await asked()).said.at(-1)?.text ?? "").toMatch(/not meet/i);
    await context.close();
  },
  patience,
);

test(
  "a voice that sends what it reads somewhere is not used",
  async () => {
    const { page, context, asked } = await open([{ lang: "en-GB", localService: false }]);
    await goTo(page, `#/job/${job.id}/placement/moves`);
    await page.locator(".move-big-amount").first().waitFor();
    expect(await page.getByTestId("aloud").count()).toBe(0);
    expect((await asked()).said).toEqual([]);
    await context.close();
  },
  patience,
);

test(
  "the screen is kept awake while a move is made, and again after the phone comes back",
  async () => {
    const { page, context, asked } = await open([]);
    await goTo(page, `#/job/${job.id}/placement/moves`);
    await expect.poll(async () => (await asked()).awake).toEqual(["screen"]);
    await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
    await expect.poll(async () => (await asked()).awake).toEqual(["screen", "screen"]);
    await context.close();
  },
  patience,
);

test(
  "tones and vibration: rising for found, low and long where a photo shows no board",
  async () => {
    const { page, context, asked } = await open([]);
    await goTo(page, "#/settings");
    await page.getByRole("group", { name: "Tones" }).locator("label", { hasText: /^on$/ }).tap();
    await expect.poll(async () => (await asked()).tones).toEqual([880, 1320]);
    expect((await asked()).buzzes).toEqual([[60]]);
    await goTo(page, `#/job/${job.id}/photos`);
    const [chooser] = await Promise.all([
      page.waitForEvent("filechooser"),
      page.getByRole("button", { name: "Choose photos" }).tap(),
    ]);
    await chooser.setFiles({
      name: "wall.jpg",
      mimeType: "image/jpeg",
      buffer: Buffer.from(writeFlatJpeg(1600, 1200, (column, row) => 90 + ((column + row) % 7))),
    });
    await expect
      .poll(async () => (await asked()).tones.slice(2), { timeout: patience / 2 })
      .toEqual([220]);
    expect((await asked()).buzzes.at(-1)).toEqual([180, 90, 180]);
    await context.close();
  },
  patience,
);

test(
  "a job goes through the phone's share sheet as one file",
  async () => {
    const { page, context, asked } = await open([]);
    await goTo(page, `#/job/${job.id}/record`);
    await page.getByTestId("share-job").tap();
    expect((await asked()).shared).toEqual([]);
    await page.getByRole("button", { name: "Share with all photos" }).tap();
    await expect.poll(async () => (await asked()).shared.length).toBe(1);
    const [file] = (await asked()).shared;
    expect(file.name).toMatch(/\.zip$/);
    expect(file.bytes).toBeGreaterThan(500);
    await context.close();
  },
  patience,
);

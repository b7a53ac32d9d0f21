/**
 * `npm run bench:firstjob`: a first own job on a phone, from an empty app to its verdict, by touch as
 * a person would do it: one target, two boards, one length, four checks, photos of sample-images.
 * Then the second job of the same shop. Every tap counts, also the one into a field and every "next"
 * on the keyboard; a list that opens counts as two. Typed: entries, not keys.
 */
import { readdirSync } from "node:fs";
import type { Locator, Page } from "playwright-core";
import { phone, startApp, watchedPage } from "../browser/app-harness.ts";

const folder = "sample-images/demo-job";
const jpegs = (part: string): string[] =>
  readdirSync(`${folder}/${part}`)
    .filter((name) => name.endsWith(".jpg"))
    .map((name) => `${folder}/${part}/${name}`);
const patience = 600_000;

/** A finger that is counted. */
class Finger {
  taps = 0;
  typed = 0;
  readonly screens = new Set<string>();
  private readonly page: Page;
  private readonly trace: boolean;

  constructor(page: Page, trace: boolean) {
    this.page = page;
    this.trace = trace;
  }

  private note(what: string): void {
    const place = new URL(this.page.url()).hash.split("/").slice(3).join("/") || "jobs";
    this.screens.add(place);
    if (this.trace) {
      console.log(`${String(this.taps).padStart(3)} taps ${this.typed} typed  ${place}: ${what}`);
    }
  }

  async tap(target: Locator, what: string): Promise<void> {
    await target.first().waitFor();
    // A person looks first; a tap at once would count as a slip of the finger.
    await this.page.waitForTimeout(350);
    await target.first().tap();
    this.taps++;
    this.note(what);
  }

  button(name: string | RegExp): Locator {
    return this.page
      .getByRole("button", { name, exact: true })
      .or(this.page.getByRole("link", { name, exact: true }));
  }

  press(name: string | RegExp): Promise<void> {
    return this.tap(this.button(name), String(name));
  }

  /** Types into the field that has the focus already. */
  async type(text: string): Promise<void> {
    await this.page.waitForFunction(() => document.activeElement?.matches("input, textarea"));
    await this.page.keyboard.type(text);
    this.typed++;
    this.note(`typed ${text}`);
  }

  /** "Next" or "done" on the keyboard. */
  async next(): Promise<void> {
    await this.page.keyboard.press("Enter");
    this.taps++;
    this.note("next");
  }

  async fill(field: Locator, text: string): Promise<void> {
    await this.tap(field, "into the field");
    await this.type(text);
  }

  /** Opens a list and picks from it: two taps. */
  async pick(list: Locator, value: string): Promise<void> {
    await list.first().selectOption(value);
    this.taps += 2;
    this.note(`picked ${value}`);
  }

  /** The picker of the phone is not ours: opening it is one tap, choosing in it is not counted. */
  async give(name: string, files: string[]): Promise<void> {
    const [chooser] = await Promise.all([
      this.page.waitForEvent("filechooser"),
      this.tap(this.button(name), name),
    ]);
    await chooser.setFiles(files);
  }
}

const stage = (page: Page, name: string): Locator => page.getByTestId(`stage-${name}`);

/** The four numbers of the invented sheet. */
async function fillSheet(finger: Finger, page: Page): Promise<void> {
  const spot = (kind: string) => page.getByTestId(`spot-${kind}`);
  await finger.tap(page.getByTestId("new-sheet"), "empty sheet");
  await finger.tap(spot("distance"), "distance");
  await finger.type("2500");
  await finger.next();
  await finger.type("10");
  await finger.tap(spot("lateral-offset"), "sideways");
  await finger.press("0, on the line");
  await finger.tap(page.getByTestId("same-tolerance"), "same tolerance");
  await finger.tap(spot("height"), "height");
  await finger.type("1180");
  await finger.tap(page.getByTestId("same-tolerance"), "same tolerance");
  await finger.tap(spot("yaw"), "turn");
  await finger.press("0, square to the car");
  await finger.fill(page.getByTestId("sheet-tolerance"), "0.5");
}

async function typeTarget(finger: Finger, page: Page): Promise<void> {
  await finger.tap(page.getByTestId("type-target"), "with a rule");
  for (const offsets of [
    ["451", "16", "14"],
    ["450", "21", "17"],
  ]) {
    for (const [at, offset] of offsets.entries()) {
      if (at > 0) {
        await finger.next();
      }
      await finger.type(offset);
    }
    if (offsets[0] === "451") {
      await finger.press("Next: board 32");
    }
  }
}

async function verdict(page: Page): Promise<string> {
  await page.getByTestId("outcome").first().waitFor({ timeout: patience });
  await page.getByTestId("work").waitFor({ state: "detached", timeout: patience });
  return (await page.getByTestId("outcome").first().getAttribute("data-outcome")) ?? "";
}

interface Count {
  readonly taps: number;
  readonly typed: number;
  readonly screens: number;
}
const countOf = ({ taps, typed, screens }: Finger): Count => ({
  taps,
  typed,
  screens: screens.size,
});

async function firstJob(page: Page, trace: boolean): Promise<Count> {
  const finger = new Finger(page, trace);
  await finger.press("New job");
  await finger.fill(page.getByTestId("car-description"), "Invented hatchback");
  await finger.press("Sheet and target");
  const before = { taps: finger.taps, typed: finger.typed };
  await fillSheet(finger, page);
  console.log(
    `sheet of four checks: ${finger.taps - before.taps} taps, ${finger.typed - before.typed} typed`,
  );
  await finger.fill(page.getByTestId("sheet-source"), "invented, page 1");
  await typeTarget(finger, page);
  await finger.tap(page.getByTestId("keep-sheet"), "keep the sheet");
  await finger.press("Bay");
  await finger.press("Boards");
  // The sample's boards were printed with bars of 200 mm; this paper's are 190 and 270 mm.
  await finger.fill(page.getByTestId("bar-across"), "190.2");
  await finger.fill(page.getByTestId("bar-up"), "270.4");
  await finger.fill(page.getByTestId("plate-offset"), "168");
  await finger.press("Add a length");
  await finger.type("4630");
  await finger.pick(page.getByLabel("From board"), "21");
  await finger.pick(page.getByLabel("To board"), "15");
  await finger.press("Camera");
  await finger.give("Choose photos", jpegs("camera"));
  await page
    .getByTestId("photo")
    .nth(jpegs("camera").length - 1)
    .waitFor({ timeout: patience });
  await finger.tap(page.getByTestId("keep-lens"), "keep the lens for this phone");
  await finger.press("Photos");
  await finger.give("Choose photos", jpegs("photos"));
  await finger.press("Placement");
  console.log(`first job: ${await verdict(page)}`);
  return countOf(finger);
}

async function secondJob(page: Page, trace: boolean): Promise<Count> {
  const finger = new Finger(page, trace);
  await finger.tap(page.locator(".head-back"), "back to the job");
  await finger.tap(page.locator(".head-back"), "back to the jobs");
  await finger.press("New job");
  await finger.fill(page.getByTestId("car-description"), "Another invented hatchback");
  await finger.press("Sheet and target");
  await finger.tap(page.getByTestId("kept-sheet"), "the kept sheet");
  await finger.tap(page.locator(".head-back"), "all stages");
  await finger.tap(stage(page, "photos").last(), "photos");
  await finger.give("Choose photos", jpegs("photos"));
  await finger.press("Placement");
  console.log(`second job: ${await verdict(page)}`);
  return countOf(finger);
}

const trace = process.argv.includes("--trace");
const app = await startApp("bench-firstjob");
try {
  const { page, errors } = await watchedPage(app, phone);
  const first = await firstJob(page, trace);
  console.log(`first job: ${JSON.stringify(first)}; at most 45 taps and 22 typed`);
  const second = await secondJob(page, trace);
  console.log(`second job: ${JSON.stringify(second)}; at most 12 taps and 2 typed`);
  if (errors.length > 0) {
    throw new Error(errors.join("\n"));
  }
  console.log(JSON.stringify({ ...first, second }));
} finally {
  await app.close();
}

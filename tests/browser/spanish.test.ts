/**
 * The demo job in Spanish: every screen and the printed record, everything unfolded. No sentence of
 * the engine may stand there in English, nor any other English text that is not the job's own.
 */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { stages } from "../../src/app/context/routes.ts";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import type { RemarkCode } from "../../src/job/result/remark-codes.ts";
import type { Result } from "../../src/job/result/result.ts";
import { adviceFor } from "../../src/placement/decide/advice.ts";
import { defaultRule } from "../../src/placement/decide/conformance.ts";
import { crossCheck } from "../../src/placement/decide/cross-check.ts";
import { planMoves } from "../../src/placement/moves/moves.ts";
import type { Step } from "../../src/placement/sheet/sheet.ts";
import type { Said, SaidValues } from "../../src/say/remark.ts";
import {
  type AppUnderTest,
  desktop,
  goTo,
  overflow,
  phone,
  startApp,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

const patience = 300_000;

let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp("spanish-test");
}, patience);
afterAll(async () => {
  await app?.close();
});

/** Words that no Spanish sentence holds. */
const english =
  /\b(the|of|is|are|and|with|from|was|were|not|this|that|to|on|by|for|it|at|be|photo|photos|board|boards|wheel|car|floor|take|check|measured)\b/i;

/** Names, which stay as they are. Longest first. */
const own = ["Atkinson Hyperlegible Next", "SIL Open Font License", "US Letter", "Plumbshot"];

/** All text of the page with everything unfolded, also what only screen readers say. */
async function wordsOn(page: Page): Promise<string[]> {
  await page.locator("main").first().waitFor();
  for (let depth = 0; depth < 5; depth++) {
    const closed = await page.locator("details:not([open])").evaluateAll((folds) => {
      for (const fold of folds) (fold as HTMLDetailsElement).open = true;
      return folds.length;
    });
    if (closed === 0) break;
    await page.waitForTimeout(150);
  }
  return page.evaluate(() => {
    const found: string[] = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const node = walker.currentNode;
      const inside = node.parentElement?.closest("script, style, noscript");
      if (!inside && node.textContent?.trim()) found.push(node.textContent.trim());
    }
    for (const element of document.body.querySelectorAll("*"))
      for (const name of ["aria-label", "title", "alt", "placeholder"]) {
        const text = element.getAttribute(name);
        if (text) found.push(text);
      }
    return found;
  });
}

const withoutOwn = (text: string): string =>
  own.reduce((left, item) => left.replaceAll(item, ""), text);

/** Every English text that the engine has written about this job. */
const engineTexts = (page: Page): Promise<string[]> =>
  page.evaluate(async () => {
    const db = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const all = (store: string) =>
      new Promise<unknown[]>((resolve) => {
        const request = db.transaction(store).objectStore(store).getAll();
        request.onsuccess = () => resolve(request.result);
      });
    const spoken = [
      "message",
      "remedy",
      "text",
      "label",
      "inWords",
      "sentence",
      "advice",
      "reasons",
    ];
    const found: string[] = [];
    const walk = (value: unknown, key: string): void => {
      if (typeof value === "string") {
        if (spoken.includes(key) && value.length > 8) found.push(value);
      } else if (Array.isArray(value)) {
        for (const item of value) walk(item, key);
      } else if (typeof value === "object" && value !== null && !ArrayBuffer.isView(value)) {
        for (const [name, item] of Object.entries(value)) walk(item, name);
      }
    };
    walk([await all("results"), await all("outcomes")], "");
    db.close();
    return [...new Set(found)];
  });

/** Goes to a place and gives its text once it stands. */
async function wordsAt(page: Page, place: string, mark = "main"): Promise<string[]> {
  await goTo(page, place);
  await page.locator(mark).first().waitFor();
  await page.waitForTimeout(300);
  const words = (await wordsOn(page)).map(withoutOwn);
  for (const viewport of [desktop.viewport!, phone.viewport!]) {
    await page.setViewportSize(viewport);
    expect([place, viewport.width, await overflow(page)]).toEqual([place, viewport.width, 0]);
  }
  return words;
}

const englishIn = (place: string, texts: readonly string[]): string[] => [
  ...new Set(texts.filter((text) => english.test(text)).map((text) => `${place}: ${text}`)),
];

test(
  "no English is left on any screen of a Spanish job, nor on its paper",
  async () => {
    const { page, errors, context } = await watchedPage(app, { ...phone, locale: "es-ES" });
    const words = new Map([["start", (await wordsOn(page)).map(withoutOwn)]]);
    await page.getByTestId("demo").click();
    await page.getByTestId("outcome").first().waitFor({ timeout: patience });
    await page.getByTestId("work").waitFor({ state: "detached", timeout: patience });
    const job = new URL(page.url()).hash.split("/").slice(0, 3).join("/");
    for (const place of ["#/", "#/settings", job, ...stages.map((stage) => `${job}/${stage}`)]) {
      words.set(place, await wordsAt(page, place));
    }
    const marked = {
      "#/sheet": "main",
      [`${job}/sheet/teach`]: "[data-testid=add-target-photos] ~ .button-row",
      [`${job}/placement/moves`]: "[data-testid=move-big]",
      [`${job}/placement/sheet`]: ".sheet-editor",
    };
    for (const [place, mark] of Object.entries(marked)) {
      words.set(place, await wordsAt(page, place, mark));
    }
    await goTo(page, `${job}/photos`);
    await page.getByTestId("photo").first().click();
    await page.locator("table").waitFor();
    words.set("photo", (await wordsOn(page)).map(withoutOwn));

    const said = (await engineTexts(page)).map(withoutOwn).filter((text) => english.test(text));
    expect(said.length).toBeGreaterThan(20);
    const shown = [...words.values()].flat();
    expect(shown.length).toBeGreaterThan(1000);
    expect(said.filter((item) => shown.some((text) => text.includes(item)))).toEqual([]);
    expect([...words].flatMap(([place, texts]) => englishIn(place, texts))).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  },
  patience,
);

/** A result with what the demo job lacks: advice, feet, stability, a reading, remarks. */
const rareResult = (): Result => {
  const at = { x: 2508, y: 23, z: 1180, yaw: 0.03, pitch: 0, roll: 0 };
  const feet = [{ name: "pata", inTargetMm: [-400, -1200, -300] as const }];
  const target = { name: "t", boards: [], feet };
  const asked = { target: { facing: "rearward" } } as unknown as Step;
  const missed = ["yaw", "distance"].map((quantity) => ({ quantity, verdict: "misses" as const }));
  const { moves } = planMoves(at, { ...at, x: 2500, yaw: 0 }, asked, target, missed, "ahead");
  const [first, ...others] = inventedResult.checks;
  const advice = adviceFor(
    2507.9,
    1.4,
    { lower: 2490, upper: 2510 },
    defaultRule,
    first.budget,
    "mm",
  );
  const ours = { value: 2507.9, expanded: 2.8 };
  const reading = crossCheck(ours, { value: 2500, expanded: 1 }, "mm", "láser");
  const remark = (code: RemarkCode, values: SaidValues) => ({
    ...{ code, severity: "warning" as const, values },
    ...{ message: "Seen by the engine.", remedy: "Take it again with the boards." },
  });
  const label: Said = {
    code: "label: distance",
    values: { origin: "rear-axle line", point: "", axis: "", above: "", corner: "", axle: "" },
  };
  return {
    ...inventedResult,
    moves,
    checks: [{ ...first, ...advice, labelSaid: label }, ...others.slice(0, 0)],
    crossChecks: [{ check: first.id, by: "láser", value: 2500, expanded: 1, ...reading }],
    stability: {
      verdict: "moved",
      sentence: "Moved since the first photos.",
      said: {
        code: "stability-moved",
        values: {
          boards: [{ code: "stability-board", values: { board: "31", shift: 4, expanded: 1 } }],
        },
      },
      boards: [{ key: "31", moved: true, shiftMm: 4, expandedMm: 1 }],
    },
    remarks: [
      remark("board-moved", { board: "31", shift: 4, turn: 0.2, before: "a", after: "b" }),
      remark("not-connected", {
        groups: [{ code: "group", values: { boards: ["31", "32"], photos: ["a", "b"] } }],
      }),
      remark("floor-differs", { rise: 4, way: "lower", counted: "floor under the car" }),
    ],
  };
};

test(
  "what the demo job does not say is Spanish as well, with a decimal comma",
  async () => {
    const { page, context } = await watchedPage(app, { ...phone, locale: "es-ES" });
    const record = inventedJob();
    await storeJob(page, record, rareResult());
    await page.reload();
    const job = `#/job/${record.id}`;
    const placement = await wordsAt(page, `${job}/placement`, "[data-testid=check]");
    const others = [
      ...(await wordsAt(page, `${job}/placement/moves`, "[data-testid=move-big]")),
      ...(await wordsAt(page, `${job}/record`, "[data-testid=stability]")),
    ];
    const typedHere = /Invented|invented example|B 123/;
    const words = [...placement, ...others].filter((text) => !typedHere.test(text));
    expect(englishIn("stored", words)).toEqual([]);
    // A term that can be tapped is a piece of its own.
    const closeUp = (text: string) => text.replace(/\s+/g, "");
    const all = closeUp(words.join(""));
    for (const sentence of [
      "Distancia por delante de la línea del eje trasero",
      "(61 % de su varianza) viene de: Placas de rueda.",
      "No coincide con láser: difieren en 7,9 mm",
      "la placa 31 (soporte y blanco), 4,0 mm (± 1,0 mm)",
      "placas 31 (soporte y blanco) y 32 (soporte y blanco) en a y b",
      "4,0 mm más bajo que bajo el coche",
    ]) {
      expect(all).toContain(closeUp(sentence));
    }
    await context.close();
  },
  patience,
);

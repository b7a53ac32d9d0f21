/**
 * Plan, side view and detail in a real browser, as wide as a phone and as a desktop: with targets
 * ahead, behind, beside and around the car no word lies on another, none is cut off.
 */
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { inventedJob, inventedResult } from "../../src/app/fixtures/invented-job.ts";
import type { Result } from "../../src/job/result/result.ts";
import {
  type AppUnderTest,
  desktop,
  goTo,
  phone,
  startApp,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

let app: AppUnderTest;

beforeAll(async () => {
  app = await startApp("drawings-test");
});

afterAll(async () => {
  await app?.close();
});

type Target = NonNullable<Result["drawing"]["measuredTarget"]>;

/** A face that looks back at the car, turned by `yaw` degrees. */
const facing = (yaw: number): number[] => {
  const [c, s] = [Math.cos((yaw * Math.PI) / 180), Math.sin((yaw * Math.PI) / 180)];
  return [s, 0, -c, -c, 0, -s, 0, 1, 0];
};
const lyingFlat = [0, 1, 0, -1, 0, 0, 0, 0, 1];

/** Required place and measured place, vehicle-frame mm; size of the face. Invented. */
const placements: readonly (readonly [string, Target, Target, readonly [number, number]])[] = [
  [
    "a radar plate",
    at([2350, -140, 480], facing(0)),
    at([2362, -128, 477], facing(0.4)),
    [500, 500],
  ],
  [
    "a reflector behind",
    at([-5000, 1700, 620], facing(150)),
    at([-5012, 1720, 611], facing(148)),
    [200, 200],
  ],
  ["a mat ahead", at([1250, 0, 0], lyingFlat), at([1262, -9, 0], lyingFlat), [2400, 1000]],
  [
    "a mat at the left",
    at([-1350, 1700, 0], lyingFlat),
    at([-1345, 1716, 0], lyingFlat),
    [1000, 4000],
  ],
  [
    "a crossbar, nearly right",
    at([1950, 0, 900], facing(0)),
    at([1951, 1, 900], facing(0.1)),
    [2000, 80],
  ],
];

function at(positionMm: number[], rotation: number[]): Target {
  return { positionMm, rotation };
}

/** Pairs of words that lie on each other, and words that stick out of their drawing. */
function faults(): string[] {
  const words = [...document.querySelectorAll<SVGTextElement>("[data-testid=drawing-label]")];
  const boxes = words.map((word) => ({
    text: word.textContent ?? "",
    box: word.getBoundingClientRect(),
    paper: word.ownerSVGElement?.getBoundingClientRect(),
  }));
  const apart = (a: DOMRect, b: DOMRect): boolean =>
    // A pixel of the line's own room above and below the letters is no overlap.
    a.right <= b.left ||
    b.right <= a.left ||
    a.bottom - 3 <= b.top + 3 ||
    b.bottom - 3 <= a.top + 3;
  const lying = boxes.flatMap((one, index) =>
    boxes
      .slice(index + 1)
      .filter((other) => !apart(one.box, other.box))
      .map((other) => `${one.text} on ${other.text}`),
  );
  const out = boxes
    .filter(
      ({ box, paper }) =>
        !paper || box.left < paper.left || box.right > paper.right || box.top < paper.top,
    )
    .map(({ text }) => `${text} sticks out`);
  return words.length > 0 ? [...lying, ...out] : ["no words"];
}

describe.each([
  ["phone", phone],
  ["desktop", desktop],
] as const)("%s", (_size, options) => {
  test("words keep apart", async () => {
    const { page, errors, context } = await watchedPage(app, options);
    await page.locator("h1").waitFor();
    const found: string[] = [];
    for (const [name, requiredTarget, measuredTarget, size] of placements) {
      const job = inventedJob();
      const drawing = {
        ...inventedResult.drawing,
        requiredTarget,
        measuredTarget,
        targetSizeMm: [...size],
      };
      await storeJob(page, job, { ...inventedResult, drawing });
      await page.goto(app.url);
      await goTo(page, `#/job/${job.id}/placement`);
      for (const view of ["From above", "From the side"]) {
        await page.getByRole("button", { name: view }).click();
        await page.getByTestId("drawing-label").first().waitFor();
        found.push(...(await page.evaluate(faults)).map((fault) => `${name}, ${view}: ${fault}`));
      }
    }
    expect(found).toEqual([]);
    expect(errors).toEqual([]);
    await context.close();
  });
});

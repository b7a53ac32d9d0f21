/** The field guide: the same in both languages, its figures those of the simulation and of the README. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { guideWords } from "../../../src/boards/guide/all-words.ts";
import { buildGuidePdf, guideFiles } from "../../../src/boards/guide/guide-pdf.ts";
import { errorsByHand } from "../../tools/by-hand.ts";

const [en, es] = [guideWords("en"), guideWords("es")];
const comparison = (words: typeof en) => words.sections.find(({ parts }) => parts)!.parts!;

test("both languages have the same sections, steps and symptoms", () => {
  const shape = ({ sections }: typeof en) =>
    sections.map(({ paragraphs, pairs, parts, drawing }) => [
      paragraphs.length,
      pairs?.length,
      parts?.length,
      drawing,
    ]);
  expect(shape(es)).toEqual(shape(en));
  expect(en.sections.find(({ pairs }) => pairs)!.pairs!.length).toBeGreaterThan(10);
});

test("the errors by hand are those of the simulation, Plumbshot's those that the README states", () => {
  const { aheadMm, leftMm, turnDeg } = errorsByHand();
  const figures = comparison(en).map(([, , count]) => count);
  const readme = readFileSync("README.md", "utf8");
  const stated = (line: string) => new RegExp(`\\| ${line} \\|[^|]*\\| ([\\d.]+)`).exec(readme)![1];
  const ahead = Number(stated("distance ahead of the front axle")).toFixed(1);
  const left = Number(stated("offset from the centreline")).toFixed(1);
  const turn = Number(stated("turn")).toFixed(2);
  expect(figures.slice(0, 3)).toEqual([
    `${aheadMm.toFixed(1)} mm / ${ahead} mm`,
    `${leftMm.toFixed(1)} mm / ${left} mm`,
    `${turnDeg.toFixed(2)} / ${turn} degrees`,
  ]);
  const spanish = comparison(es).map(([, , count]) => count.replaceAll(",", "."));
  expect(spanish.slice(0, 2)).toEqual(figures.slice(0, 2));
});

test("the simulated distance by hand is what error propagation gives", () => {
  // Marks of one axle and one tape reading: 1.96 sqrt(1.5^2 / 2 + 2^2) mm.
  const expected = 1.96 * Math.sqrt(1.5 ** 2 / 2 + 2 ** 2);
  expect(Math.abs(errorsByHand().aheadMm / expected - 1)).toBeLessThan(0.02);
});

test("the committed pages are those that the sources make", async () => {
  for (const { file, paper, language } of guideFiles) {
    const made = Buffer.from(await buildGuidePdf(paper, language));
    expect(made.equals(readFileSync(`calibration-boards/${file}`)), file).toBe(true);
  }
});

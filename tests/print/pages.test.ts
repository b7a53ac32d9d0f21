/**
 * Proof of the print: the committed PDFs are rendered by poppler (pdftoppm) as a printer's program
 * would do, read by opencv.js, which knows nothing of this project, and measured.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import { roleOf } from "../../src/boards/kit.ts";
import { kitFiles } from "../../src/boards/pages/kit-files.ts";
import {
  buildKitPdf,
  type KitContent,
  kitPages,
  kitWords,
} from "../../src/boards/pages/kit-pdf.ts";
import {
  barWords,
  boardPageLayout,
  cutLineMm,
  type PageLayout,
  type Paper,
  papers,
  printableRimMm,
  sheetPageLayout,
} from "../../src/boards/pages/paper.ts";
import { boardCells, cellIsBlack, tagOutline } from "../../src/boards/pattern.ts";
import { sheetCorners, sheetMarkers, sheetSquareMm } from "../../src/boards/sheet.ts";
import { edgesAlong, greyAt, inkBox, lineMiddle, pagePoint } from "./measure.ts";
import { openPageReader, type PageReader } from "./opencv.ts";
import { countPages, pageText, type Raster, rasterise } from "./raster.ts";

const tolMm = 0.05;
const pathOf = (file: string): string =>
  fileURLToPath(new URL(`../../calibration-boards/${file}`, import.meta.url));

let reader: PageReader;
beforeAll(async () => {
  reader = await openPageReader(Array.from({ length: 35 }, (_, i) => 540 + i));
});

/** Largest distance between found and expected page points, mm. */
function worstMm(raster: Raster, paper: Paper, found: Float64Array, expectedMm: number[]): number {
  expect(found.length).toBe(expectedMm.length);
  let worst = 0;
  for (let i = 0; i < found.length; i += 2) {
    const [x, y] = pagePoint(raster, paper, found[i], found[i + 1]);
    worst = Math.max(worst, Math.hypot(x - expectedMm[i], y - expectedMm[i + 1]));
  }
  return worst;
}

/**
 * Places of the checks' edges in the outermost ring rows and columns, as found on the raster minus
 * as designed; 14 edges on each of four cuts.
 */
function ringEdgeErrors(raster: Raster, paper: Paper): number[] {
  const u = paper.cellMm;
  const half = (boardCells / 2) * u;
  const middle = half - u / 2;
  const errors: number[] = [];
  for (const side of [1, -1]) {
    const cuts = [
      edgesAlong(raster, paper, [-half - u, side * middle], [half + u, side * middle]),
      edgesAlong(raster, paper, [side * middle, half + u], [side * middle, -half - u]),
    ];
    for (const [i, edges] of cuts.entries()) {
      expect(edges.length).toBe(14);
      // The upper row and the left column start black at the very edge, the others one cell later.
      const startsBlack = i === 0 ? side > 0 : side < 0;
      for (const [k, edge] of edges.entries()) errors.push(edge - (k + (startsBlack ? 1 : 2)) * u);
    }
  }
  return errors;
}

function wrongCells(raster: Raster, paper: Paper, id: number): number {
  const u = paper.cellMm;
  let wrong = 0;
  // The whole board with its margin of one cell, nine places in every cell.
  for (let row = -1; row <= boardCells; row++)
    for (let col = -1; col <= boardCells; col++)
      for (const dx of [0.1, 0.5, 0.9])
        for (const dy of [0.1, 0.5, 0.9]) {
          const x = (col + dx - boardCells / 2) * u;
          const y = (boardCells / 2 - row - dy) * u;
          const isBlack = greyAt(raster, paper, x, y) < 128;
          if (isBlack !== cellIsBlack(id, row, col)) wrong++;
        }
  return wrong;
}

/** Lengths of the two check bars between the middles of their end ticks, mm. */
function barLengths(raster: Raster, paper: Paper, { horizontal, vertical }: PageLayout): number[] {
  const off = 1.5; // beside the bar's own line, still on the tick
  const reach = 1;
  const ends = (half: number, cut: (from: number, to: number) => number): number =>
    half - reach + cut(half - reach, half + reach);
  const hx = horizontal.lengthMm / 2;
  const y = horizontal.atMm - off;
  const right = ends(hx, (a, b) => lineMiddle(raster, paper, [a, y], [b, y]));
  const left = ends(hx, (a, b) => lineMiddle(raster, paper, [-a, y], [-b, y]));
  const vy = vertical.lengthMm / 2;
  const x = vertical.atMm + off;
  const top = ends(vy, (a, b) => lineMiddle(raster, paper, [x, a], [x, b]));
  const bottom = ends(vy, (a, b) => lineMiddle(raster, paper, [x, -a], [x, -b]));
  return [left + right, top + bottom];
}

function expectBars(raster: Raster, paper: Paper, layout: PageLayout): void {
  const [across, up] = barLengths(raster, paper, layout);
  expect(Math.abs(across - layout.horizontal.lengthMm)).toBeLessThan(tolMm);
  expect(Math.abs(up - layout.vertical.lengthMm)).toBeLessThan(tolMm);
}

function expectInsideRim(raster: Raster, paper: Paper): void {
  const [left, bottom, right, top] = inkBox(raster, paper);
  const rim = printableRimMm - 0.1;
  expect(left).toBeGreaterThan(rim - paper.widthMm / 2);
  expect(right).toBeLessThan(paper.widthMm / 2 - rim);
  expect(bottom).toBeGreaterThan(rim - paper.heightMm / 2);
  expect(top).toBeLessThan(paper.heightMm / 2 - rim);
}

/** The page of a board, at 300 dpi: id, upright, sizes, cells, bars. */
function expectBoardPage(raster: Raster, paper: Paper, id: number): void {
  const tags = reader.tags(raster);
  expect(tags.map((t) => t.id)).toEqual([id]);
  // Corners in OpenCV's order at their designed places: right id, upright, not mirrored, centred.
  const designed = tagOutline.map((c) => c * paper.cellMm);
  expect(worstMm(raster, paper, tags[0].corners, designed)).toBeLessThan(tolMm);
  const errors = ringEdgeErrors(raster, paper);
  expect(errors.length).toBe(56);
  expect(Math.max(...errors.map(Math.abs))).toBeLessThan(tolMm);
  expect(wrongCells(raster, paper, id)).toBe(0);
  expectBars(raster, paper, boardPageLayout(paper));
  expectInsideRim(raster, paper);
}

/** The page of the camera sheet, at 300 dpi. */
function expectSheetPage(raster: Raster, paper: Paper): void {
  const found = reader.sheet(raster);
  expect(found.markerIds.toSorted((a, b) => a - b)).toEqual(sheetMarkers.map((m) => m.id));
  expect(found.cornerIds.length).toBe(54);
  const designed = found.cornerIds.flatMap((id) => [
    sheetCorners[id].x * sheetSquareMm,
    sheetCorners[id].y * sheetSquareMm,
  ]);
  expect(worstMm(raster, paper, found.corners, designed)).toBeLessThan(tolMm);
  expectBars(raster, paper, sheetPageLayout(paper));
  expectInsideRim(raster, paper);
}

function expectPages(file: string, content: KitContent, first: number, last: number): void {
  const paper = papers[content.paper];
  const pages = kitPages(content);
  let page = first;
  for (const raster of rasterise(pathOf(file), 300, first, last)) {
    const what = pages[page - 1];
    if (what.kind === "board") expectBoardPage(raster, paper, what.id);
    else if (what.kind === "camera sheet") expectSheetPage(raster, paper);
    else {
      expect(reader.tags(raster)).toEqual([]);
      expectInsideRim(raster, paper);
    }
    page++;
  }
  expect(page).toBe(last + 1);
}

describe.each(kitFiles)("$file", ({ file, content }) => {
  const pages = kitPages(content);

  test("is what the program writes, byte for byte, and small", async () => {
    const committed = readFileSync(pathOf(file));
    const written = Buffer.from(await buildKitPdf(content));
    expect(written.equals(committed)).toBe(true);
    expect(committed.length).toBeLessThan(1.5e6);
    expect(countPages(pathOf(file))).toBe(pages.length);
  });

  test("says id, role, cell size, paper and bar lengths in words", () => {
    const paper = papers[content.paper];
    const { horizontal, vertical } = boardPageLayout(paper);
    let seen = 0;
    for (const [i, page] of pages.entries()) {
      if (page.kind !== "board" || i % 4 !== 2) continue;
      const text = pageText(pathOf(file), i + 1);
      const said = kitWords[content.language ?? "en"];
      for (const words of [
        said.role(roleOf(page.id)!),
        said.tag(page.id),
        said.upMark,
        said.cell(paper.cellMm, 14 * paper.cellMm),
        `${paper.name}, ${paper.widthMm} x ${paper.heightMm} mm`,
        said.barAcross(barWords(paper, horizontal.lengthMm)),
        said.barUpToLower(barWords(paper, vertical.lengthMm)),
        said.safety,
      ])
        expect(text).toContain(words);
      seen++;
    }
    expect(seen).toBeGreaterThan(5);
  });
});

// The A4 kit is read page by page at 300 dpi below.
test.each(kitFiles.filter(({ content }) => content.paper !== "A4"))(
  "$file has the right tag alone on every page (50 dpi)",
  ({ file, content }) => {
    const pages = kitPages(content);
    const found = [...rasterise(pathOf(file), 50, 1, pages.length)].map((raster) =>
      reader.tags(raster).map((t) => t.id),
    );
    for (const [i, page] of pages.entries()) {
      if (page.kind === "board") expect(found[i]).toEqual([page.id]);
      if (page.kind === "cover") expect(found[i]).toEqual([]);
    }
    expect(found.length).toBe(pages.length);
  },
);

describe("measured at 300 dpi to 0.05 mm", () => {
  const [a4, letter, a3, tabloid] = kitFiles;

  test("every page of the A4 kit", () => expectPages(a4.file, a4.content, 1, 51));
  test("cover, sheet and wheel pages of the Letter kit", () =>
    expectPages(letter.file, letter.content, 1, 6));
  test("a pointer and the last pages of the Letter kit", () => {
    expectPages(letter.file, letter.content, 43, 44);
    expectPages(letter.file, letter.content, 51, 51);
  });
  test("large boards", () => {
    expectPages(a3.file, a3.content, 29, 29);
    expectPages(tabloid.file, tabloid.content, 2, 2);
  });

  test.each([
    ["a wheel plate", 1, 1],
    ["a pointer", 41, -1],
  ])("the number of %s is 25 mm high, and the white margin is white", (_what, id, side) => {
    const kits = [a4, letter].map((kit) => ({
      ...kit,
      paper: papers[kit.content.paper],
      page: kitPages(kit.content).findIndex((p) => p.kind === "board" && p.id === id) + 1,
    }));
    for (const { file, paper, page } of kits) {
      const [raster] = rasterise(pathOf(file), 300, page, page);
      const white = 8 * paper.cellMm;
      const left = side > 0 ? -91 : -20;
      const inked: number[] = [];
      for (let y = white; y < white + 29; y += 0.1) {
        for (let x = left; x < left + 40; x += 0.2) {
          if (greyAt(raster, paper, x, side * y) < 128) {
            inked.push(y);
            break;
          }
        }
      }
      expect(Math.min(...inked) - white).toBeGreaterThan(0.3);
      // The longest run of lines with ink is the number's height.
      let [run, longest] = [0, 0];
      for (const [at, y] of inked.entries()) {
        run = at > 0 && y - inked[at - 1] < 0.15 ? run + 0.1 : 0.1;
        longest = Math.max(longest, run);
      }
      expect(longest).toBeGreaterThan(25);
    }
  });

  test("a pointer's tip is where the tick meets the cut line", () => {
    const pages = kitPages(a4.content);
    const page = pages.findIndex((p) => p.kind === "board" && p.id === 41) + 1;
    const [raster] = rasterise(pathOf(a4.file), 300, page, page);
    const paper = papers.A4;
    const cut = cutLineMm(paper);
    expect(cut).toBe(117);
    const tick = -2 + lineMiddle(raster, paper, [-2, cut - 4], [2, cut - 4]);
    expect(Math.abs(tick)).toBeLessThan(tolMm);
    const [end] = edgesAlong(raster, paper, [0, cut - 2], [0, cut + 2]);
    expect(Math.abs(cut - 2 + end - cut)).toBeLessThan(0.2);
  });
});

describe("the checks themselves can fail", () => {
  const [a4] = kitFiles;

  test("a page taken for one printed 0.1 % smaller is refused", () => {
    const [raster] = rasterise(pathOf(a4.file), 300, 3, 3);
    const shrunk = { ...raster, dpi: raster.dpi * 1.001 };
    expect(
      Math.abs(barLengths(shrunk, papers.A4, boardPageLayout(papers.A4))[1] - 270),
    ).toBeGreaterThan(tolMm);
    expect(Math.max(...ringEdgeErrors(shrunk, papers.A4).map(Math.abs))).toBeGreaterThan(tolMm);
  });

  test("another id or a turned page is refused", () => {
    const [raster] = rasterise(pathOf(a4.file), 75, 3, 3);
    expect(wrongCells(raster, papers.A4, 1)).toBe(0);
    expect(wrongCells(raster, papers.A4, 2)).toBeGreaterThan(0);
    const turned = { ...raster, data: raster.data.toReversed() };
    expect(wrongCells(turned, papers.A4, 1)).toBeGreaterThan(0);
  });
});

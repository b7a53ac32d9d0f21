/** Boards, sheet and prints against Debian's own OpenCV (python3-opencv). */
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { kitFiles } from "../../src/boards/pages/kit-files.ts";
import { kitPages } from "../../src/boards/pages/kit-pdf.ts";
import { type Paper, papers } from "../../src/boards/pages/paper.ts";
import { ringSaddles, tagCellIsBlack, tagCount, tagOutline } from "../../src/boards/pattern.ts";
import { sheetCorners, sheetMarkers, sheetSquareMm } from "../../src/boards/sheet.ts";
import { pagePoint, pixelOf } from "../print/measure.ts";
import { type Raster, rasterise } from "../print/raster.ts";
import { ensureDebian } from "../tools/debian.ts";
import { writePgm } from "../tools/pgm.ts";

const python = "/usr/bin/python3";
const script = fileURLToPath(new URL("boards_opencv.py", import.meta.url));
const tolMm = 0.05;
const pathOf = (file: string): string =>
  fileURLToPath(new URL(`../../calibration-boards/${file}`, import.meta.url));
let folder = "";

beforeAll(() => {
  ensureDebian(
    () => spawnSync(python, ["-c", "import cv2.aruco"]).status === 0,
    ["python3-opencv"],
    "The comparison of boards with Debian's OpenCV",
  );
  folder = mkdtempSync(join(tmpdir(), "boards-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function ask<T>(...args: string[]): T {
  return JSON.parse(execFileSync(python, [script, ...args], { encoding: "utf8", maxBuffer: 1e8 }));
}

test("every cell of all 587 tags", () => {
  const { tags } = ask<{ tags: string[] }>("family");
  expect(tags.length).toBe(tagCount);
  const ours = tags.map((_, id) =>
    Array.from({ length: 64 }, (_, i) => (tagCellIsBlack(id, i >> 3, i & 7) ? "0" : "1")).join(""),
  );
  expect(ours).toEqual(tags);
});

test("the camera sheet has OpenCV's layout", () => {
  const sheet = ask<{
    corners: number[][];
    markers: number[][][];
    ids: number[];
    topLeftBlack: boolean;
  }>("sheet");
  expect(sheet.topLeftBlack).toBe(true);
  expect(sheet.ids).toEqual(sheetMarkers.map((m) => m.id));
  expect(sheet.corners.length).toBe(54);
  // OpenCV: origin at the sheet's upper left corner, y down, mm.
  const here = ([x, y]: number[]): [number, number] => [x / 25 - 3.5, 5 - y / 25];
  for (const [i, corner] of sheet.corners.entries()) {
    const [x, y] = here(corner);
    expect(Math.hypot(x - sheetCorners[i].x, y - sheetCorners[i].y)).toBeLessThan(1e-6);
  }
  expect(sheet.markers.length).toBe(35);
  for (const [i, quad] of sheet.markers.entries()) {
    const found = quad.flatMap(here);
    const worst = Math.max(...found.map((c, k) => Math.abs(c - sheetMarkers[i].corners[k])));
    expect(worst).toBeLessThan(1e-6);
  }
});

describe.each(kitFiles)("$file at 300 dpi", ({ file, content }) => {
  const pdf = pathOf(file);
  const paper = papers[content.paper];
  const pages = kitPages(content);

  // The whole A4 kit; of the others every third page, which holds every role they have.
  const every = content.paper === "A4" ? 1 : 3;

  test("boards: their id alone, upright, tag corners and 48 saddles within 0.05 mm", () => {
    let seen = 0;
    for (const [i, page] of pages.entries()) {
      if (page.kind !== "board" || i % every !== 0) continue;
      const [raster] = rasterise(pdf, 300, i + 1, i + 1);
      const found = askBoard(raster, paper);
      expect(found.ids).toEqual([page.id]);
      const corners = tagOutline.map((c) => c * paper.cellMm);
      expect(worstMm(raster, paper, found.corners[0], corners)).toBeLessThan(tolMm);
      const saddles = ringSaddles.flatMap((s) => [s.x * paper.cellMm, s.y * paper.cellMm]);
      expect(worstMm(raster, paper, found.saddles, saddles)).toBeLessThan(tolMm);
      seen++;
    }
    expect(seen).toBe(every === 1 ? 49 : Math.floor((pages.length - 1) / every));
  });
});

describe.each(kitFiles.filter(({ content }) => content.cameraSheet))(
  "camera sheet of $file",
  ({ file, content }) => {
    test("35 markers, 54 corners within 0.05 mm", () => {
      const paper = papers[content.paper];
      const [raster] = rasterise(pathOf(file), 300, 2, 2);
      const path = join(folder, "sheet.pgm");
      writePgm(path, raster);
      const found = ask<{ markers: number[]; ids: number[]; corners: number[] }>(
        "sheet-corners",
        path,
      );
      expect(found.markers).toEqual(sheetMarkers.map((m) => m.id));
      expect(found.ids).toEqual(sheetCorners.map((c) => c.index));
      const designed = sheetCorners.flatMap((c) => [c.x * sheetSquareMm, c.y * sheetSquareMm]);
      expect(worstMm(raster, paper, found.corners, designed)).toBeLessThan(tolMm);
    });
  },
);

interface BoardAnswer {
  readonly ids: number[];
  readonly corners: number[][];
  readonly saddles: number[];
}

/** What OpenCV sees; its search for saddles starts a millimetre beside the designed places. */
function askBoard(raster: Raster, paper: Paper): BoardAnswer {
  const path = join(folder, "page.pgm");
  writePgm(path, raster);
  const starts = ringSaddles.flatMap((s) =>
    pixelOf(raster, paper, s.x * paper.cellMm + 0.6, s.y * paper.cellMm - 0.8),
  );
  return ask<BoardAnswer>("board", path, ...starts.map((c) => c.toFixed(2)));
}

function worstMm(raster: Raster, paper: Paper, found: number[], designedMm: number[]): number {
  expect(found.length).toBe(designedMm.length);
  let worst = 0;
  for (let i = 0; i < found.length; i += 2) {
    const [x, y] = pagePoint(raster, paper, found[i], found[i + 1]);
    worst = Math.max(worst, Math.hypot(x - designedMm[i], y - designedMm[i + 1]));
  }
  return worst;
}

import { loadOpenCV } from "@opencvjs/web";
import { beforeAll, describe, expect, it } from "vitest";
import { findBoards } from "../../../src/detect/find-boards.ts";
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import { boardTagFinder, sheetTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import { phoneLens, printPose } from "../../tools/board-poses.ts";
import { type Print, renderScene, type Scene, truePixel } from "../../tools/render-board.ts";

let finder: TagFinder;
let sheetFinder: TagFinder;
beforeAll(async () => {
  const cv = (await loadOpenCV()) as never;
  finder = boardTagFinder(cv);
  sheetFinder = sheetTagFinder(cv);
});

const lens = phoneLens(320, 240, 1200);
const scene = (prints: readonly Print[], change: Partial<Scene> = {}): Scene => ({
  width: 320,
  height: 240,
  lens,
  prints,
  blurPx: 0.8,
  tone: "sRGB",
  noise: 2,
  seed: 1,
  ...change,
});

function errorPx(view: BoardView, s: Scene, print: Print): number {
  let sum = 0;
  const n = view.pixels.length;
  for (let i = 0; i < n; i += 2) {
    const [x, y] = truePixel(s, print, view.boardPoints[i], view.boardPoints[i + 1]);
    sum += (x - view.pixels[i]) ** 2 + (y - view.pixels[i + 1]) ** 2;
  }
  return Math.sqrt(sum / n);
}

describe("findBoards", () => {
  it("finds two boards and places their features to better than 0.04 px", () => {
    const left: Print = { id: 7, cameraFromBoard: printPose(lens, [85, 120], 8, 0.5, 0.3, 0.2) };
    const right: Print = { id: 52, cameraFromBoard: printPose(lens, [235, 120], 7, 0.8, 2, -0.4) };
    const s = scene([left, right]);
    const { boards, remarks } = findBoards(renderScene(s), finder, { what: "boards", lens });
    expect(remarks).toEqual([]);
    expect(boards.map((b) => b.id).sort((a, b) => a - b)).toEqual([7, 52]);
    for (const view of boards) {
      expect(view.pixels.length).toBe(view.boardPoints.length);
      expect(errorPx(view, s, view.id === 7 ? left : right)).toBeLessThan(0.04);
    }
  });

  it("reads a board outside the kit through its ring, in any turn", () => {
    for (const spin of [0.3, 1.9, 3.4, 5]) {
      const print: Print = {
        id: 300,
        cameraFromBoard: printPose(lens, [160, 120], 8, 0.4, 1, spin),
      };
      const s = scene([print]);
      const { boards } = findBoards(renderScene(s), finder, { what: "boards", lens });
      expect(boards.map((b) => b.id)).toEqual([300]);
      expect(errorPx(boards[0], s, print)).toBeLessThan(0.04);
    }
  });

  it("leaves out a board that shows twice and says so", () => {
    const at = (x: number): Print => ({
      id: 31,
      cameraFromBoard: printPose(lens, [x, 120], 7, 0.2, 0, 0),
    });
    const image = renderScene(scene([at(85), at(235)]));
    const { boards, remarks } = findBoards(image, finder, { what: "boards" });
    expect(boards).toEqual([]);
    expect(remarks.map((r) => r.code)).toEqual(["same-board-twice"]);
  });

  it("recognises a mirrored print, in any turn", () => {
    for (const spin of [0, 1.3, 3.1]) {
      const print: Print = {
        id: 3,
        mirrored: true,
        cameraFromBoard: printPose(lens, [160, 120], 8, 0.3, 0, spin),
      };
      const image = renderScene(scene([print]));
      const { boards, remarks } = findBoards(image, finder, { what: "boards" });
      expect(boards).toEqual([]);
      expect(remarks.map((r) => r.code)).toEqual(["mirrored-print"]);
    }
  });

  it("finds nothing in noise and survives a picture of one pixel", () => {
    const empty = renderScene(scene([], { noise: 25 }));
    expect(findBoards(empty, finder, { what: "boards" }).boards).toEqual([]);
    const dot = { width: 1, height: 1, data: Uint8Array.of(7) };
    expect(findBoards(dot, finder, { what: "boards" }).boards).toEqual([]);
    expect(findBoards(dot, sheetFinder, { what: "sheet" }).boards).toEqual([]);
  });

  it("finds the markers of the camera sheet without knowing the lens", () => {
    const wide = phoneLens(320, 400);
    const print: Print = {
      id: "sheet",
      cameraFromBoard: printPose(wide, [160, 200], 36, 0.3, 0.7, 0.05),
    };
    const s = scene([print], { width: 320, height: 400, lens: wide });
    const { boards } = findBoards(renderScene(s), sheetFinder, { what: "sheet" });
    expect(boards.length).toBe(1);
    expect(boards[0].pixels.length / 2).toBeGreaterThanOrEqual(34);
    expect(errorPx(boards[0], s, print)).toBeLessThan(0.03);
    expect(boards[0].quality.burntFeatures).toBe(0);
  });

  it("tells a lamp mirrored in the camera sheet from a hand on it", () => {
    const wide = phoneLens(320, 400);
    const pose = printPose(wide, [160, 200], 36, 0.3, 0.7, 0.05);
    const s = scene([{ id: "sheet", cameraFromBoard: pose }], {
      width: 320,
      height: 400,
      lens: wide,
    });
    const covered = (grey: number) => {
      const { width, height, data } = renderScene(s);
      const painted = data.map((value, i) =>
        Math.hypot((i % width) - 110, Math.floor(i / width) - 130) < 52 ? grey : value,
      );
      const { boards } = findBoards({ width, height, data: painted }, sheetFinder, {
        what: "sheet",
      });
      expect(boards).toHaveLength(1);
      return { found: boards[0].pixels.length / 2, burnt: boards[0].quality.burntFeatures };
    };
    const lamp = covered(255);
    const hand = covered(120);
    expect(lamp.found).toBeLessThan(34);
    expect(hand.found).toBeLessThan(34);
    expect(lamp.burnt).toBeGreaterThanOrEqual(2);
    expect(lamp.burnt).toBeLessThanOrEqual(35 - lamp.found);
    expect(hand.burnt).toBe(0);
  });
});

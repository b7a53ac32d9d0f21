import { loadOpenCV } from "@opencvjs/web";
import { beforeAll, describe, expect, it } from "vitest";
import { findBoards } from "../../../src/detect/find-boards.ts";
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import { planeMap } from "../../../src/detect/picture/plane-map.ts";
import { readBlurredTag } from "../../../src/detect/search/blurred-tag.ts";
import { boardTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { TagFinder, TagSearch } from "../../../src/detect/tags/tag-finder.ts";
import { fitHomography } from "../../../src/maths/homography.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";
import { phoneLens, printPoseSeen } from "../../tools/board-poses.ts";
import { type Print, renderScene, type Scene, truePixel } from "../../tools/render-board.ts";

let finder: TagFinder;
beforeAll(async () => {
  finder = boardTagFinder((await loadOpenCV()) as never);
});

const lens = phoneLens(160, 120, 1200);
const scene = (prints: readonly Print[], change: Partial<Scene> = {}): Scene => ({
  width: 160,
  height: 120,
  lens,
  prints,
  blurPx: 0.8,
  tone: "sRGB",
  noise: 2,
  seed: 1,
  ...change,
});
const print = (
  cellPx: number,
  tiltDeg: number,
  turns: number,
  more: Partial<Print> = {},
): Print => ({
  id: 23,
  cameraFromBoard: printPoseSeen(
    lens,
    [80, 60],
    cellPx,
    (tiltDeg * Math.PI) / 180,
    0.7 + turns,
    0.4 + 1.9 * turns,
  ),
  ...more,
});

function errorPx(view: BoardView, s: Scene): number {
  let sum = 0;
  for (let i = 0; i < view.pixels.length; i += 2) {
    const [x, y] = truePixel(s, s.prints[0], view.boardPoints[i], view.boardPoints[i + 1]);
    sum += (x - view.pixels[i]) ** 2 + (y - view.pixels[i + 1]) ** 2;
  }
  return Math.sqrt(sum / view.pixels.length);
}

/** Counts the searches by how much darker they want black to be. */
function counting(searches: TagSearch[]): TagFinder {
  return {
    find: (image, search) => {
      searches.push(search);
      return finder.find(image, search);
    },
  };
}

describe("boards whose tags hardly show", () => {
  const cases: [string, number, number, number, Print["discs"], number][] = [
    ["3 px a cell at 60 degrees", 3, 60, 0.7, [], 0.1],
    ["something grey across the tag's side", 4, 35, 0.8, [[4.5, 0, 0.7]], 0.06],
    ["6 px a cell at 70 degrees, blurred by 1.5 px", 6, 70, 1.5, [], 0.2],
    ["3 px a cell at 35 degrees, blurred by 2 px", 3, 35, 2, [], 0.3],
  ];
  it.each(cases)("%s", (_, cellPx, tiltDeg, blurPx, discs, tolerance) => {
    for (const turns of [0, 1, 2, 3]) {
      const s = scene([print(cellPx, tiltDeg, turns, { discs })], { blurPx });
      const { boards, remarks } = findBoards(renderScene(s), finder, { what: "boards", lens });
      expect(boards.map(({ id }) => id)).toEqual([23]);
      expect(errorPx(boards[0], s)).toBeLessThan(tolerance);
      expect(remarks).toEqual([]);
    }
  });

  it("takes no ring without a tag for a board, nor a mirrored print", () => {
    for (const turns of [0, 1])
      for (const [cellPx, tiltDeg, blurPx] of [
        [3, 35, 2],
        [6, 70, 1.5],
        [4, 35, 0.8],
      ]) {
        const empty = print(cellPx, tiltDeg, turns, { discs: [[0, 0, 4.6]] });
        const mirrored = print(cellPx, tiltDeg, turns, { mirrored: true });
        for (const other of [empty, mirrored]) {
          const image = renderScene(scene([other], { blurPx }));
          expect(findBoards(image, finder, { what: "boards", lens }).boards).toEqual([]);
        }
      }
  });

  it("searches no further than it has to where three boards are found", () => {
    const wide = phoneLens(480, 160, 1200);
    const row = [7, 12, 52].map((id, k) => ({
      id,
      cameraFromBoard: printPoseSeen(wide, [80 + 160 * k, 80], 8, 0.3, 1, 0.2),
    }));
    const searches: TagSearch[] = [];
    const image = renderScene(scene(row, { width: 480, height: 160, lens: wide }));
    const found = findBoards(image, counting(searches), { what: "boards", lens: wide });
    expect(found.boards).toHaveLength(3);
    expect(searches).toHaveLength(1);
    const alone = renderScene(scene([print(6, 20, 0)]));
    searches.length = 0;
    expect(findBoards(alone, counting(searches), { what: "boards", lens }).boards).toHaveLength(1);
    expect(searches.map(({ darkerBy }) => darkerBy)).toEqual([7, 30, 1]);
  });
});

describe("reading a tag through its blur", () => {
  const tag = (s: Scene) => {
    const square = [-7, 7, 7, 7, 7, -7, -7, -7];
    const corners = [0, 1, 2, 3].flatMap((k) =>
      truePixel(s, s.prints[0], square[2 * k], square[2 * k + 1]),
    );
    const map = planeMap(lens);
    const homography = fitHomography(square, map.toPlane(corners));
    if (!homography) throw new Error("no map");
    const variance = s.blurPx ** 2 + 1 / 12;
    return { map, homography, blur: Float64Array.of(variance, 0, variance) };
  };

  it("tells code and half turn with a clear lead over the next code", () => {
    for (const id of [0, 7, 51, 300]) {
      const s = scene([print(3, 35, 1, { id })], { blurPx: 2 });
      const image = renderScene(s);
      const { map, homography, blur } = tag(s);
      const reading = readBlurredTag(image, homography, blur, map);
      expect(reading).toMatchObject({ id, halfTurns: 0 });
      expect(reading?.noise).toBeLessThan(0.08);
      expect(reading?.lead).toBeGreaterThan(4);
      const turned = homography.map((v, i) => (i % 3 === 2 ? v : -v));
      expect(readBlurredTag(image, turned, blur, map)).toMatchObject({ id, halfTurns: 1 });
    }
  });

  it("has no lead where there is no code", () => {
    const s = scene([print(3, 35, 1, { discs: [[0, 0, 4.6]] })], { blurPx: 2 });
    const { map, homography, blur } = tag(s);
    const reading = readBlurredTag(renderScene(s), homography, blur, map);
    expect(reading === null || reading.lead < 2).toBe(true);
  });
});

describe("mirrored prints", () => {
  /** Grey photo, large enough to be searched at half size first, with parts laid into it. */
  function photoOf(parts: readonly (readonly [LumaImage, number, number])[]): LumaImage {
    const [width, height] = [1000, 640];
    const data = new Uint8Array(width * height).fill(120);
    for (const [part, left, top] of parts)
      for (let y = 0; y < part.height; y++)
        data.set(
          part.data.subarray(y * part.width, (y + 1) * part.width),
          (y + top) * width + left,
        );
    return { width, height, data };
  }

  it("are not named where a later search sees the board itself: that was its reflection", () => {
    const reflection = renderScene(
      scene([{ ...print(6, 10, 0), mirrored: true }], { width: 160, height: 120 }),
    );
    const board = renderScene(scene([print(3, 30, 0)], { blurPx: 0.6 }));
    const options = { what: "boards" } as const;
    const alone = findBoards(photoOf([[reflection, 100, 100]]), finder, options);
    expect(alone.boards).toEqual([]);
    expect(alone.remarks.map(({ code }) => code)).toEqual(["mirrored-print"]);
    const searches: TagSearch[] = [];
    let seenAtHalf = 0;
    const watching: TagFinder = {
      find: (image, search) => {
        searches.push(search);
        const found = finder.find(image, search);
        if (searches.length === 1) seenAtHalf = found.tags.length;
        return found;
      },
    };
    const both = photoOf([
      [reflection, 100, 100],
      [board, 600, 300],
    ]);
    const { boards, remarks } = findBoards(both, watching, options);
    expect(seenAtHalf).toBe(0);
    expect(searches.length).toBeGreaterThan(1);
    expect(boards.map(({ id }) => id)).toEqual([23]);
    expect(remarks).toEqual([]);
  });
});

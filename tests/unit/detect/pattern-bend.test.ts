import { loadOpenCV } from "@opencvjs/web";
import { beforeAll, describe, expect, it } from "vitest";
import { findBoards } from "../../../src/detect/find-boards.ts";
import { planeMap } from "../../../src/detect/picture/plane-map.ts";
import { straightPatch } from "../../../src/detect/picture/straight-patch.ts";
import {
  bendRates,
  printSeenAt,
  sagittaShare,
  seenAtPrint,
  sightOf,
} from "../../../src/detect/print-fit/pattern-bend.ts";
import { gridFromPlaneOf } from "../../../src/detect/print-fit/pattern-state.ts";
import { boardTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import { project } from "../../../src/lens/lens.ts";
import { fitHomography } from "../../../src/maths/homography.ts";
import { invert, type Pose, transform } from "../../../src/maths/pose.ts";
import { phoneLens, printPoseSeen } from "../../tools/board-poses.ts";
import { type Print, renderScene, type Scene, truePixel } from "../../tools/render-board.ts";

const whole = phoneLens(4032, 3024);
const lens = { ...whole, cx: whole.cx - 1800, cy: whole.cy - 1300 };
/** Sagitta of 2 mm over a board of 14 cells of 13 mm, as a cylinder about the y axis: 1/cell. */
const curvature = (8 * (2 / 13)) / 14 ** 2;
const asBend = (k: number) => Float64Array.of(k, k, 0);

function sceneOf(k: number, tilt: number, seed: number): { scene: Scene; print: Print } {
  const size = 160;
  const pose = printPoseSeen(lens, [size / 2, size / 2], 7, tilt, 0.4 + seed, 1.1 * seed);
  const print = { id: 7, cameraFromBoard: pose, bend: k };
  const scene = {
    width: size,
    height: size,
    lens,
    prints: [print],
    blurPx: 0.9,
    tone: "sRGB" as const,
    noise: 2,
    seed,
  };
  return { scene, print };
}

function sightThrough(pose: Pose) {
  const straight = { ...lens, k1: 0, k2: 0, k3: 0, p1: 0, p2: 0 };
  const corners = [-7, -7, 7, -7, 7, 7, -7, 7];
  const seen = [0, 2, 4, 6].flatMap((i) => {
    const pixel = project(straight, transform(pose, [corners[i], corners[i + 1], 0]));
    return pixel ?? [Number.NaN, Number.NaN];
  });
  const homography = fitHomography(corners, seen);
  if (!homography) throw new Error("no map");
  const patch = straightPatch(planeMap(straight), 80, 80, 80);
  const sight = sightOf(gridFromPlaneOf(homography, patch), patch, straight, null);
  if (!sight) throw new Error("no sight");
  return { straight, sight };
}

describe("geometry of a bent board", () => {
  const { print } = sceneOf(curvature, 0.9, 1);
  const { straight, sight } = sightThrough(print.cameraFromBoard);

  it("knows where the camera stands from the map and the lens", () => {
    const [x, y, z] = invert(print.cameraFromBoard).t;
    const miss = Math.hypot(sight.right - x, sight.down + y, sight.height - z);
    expect(miss / z).toBeLessThan(1e-6);
  });

  it("sees a print where an exact cylinder shows it, and reads it back", () => {
    const scene = { lens: straight } as Scene;
    for (const sign of [1, -1])
      for (const [x, y] of [
        [-7, -7],
        [7, 3],
        [-4, 6],
        [0, 0],
        [5, -7],
      ] as const) {
        const bent = { ...print, bend: sign * curvature };
        const bend = asBend(sign * curvature);
        const [u, v] = seenAtPrint(bend, sight, 7 + x, 7 - y);
        const flat = truePixel(scene, { ...print, bend: 0 }, u - 7, 7 - v);
        const truth = truePixel(scene, bent, x, y);
        expect(Math.hypot(flat[0] - truth[0], flat[1] - truth[1])).toBeLessThan(1e-3);
        const [backU, backV] = printSeenAt(bend, sight, u, v);
        expect(Math.hypot(backU - 7 - x, backV - 7 + y)).toBeLessThan(2e-4);
      }
  });

  it("differentiates the print that a pixel sees by the three curvatures", () => {
    const bend = Float64Array.of(0.004, -0.003, 0.002);
    const out = new Float64Array(6);
    for (const [u, v] of [
      [0, 0],
      [13, 4],
      [6, 14],
    ] as const) {
      const [atU, atV] = seenAtPrint(bend, sight, u, v);
      bendRates(bend, sight, u, v, out, 0);
      for (let k = 0; k < 3; k++) {
        const shifted = [1e-5, -1e-5].map((by) =>
          printSeenAt(
            bend.map((b, i) => (i === k ? b + by : b)),
            sight,
            atU,
            atV,
          ),
        );
        for (let axis = 0; axis < 2; axis++) {
          const slope = (shifted[0][axis] - shifted[1][axis]) / 2e-5;
          expect(Math.abs(out[2 * k + axis] - slope)).toBeLessThan(0.01 * Math.hypot(...out));
        }
      }
    }
  });

  it("states a bend as its middle's height over the board's width", () => {
    expect(Math.abs(sagittaShare(asBend(curvature)) - 2 / 13 / 14)).toBeLessThan(1e-12);
  });
});

describe("fit of a bent board", () => {
  let finder: TagFinder;
  beforeAll(async () => {
    finder = boardTagFinder((await loadOpenCV()) as never);
  });

  /** Root mean square error, px, and mean normalised error squared over all views. */
  function measure(k: number) {
    let [squares, count, nees, ranks] = [0, 0, 0, 0];
    const grades = new Set<string>();
    const views = [0.2, 0.5, 0.8, 1.05].map((tilt, i) => sceneOf(k, tilt, i + 1));
    for (const { scene, print } of views) {
      const [view] = findBoards(renderScene(scene), finder, { what: "boards", lens }).boards;
      if (view?.noise.kind !== "full") throw new Error("no whole-pattern fit");
      grades.add(view.quality.grade);
      const { rows, sqrtInformation } = view.noise;
      const errors = view.pixels.map((seen, i) => {
        const at = i - (i % 2);
        return (
          seen - truePixel(scene, print, view.boardPoints[at], view.boardPoints[at + 1])[i % 2]
        );
      });
      for (let r = 0; r < rows; r++) {
        const from = r * errors.length;
        nees += errors.reduce((s, e, i) => s + sqrtInformation[from + i] * e, 0) ** 2;
      }
      ranks += rows;
      squares += errors.reduce((s, e) => s + e * e, 0);
      count += errors.length;
    }
    return { rms: Math.sqrt(squares / count), nees: nees / ranks, ranks, grades: [...grades] };
  }

  it("takes a flat board for flat", () => {
    const { rms, ranks } = measure(0);
    expect(ranks).toBe(4 * 8);
    expect(rms).toBeLessThan(0.006);
  });

  for (const share of [0.25, 0.5, -0.5])
    it(`places a print bent by ${2 * share} mm as exactly as a flat one, and says how exactly`, () => {
      const { rms, nees, ranks, grades } = measure(share * curvature);
      expect(ranks).toBe(4 * 11);
      expect(rms).toBeLessThan(0.006);
      // 44 squared unit normals: mean within 0.45 .. 1.8 in all but a few runs in a thousand.
      expect(nees).toBeGreaterThan(0.45);
      expect(nees).toBeLessThan(1.8);
      expect(grades).toEqual(["good"]);
    });

  it("still places a print bent by 3 mm, but calls it weak", () => {
    const { rms, grades } = measure(1.5 * curvature);
    expect(rms).toBeLessThan(0.01);
    expect(grades).toEqual(["weak"]);
  });
});

import { beforeAll, describe, expect, it } from "vitest";
import { planeMap } from "../../../src/detect/picture/plane-map.ts";
import {
  fitPattern,
  homographyOfFit,
  newPatternWorkspace,
  type PatternFit,
} from "../../../src/detect/print-fit/print-fit.ts";
import { applyHomography, fitHomography } from "../../../src/maths/homography.ts";
import { type Development, developColours } from "../../bench/corners/develop.ts";
import { phoneLens, printPoseSeen } from "../../tools/board-poses.ts";
import {
  linearLight,
  type Print,
  rounded,
  type Scene,
  truePixel,
} from "../../tools/render-board.ts";

const size = 150;
const whole = phoneLens(4032, 3024);
const lens = { ...whole, cx: whole.cx - 2600, cy: whole.cy - 2000 };
const map = planeMap(lens);
const print: Print = {
  id: 7,
  cameraFromBoard: printPoseSeen(lens, [size / 2, size / 2], 6, 0.5, 0.4, 1),
};
const scene: Scene = {
  width: size,
  height: size,
  lens,
  prints: [print],
  blurPx: 0.7,
  tone: "sRGB",
  noise: 2,
  seed: 1,
};
const places = [-6, -2, 2, 6].flatMap((y) => [-6, -2, 2, 6].map((x) => [x, y] as const));
const truth = places.map(([x, y]) => truePixel(scene, print, x, y));
const corners = [-7, 7].flatMap((y) => [-7, 7].map((x) => [x, y] as const));
let light: Float64Array;
beforeAll(() => {
  light = linearLight(scene);
});

const fitted = (development: Partial<Development>, seed: number): PatternFit => {
  const grey = developColours([light], size, { tone: "sRGB", noise: 2, ...development }, seed);
  const near = corners.flatMap(([x, y]) => truePixel(scene, print, x, y));
  const homography = fitHomography(corners.flat(), map.toPlane(near));
  if (!homography) throw new Error("no map");
  const start = { id: 7, fit: { homography, blurPx: 0.8 } };
  const fit = fitPattern(rounded(scene, grey), start, map, newPatternWorkspace());
  if (!fit) throw new Error("no fit");
  return fit;
};

/** Root mean square error of the fitted places, px. */
const errorOf = (fit: PatternFit): number => {
  const h = homographyOfFit(fit);
  let sum = 0;
  places.forEach(([x, y], k) => {
    const at = map.fromPlane(...applyHomography(h, x, y));
    sum += (at[0] - truth[k][0]) ** 2 + (at[1] - truth[k][1]) ** 2;
  });
  return Math.sqrt(sum / (2 * places.length));
};
const seeds = [1, 2, 3, 4, 5, 6];
const rms = (all: readonly number[]) => Math.sqrt(all.reduce((s, x) => s + x * x, 0) / all.length);

describe("light that is not the same all over a board", () => {
  it("is not seen where there is none", () => {
    for (const seed of seeds) {
      const fit = fitted({}, seed);
      expect(fit.lightOfTiles).toBeNull();
      expect(fit.state.softRadiusPx).toBeLessThan(2);
    }
  });

  it("of local tone mapping is found, and the places stay where they are", () => {
    const fits = seeds.map((seed) => fitted({ localTone: { radiusPx: 6, power: 0.3 } }, seed));
    for (const { lightOfTiles } of fits) expect(lightOfTiles).not.toBeNull();
    expect(rms(fits.map(errorOf))).toBeLessThan(0.004);
  });

  it("of wide haloes is a wide soft copy", () => {
    const halo = { amount: 0.5, radiusPx: 4, limit: 25 };
    const fits = seeds.map((seed) => fitted({ halo }, seed));
    for (const { state } of fits) expect(state.softRadiusPx).toBeGreaterThan(3);
    expect(rms(fits.map(errorOf))).toBeLessThan(0.004);
  });
});

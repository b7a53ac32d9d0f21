import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { tagOutline } from "../../../src/boards/pattern.ts";
import { planeMap } from "../../../src/detect/picture/plane-map.ts";
import * as place from "../../../src/detect/print-fit/assembly/layout.ts";
import { patternFeatures } from "../../../src/detect/print-fit/pattern-features.ts";
import {
  fitPattern,
  liesBeforeCamera,
  newPatternWorkspace,
} from "../../../src/detect/print-fit/pattern-fit.ts";
import { describeCorners } from "../../../src/detect/print-fit/pattern-pass.ts";
import { patternMemory } from "../../../src/detect/print-fit/print/pattern-memory.ts";
import { fitRing } from "../../../src/detect/ring/ring-fit.ts";
import { readTag } from "../../../src/detect/tags/decode.ts";
import { applyHomography, fitHomography, invertHomography } from "../../../src/maths/homography.ts";
import { phoneLens, printPose } from "../../tools/board-poses.ts";
import { codeModule, compileAssembly, wasmModules } from "../../tools/build-wasm.ts";
import {
  developed,
  linearLight,
  rounded,
  type Scene,
  truePixel,
} from "../../tools/render-board.ts";

const whole = phoneLens(4032, 3024);
const lens = { ...whole, cx: whole.cx - 2500, cy: whole.cy - 1900 };
const map = planeMap(lens);

/** Mean square error of the features over mean square of what they claim, and the error, px. */
function measure(
  change: Partial<Scene>,
  discs: readonly [number, number, number][],
  seeds: number,
) {
  const print = { id: 7, cameraFromBoard: printPose(lens, [58, 58], 6, 0.6, 0.9, 0.3), discs };
  const scene: Scene = {
    width: 116,
    height: 116,
    lens,
    prints: [print],
    blurPx: 0.9,
    tone: "sRGB",
    noise: 2,
    seed: 0,
    ...change,
  };
  const light = linearLight(scene);
  const corners = [0, 1, 2, 3].flatMap((k) =>
    truePixel(scene, print, tagOutline[2 * k], tagOutline[2 * k + 1]),
  );
  const work = newPatternWorkspace();
  let [squares, nees, covered] = [0, 0, 0];
  for (let seed = 1; seed <= seeds; seed++) {
    const image = rounded(scene, developed({ ...scene, seed }, light));
    const ring = fitRing(image, corners, map);
    if (!ring) throw new Error("no ring");
    expect(readTag(image, ring.homography, map)).toMatchObject({
      id: 7,
      turns: 0,
      mirrored: false,
    });
    const fit = fitPattern(image, { id: 7, fit: ring }, map, work);
    const features = fit && patternFeatures(fit, map);
    if (!fit || features?.noise.kind !== "full") throw new Error("no fit");
    covered += fit.coveredShare / seeds;
    const { boardPoints, pixels } = features;
    const { rows, sqrtInformation } = features.noise;
    const errors = pixels.slice();
    for (let i = 0; i < errors.length; i += 2) {
      const [x, y] = truePixel(scene, print, boardPoints[i], boardPoints[i + 1]);
      errors[i] -= x;
      errors[i + 1] -= y;
    }
    squares += errors.reduce((s, e) => s + e * e, 0) / errors.length / seeds;
    for (let r = 0; r < rows; r++) {
      const from = r * errors.length;
      const d = errors.reduce((s, e, i) => s + sqrtInformation[from + i] * e, 0);
      nees += (d * d) / rows / seeds;
    }
  }
  return { rms: Math.sqrt(squares), nees, covered };
}

describe("whole-pattern fit", () => {
  it("places the grid to 0.006 px with a covariance that is true", () => {
    const { rms, nees, covered } = measure({}, [], 8);
    expect(rms).toBeLessThan(0.006);
    // 64 squared unit normals: mean within 0.5 .. 1.8 in all but a few runs in a thousand.
    expect(nees).toBeGreaterThan(0.5);
    expect(nees).toBeLessThan(1.8);
    expect(covered).toBe(0);
  });

  it("is not pulled by another tone curve, by uneven light or by a covered corner", () => {
    expect(measure({ tone: "S-curve", noise: 1 }, [], 2).rms).toBeLessThan(0.008);
    expect(measure({ tone: "linear", noise: 1, lightSlope: 0.5 }, [], 2).rms).toBeLessThan(0.008);
    const hidden = measure({}, [[-6, 6, 1.6]], 2);
    expect(hidden.rms).toBeLessThan(0.012);
    expect(hidden.covered).toBeGreaterThan(0.01);
  });

  it("models a crossing under round blur at an angle: bivariate normal distribution", () => {
    // Sheppard's formula: P(X > 0, Y > 0) = 1/4 + asin(r) / (2 pi).
    for (const r of [0.3, 0.5, 0.7]) {
      const quarter = crossing([0, 0, 0, 1], 0, 0, 1, r);
      expect(Math.abs(quarter[0] - (0.25 + Math.asin(r) / (2 * Math.PI)))).toBeLessThan(1e-4);
    }
  });

  for (const lines of [1, 3])
    it(`differentiates a crossing with ${lines} lines in view by place, blur and angle`, () => {
      const steps = lines === 1 ? [1, -1, -1, 2] : wide;
      const middle = crossing(steps, 0.1, -0.05, lines);
      const step = 1e-3;
      const slope = (up: Float64Array, down: Float64Array) => (up[0] - down[0]) / (2 * step);
      const along = (du: number, dv: number) =>
        slope(
          crossing(steps, 0.1 + du, -0.05 + dv, lines),
          crossing(steps, 0.1 - du, -0.05 - dv, lines),
        );
      const blurred = (u: number, v: number, r: number) =>
        slope(
          crossing(steps, 0.1, -0.05, lines, 0.5 + r, 0.2 + u, 0.3 + v),
          crossing(steps, 0.1, -0.05, lines, 0.5 - r, 0.2 - u, 0.3 - v),
        );
      expect(Math.abs(along(step, 0) - middle[1])).toBeLessThan(0.02);
      expect(Math.abs(along(0, step) - middle[2])).toBeLessThan(0.02);
      expect(Math.abs(blurred(step, 0, 0) - middle[3])).toBeLessThan(0.02);
      expect(Math.abs(blurred(0, step, 0) - middle[4])).toBeLessThan(0.02);
      expect(Math.abs(blurred(0, 0, step) - middle[5])).toBeLessThan(0.005);
    });

  it("is the same with one and with three lines in view", () => {
    const one = crossing([1, -1, -1, 2], 0.1, -0.05);
    const three = crossing(wide, 0.1, -0.05, 3);
    expect(one.length).toBe(9);
    for (let k = 0; k < 9; k++) expect(Math.abs(one[k] - three[k])).toBeLessThan(1e-9);
  });
});

/** The four cells of a crossing as they look in a window of three lines. */
const wide = [1, 0, -1, 0, 0, 0, 0, 0, -1, 0, 2, 0, 0, 0, 0, 0];

/** Value and derivatives of a tile, by default with blur 0.2 and 0.3 cells; soft blur 1. */
function crossing(
  steps: number[],
  du: number,
  dv: number,
  lines = 1,
  correlation = 0.5,
  blurU = 0.2,
  blurV = 0.3,
): Float64Array {
  const { numbers, code } = patternMemory();
  const tile = place.tiles / 8;
  numbers.set(steps, place.steps / 8);
  numbers.fill(0, tile, tile + place.tileBytes / 8);
  numbers.set([1 / blurU, 1 / blurV, correlation, 1, 1], tile);
  describeCorners(correlation, 0, numbers, tile);
  if (lines === 1) code.valueAtCrossing(place.steps, place.tiles, du, dv);
  else code.valueInWindow(place.steps, lines, place.tiles, du, dv);
  return numbers.slice(place.values / 8, place.values / 8 + 9);
}

describe("homography", () => {
  it("goes through points that obey one", () => {
    const truth = Float64Array.of(30, 4, 200, -3, 28, 150, 0.01, 0.02, 1);
    const from = [-4, 4, 4, 4, 4, -4, -4, -4, 1, 2];
    const to = Array.from({ length: 5 }, (_, i) =>
      applyHomography(truth, from[2 * i], from[2 * i + 1]),
    ).flat();
    const h = fitHomography(from, to);
    expect(h).not.toBeNull();
    for (let k = 0; k < 9; k++)
      expect(Math.abs((h?.[k] ?? Number.NaN) - truth[k])).toBeLessThan(1e-7);
    expect(fitHomography([0, 0, 1, 1, 2, 2, 3, 3], to.slice(0, 8))).toBeNull();
  });
});

it("runs the WebAssembly that its source compiles to", async () => {
  const [source, target, name] = wasmModules[1];
  const committed = readFileSync(join(import.meta.dirname, "../../..", target), "utf8");
  expect(committed).toBe(codeModule(await compileAssembly(source), source, name));
});

describe("a fit that ran away", () => {
  // Grid to plane is the inverse of a map whose depth falls to `share` of the centre's at the right edge.
  const gridFromPlane = (share: number): Float64Array => {
    const fall = (1 - share) / 7;
    return invertHomography(Float64Array.of(1, 0, 0, 0, 1, 0, -fall, 0, 1 + 7 * fall));
  };

  it("is no fit where the horizon of its plane crosses the print", () => {
    expect(liesBeforeCamera(gridFromPlane(0.2), "board")).toBe(true);
    expect(liesBeforeCamera(gridFromPlane(-0.2), "board")).toBe(false);
    // A marker is the tag alone, 8 of the board's 14 cells: this horizon lies beyond it.
    expect(liesBeforeCamera(gridFromPlane(-0.2), "marker")).toBe(true);
    expect(liesBeforeCamera(gridFromPlane(-1), "marker")).toBe(false);
  });
});

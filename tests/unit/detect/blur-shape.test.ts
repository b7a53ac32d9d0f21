import { describe, expect, it } from "vitest";
import { planeMap } from "../../../src/detect/picture/plane-map.ts";
import * as place from "../../../src/detect/print-fit/assembly/layout.ts";
import { describeCorners } from "../../../src/detect/print-fit/pattern-pass.ts";
import { discTable } from "../../../src/detect/print-fit/print/edge-spread.ts";
import { patternMemory } from "../../../src/detect/print-fit/print/pattern-memory.ts";
import {
  fitPattern,
  newPatternWorkspace,
  patternFeatures,
} from "../../../src/detect/print-fit/print-fit.ts";
import { fitHomography } from "../../../src/maths/homography.ts";
import { normalCdf } from "../../../src/maths/statistics.ts";
import { developColours } from "../../bench/corners/develop.ts";
import { throughJpeg } from "../../bench/corners/jpeg-blocks.ts";
import { coloursOf, type Optics } from "../../bench/corners/optics.ts";
import { phoneLens, printPose } from "../../tools/board-poses.ts";
import { linearLight, rounded, type Scene, truePixel } from "../../tools/render-board.ts";

const whole = phoneLens(4032, 3024);
const lens = { ...whole, cx: whole.cx - 2500, cy: whole.cy - 1900 };
const print = { id: 7, cameraFromBoard: printPose(lens, [68, 68], 7, 0.6, 0.9, 0.3) };
const scene: Scene = {
  width: 136,
  height: 136,
  lens,
  prints: [print],
  blurPx: 0.7,
  tone: "sRGB",
  noise: 1.5,
  seed: 0,
};

/** Fit of one picture through these optics: its shape, its error and mean normalised error squared. */
function measure(optics: Optics) {
  const grey = developColours(coloursOf(scene, optics), scene.width, scene, 5);
  const map = planeMap(lens);
  const corners = [-7, -7, 7, -7, 7, 7, -7, 7];
  const seen = [0, 2, 4, 6].flatMap((k) => truePixel(scene, print, corners[k], corners[k + 1]));
  const homography = fitHomography(corners, map.toPlane(seen));
  if (!homography) throw new Error("no map");
  const start = { id: 7, fit: { homography, blurPx: 1 } };
  const fit = fitPattern(rounded(scene, grey), start, map, newPatternWorkspace());
  const features = fit && patternFeatures(fit, map);
  if (!fit || features?.noise.kind !== "full") throw new Error("no fit");
  const { boardPoints, pixels } = features;
  const { rows, sqrtInformation } = features.noise;
  const errors = pixels.map((x, i) => {
    const at = i - (i % 2);
    return x - truePixel(scene, print, boardPoints[at], boardPoints[at + 1])[i % 2];
  });
  let nees = 0;
  for (let r = 0; r < rows; r++)
    nees += errors.reduce((s, e, i) => s + sqrtInformation[r * errors.length + i] * e, 0) ** 2;
  const rms = Math.sqrt(errors.reduce((s, e) => s + e * e, 0) / errors.length);
  return { rms, nees: nees / rows, shape: fit.shape };
}

describe("shape of the blur", () => {
  it("tabulates a disc beside a Gaussian of the same variance", () => {
    // Cumulative distribution of x = r cos(t) on a disc: 1 - (t - sin(2 t) / 2) / pi; summed here over
    // thin strips instead of the table's rule.
    const radius = 2 * Math.sqrt(0.8);
    const narrow = Math.sqrt(0.2);
    const strips = 4000;
    for (const z of [-2.5, -1, -0.3, 0, 0.6, 1.7]) {
      let edge = 0;
      for (let k = 0; k < strips; k++) {
        const x = -radius + (2 * radius * (k + 0.5)) / strips;
        const density = (2 / (Math.PI * radius ** 2)) * Math.sqrt(radius ** 2 - x * x);
        edge += density * normalCdf((z - x) / narrow) * ((2 * radius) / strips);
      }
      const entry = Math.round((z + place.edgeRange) * place.edgePerUnit);
      const there = entry / place.edgePerUnit - place.edgeRange;
      expect(Math.abs(there - z)).toBeLessThan(0.01);
      expect(Math.abs(discTable[entry] - (edge - normalCdf(z)))).toBeLessThan(2e-3);
    }
  });

  for (const lines of [1, 3])
    it(`differentiates towards the photo's rim with ${lines} lines in view`, () => {
      const steps = lines === 1 ? [1, -1, -1, 2] : wide;
      const [a, b] = [0.8, -0.5];
      const step = 0.02;
      // White along the way to the rim, which goes a blurs along u and b along v for a pixel.
      const along = (d: number) =>
        crossing(steps, lines, 0.1 + d * a * blurU, -0.05 + d * b * blurV, a, b);
      const [m2, m1, here, p1, p2] = [-2, -1, 0, 1, 2].map((k) => along(k * step));
      const rim = (k: number) => here[(place.rim1 + 8 * k) / 8];
      expect(Math.abs(rim(0) - (p1[0] - m1[0]) / (2 * step))).toBeLessThan(2e-3);
      expect(Math.abs(rim(1) - (p1[0] - 2 * here[0] + m1[0]) / step ** 2)).toBeLessThan(2e-2);
      const third = (p2[0] - 2 * p1[0] + 2 * m1[0] - m2[0]) / (2 * step ** 3);
      expect(Math.abs(rim(2) - third)).toBeLessThan(0.15);
    });

  it("recognises a disc, and places the print as well as under a Gaussian", () => {
    const round = measure({ blurPx: 1.3 });
    const disc = measure({ blurPx: 0.6, defocusPx: 2.4, farDefocusPx: -1 });
    expect(Math.abs(round.shape[0])).toBeLessThan(0.3);
    expect(disc.shape[0]).toBeGreaterThan(0.5);
    for (const { rms, nees } of [round, disc]) {
      expect(rms).toBeLessThan(0.008);
      expect(nees).toBeLessThan(3);
    }
  });

  it("recognises colours that do not meet, and says what they leave open", () => {
    const { rms, nees, shape } = measure({ blurPx: 0.6, colour: { red: 0.8, blue: -0.6 } });
    // Third moment of the colours' places: 0.11 px^3.
    expect(shape[1]).toBeGreaterThan(0.08);
    expect(rms).toBeLessThan(0.011);
    expect(nees).toBeLessThan(3);
    expect(Math.abs(measure({ blurPx: 0.6 }).shape[1])).toBeLessThan(0.03);
  });
});

describe("pictures of phones", () => {
  it("agree with the exact renderer where a phone does nothing", () => {
    const exact = linearLight(scene);
    const [traced] = coloursOf(scene, { blurPx: scene.blurPx });
    const squares = exact.reduce((s, x, i) => s + (x - traced[i]) ** 2, 0) / exact.length;
    expect(Math.sqrt(squares)).toBeLessThan(0.004);
  });

  it("lose less in a JPEG of higher quality, and nothing that is flat", () => {
    const grey = linearLight(scene).map((x) => 255 * x);
    const loss = (quality: number) =>
      throughJpeg(grey, scene.width, quality, 3).reduce((s, x, i) => s + (x - grey[i]) ** 2, 0);
    expect(loss(98)).toBeLessThan(loss(85));
    expect(loss(85)).toBeLessThan(loss(60));
    const flat = throughJpeg(new Float64Array(32 * 32).fill(128), 32, 60, 3);
    for (const x of flat) expect(Math.abs(x - 128)).toBeLessThan(1e-9);
  });
});

const [blurU, blurV] = [0.2, 0.3];
/** The four cells of a crossing as they look in a window of three lines. */
const wide = [1, 0, -1, 0, 0, 0, 0, 0, -1, 0, 2, 0, 0, 0, 0, 0];

/** Values of a tile with the shape of the blur; the rim lies a blurs along u and b along v. */
function crossing(
  steps: number[],
  lines: number,
  du: number,
  dv: number,
  a: number,
  b: number,
): Float64Array {
  const { numbers, code } = patternMemory();
  const tile = place.tiles / 8;
  numbers.set(steps, place.steps / 8);
  numbers.fill(0, tile, tile + place.tileBytes / 8);
  numbers.set([1 / blurU, 1 / blurV, 0, 1, 1], tile);
  numbers[tile + place.rimU / 8] = a;
  numbers[tile + place.rimV / 8] = b;
  describeCorners(0, 0, numbers, tile);
  code.setShaped(true);
  if (lines === 1) code.valueAtCrossing(place.steps, place.tiles, du, dv);
  else code.valueInWindow(place.steps, lines, place.tiles, du, dv);
  return numbers.slice(place.values / 8, (place.values + place.valueBytes) / 8);
}

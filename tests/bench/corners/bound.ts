import type { PlaneMap } from "../../../src/detect/picture/plane-map.ts";
import { featurePoints } from "../../../src/detect/print-fit/print-fit.ts";
import { invertPositive } from "../../../src/maths/dense.ts";
import { fitHomography } from "../../../src/maths/homography.ts";
import { normalCdf, normalDensity } from "../../../src/maths/statistics.ts";
import {
  developed,
  lightPlanes,
  type Print,
  type Scene,
  truePixel,
} from "../../tools/render-board.ts";
import { blockAt, blocksOf, quantisation, transform } from "./jpeg-blocks.ts";

/** Numbers of the map. */
const geometry = 8;

/** How the noiseless grey picture changes: along x and y, and with all that nobody knows beforehand. */
export interface GreySlopes {
  readonly alongX: Float64Array;
  readonly alongY: Float64Array;
  /** Gain, offset and blur. */
  readonly nuisances: readonly Float64Array[];
}

/** The slopes of a picture under round blur, exactly. */
export function slopesOf(scene: Scene): GreySlopes {
  const clean = { ...scene, noise: 0 };
  const [light, lightX, lightY, lightBlur] = lightPlanes(clean, [
    "value",
    "alongX",
    "alongY",
    "byBlur",
  ]);
  const slope = toneSlope(clean, light);
  const grey = (plane: Float64Array) => plane.map((x, i) => slope[i] * x);
  return {
    alongX: grey(lightX),
    alongY: grey(lightY),
    nuisances: [grey(light), slope, grey(lightBlur)],
  };
}

/** A picture that is seen as a JPEG file of this quality: its grey values without noise, and its seed. */
export interface SeenAsFile {
  readonly quality: number;
  readonly grey: Float64Array;
  readonly seed: number;
}

/**
 * Cramer-Rao bound of the grid points' root mean square error per coordinate, px: the derivatives of
 * the noiseless picture, white noise of the given deviation, and rounding to bytes (variance 1/12).
 * The map is a homography in the plane without distortion. A file holds less than the picture: see
 * `fileInformation`.
 */
export function cornerBound(
  scene: Scene,
  print: Print,
  map: PlaneMap,
  slopes: GreySlopes,
  file?: SeenAsFile,
): number {
  const grid = featurePoints.flat();
  const pixels = featurePoints.flatMap(([x, y]) => truePixel(scene, print, x, y));
  const boardFromPlane = fitHomography(map.toPlane(pixels), grid);
  if (!boardFromPlane) throw new Error("no map");
  const centre = [pixels[0], pixels[1]] as const;
  const columns = columnsOf(scene, map, slopes, boardFromPlane, centre);
  const variance = scene.noise ** 2 + 1 / 12;
  const information = file
    ? fileInformation(columns, scene.width, variance, file)
    : whiteInformation(columns, variance);
  const unknowns = columns.length;
  const covariance = invertPositive(information, unknowns);
  if (!covariance) return Number.NaN;
  let sum = 0;
  const points = map.toPlane(pixels);
  for (let k = 0; k < points.length; k += 2) {
    const [X, Y] = [points[k] - centre[0], points[k + 1] - centre[1]];
    const g = [
      [X, Y, 1, 0, 0, 0, small * X * X, small * X * Y],
      [0, 0, 0, X, Y, 1, small * X * Y, small * Y * Y],
    ];
    for (const d of g)
      for (let a = 0; a < 8; a++)
        for (let b = 0; b < 8; b++) sum += d[a] * d[b] * covariance[a * unknowns + b];
  }
  return Math.sqrt(sum / points.length);
}

/** Brings the two perspective numbers to the size of the others. */
const small = 1e-3;

/** How the picture of the board changes with the numbers of its map and with the nuisances. */
function columnsOf(
  { width, height }: Scene,
  map: PlaneMap,
  { alongX, alongY, nuisances }: GreySlopes,
  h: Float64Array,
  centre: readonly [number, number],
): Float64Array[] {
  const columns = Array.from(
    { length: geometry + nuisances.length },
    () => new Float64Array(width * height),
  );
  const all = new Float64Array(2 * width * height);
  for (let i = 0; i < width * height; i++) {
    all[2 * i] = i % width;
    all[2 * i + 1] = Math.floor(i / width);
  }
  const plane = map.toPlane(all);
  for (let i = 0; i < width * height; i++) {
    const [X, Y] = [plane[2 * i] - centre[0], plane[2 * i + 1] - centre[1]];
    const w = h[6] * plane[2 * i] + h[7] * plane[2 * i + 1] + 1;
    const u = (h[0] * plane[2 * i] + h[1] * plane[2 * i + 1] + h[2]) / w;
    const v = (h[3] * plane[2 * i] + h[4] * plane[2 * i + 1] + h[5]) / w;
    if (Math.abs(u) > 7.6 || Math.abs(v) > 7.6) continue;
    // Moving the pattern by (dx, dy) in the photo changes the grey by -(gx dx + gy dy); the lens
    // part of the shift is the identity to first order here (distortion's slope is below 1 %).
    const gx = -alongX[i];
    const gy = -alongY[i];
    const turn = small * (gx * X + gy * Y);
    const row = [gx * X, gx * Y, gx, gy * X, gy * Y, gy, X * turn, Y * turn];
    for (let k = 0; k < geometry; k++) columns[k][i] = row[k];
    for (let k = 0; k < nuisances.length; k++) columns[geometry + k][i] = nuisances[k][i];
  }
  return columns;
}

function whiteInformation(columns: readonly Float64Array[], variance: number): Float64Array {
  const n = columns.length;
  const information = new Float64Array(n * n);
  for (let a = 0; a < n; a++)
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let i = 0; i < columns[a].length; i++) sum += columns[a][i] * columns[b][i];
      information[a * n + b] = information[b * n + a] = sum / variance;
    }
  return information;
}

/**
 * Fisher information of what a JPEG file holds: the cosine transform keeps white noise white, and of
 * each coefficient (mean m, deviation s) the file says only in which step it lies. A step between l and
 * u then tells (phi(l) - phi(u))^2 / (s^2 P) of m, with its probability P and the normal density phi.
 */
function fileInformation(
  columns: readonly Float64Array[],
  width: number,
  variance: number,
  { quality, grey, seed }: SeenAsFile,
): Float64Array {
  const n = columns.length;
  const information = new Float64Array(n * n);
  const height = grey.length / width;
  const steps = quantisation(quality);
  const row = new Float64Array(n);
  for (const [bx, by] of blocksOf(width, height, seed)) {
    const means = blockAt(grey, width, bx, by);
    for (let k = 0; k < 64; k++) means[k] -= 128;
    transform(means, false);
    const slopes = columns.map((column) => {
      const block = blockAt(column, width, bx, by);
      transform(block, false);
      return block;
    });
    for (let k = 0; k < 64; k++) {
      const weight = stepInformation(means[k], Math.sqrt(variance), steps[k]);
      for (let a = 0; a < n; a++) row[a] = slopes[a][k];
      for (let a = 0; a < n; a++)
        for (let b = 0; b < n; b++) information[a * n + b] += weight * row[a] * row[b];
    }
  }
  return information;
}

function stepInformation(mean: number, sigma: number, step: number): number {
  const first = Math.round((mean - 5 * sigma) / step);
  const last = Math.round((mean + 5 * sigma) / step);
  let sum = 0;
  let [density, below] = [0, 0];
  for (let k = first; k <= last; k++) {
    const upper = ((k + 0.5) * step - mean) / sigma;
    const [nextDensity, nextBelow] = k === last ? [0, 1] : [normalDensity(upper), normalCdf(upper)];
    const share = nextBelow - below;
    if (share > 1e-12) sum += (density - nextDensity) ** 2 / share;
    [density, below] = [nextDensity, nextBelow];
  }
  return sum / sigma ** 2;
}

/** d(grey)/d(light) of the scene's tone curve by central differences. */
function toneSlope(scene: Scene, light: Float64Array): Float64Array {
  const step = 1e-5;
  const up = developed(
    scene,
    light.map((x) => x + step),
  );
  const down = developed(
    scene,
    light.map((x) => x - step),
  );
  return up.map((g, i) => (g - down[i]) / (2 * step));
}

import type { PlaneMap } from "../../../src/detect/picture/plane-map.ts";
import { featurePoints } from "../../../src/detect/print-fit/print-fit.ts";
import { invertPositive } from "../../../src/maths/dense.ts";
import { fitHomography } from "../../../src/maths/homography.ts";
import {
  developed,
  lightPlanes,
  type Print,
  type Scene,
  truePixel,
} from "../../tools/render-board.ts";

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

/**
 * Cramer-Rao bound of the grid points' root mean square error per coordinate, px: the derivatives of
 * the noiseless picture, white noise of the given deviation, and rounding to bytes (variance 1/12).
 * The map is a homography in the plane without distortion.
 */
export function cornerBound(
  scene: Scene,
  print: Print,
  map: PlaneMap,
  { alongX, alongY, nuisances }: GreySlopes,
): number {
  const { width, height } = scene;
  const unknowns = geometry + nuisances.length;
  const grid = featurePoints.flat();
  const pixels = featurePoints.flatMap(([x, y]) => truePixel(scene, print, x, y));
  const boardFromPlane = fitHomography(map.toPlane(pixels), grid);
  if (!boardFromPlane) throw new Error("no map");
  const normal = new Float64Array(unknowns * unknowns);
  const row = new Float64Array(unknowns);
  const centre = [pixels[0], pixels[1]];
  const all = new Float64Array(2 * width * height);
  for (let i = 0; i < width * height; i++) {
    all[2 * i] = i % width;
    all[2 * i + 1] = Math.floor(i / width);
  }
  const plane = map.toPlane(all);
  for (let i = 0; i < width * height; i++) {
    const [X, Y] = [plane[2 * i] - centre[0], plane[2 * i + 1] - centre[1]];
    const h = boardFromPlane;
    const w = h[6] * plane[2 * i] + h[7] * plane[2 * i + 1] + 1;
    const u = (h[0] * plane[2 * i] + h[1] * plane[2 * i + 1] + h[2]) / w;
    const v = (h[3] * plane[2 * i] + h[4] * plane[2 * i + 1] + h[5]) / w;
    if (Math.abs(u) > 7.6 || Math.abs(v) > 7.6) continue;
    // Moving the pattern by (dx, dy) in the photo changes the grey by -(gx dx + gy dy); the lens
    // part of the shift is the identity to first order here (distortion's slope is below 1 %).
    const gx = -alongX[i];
    const gy = -alongY[i];
    row.set([gx * X, gx * Y, gx, gy * X, gy * Y, gy]);
    const s = 1e-3;
    row[6] = s * X * (gx * X + gy * Y);
    row[7] = s * Y * (gx * X + gy * Y);
    for (let k = 0; k < nuisances.length; k++) row[geometry + k] = nuisances[k][i];
    for (let a = 0; a < unknowns; a++)
      for (let b = 0; b < unknowns; b++) normal[a * unknowns + b] += row[a] * row[b];
  }
  const inverse = invertPositive(normal, unknowns);
  if (!inverse) return Number.NaN;
  const variance = scene.noise ** 2 + 1 / 12;
  let sum = 0;
  const points = map.toPlane(pixels);
  for (let k = 0; k < points.length; k += 2) {
    const [X, Y] = [points[k] - centre[0], points[k + 1] - centre[1]];
    const s = 1e-3;
    const g = [
      [X, Y, 1, 0, 0, 0, s * X * X, s * X * Y],
      [0, 0, 0, X, Y, 1, s * X * Y, s * Y * Y],
    ];
    for (const d of g)
      for (let a = 0; a < 8; a++)
        for (let b = 0; b < 8; b++) sum += d[a] * d[b] * inverse[a * unknowns + b] * variance;
  }
  return Math.sqrt(sum / points.length);
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

/**
 * An exact renderer for tests and benchmarks, independent of the code under test: it samples the
 * printed pattern 8 x 8 times per pixel in linear light, convolves with the true point spread, and
 * only then applies the phone's tone curve, noise, sharpening and rounding.
 */
import { cellIsBlack, tagCellIsBlack } from "../../src/boards/pattern.ts";
import {
  sheetColumns,
  sheetMarkerBitCells,
  sheetMarkers,
  sheetRows,
  sheetSquareIsBlack,
} from "../../src/boards/sheet.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { invert, type Pose } from "../../src/maths/pose.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { truePixelOf, trueSight } from "../oracle/camera.ts";

export type ToneName = "linear" | "sRGB" | "S-curve";

/** A print in the scene; `cameraFromBoard` is in cells (sheet: squares), board frame y up. */
export interface Print {
  readonly id: number | "sheet";
  readonly cameraFromBoard: Pose;
  readonly mirrored?: boolean;
  /** Discs of 20 % grey on the board that hide the print: x, y, radius in cells. */
  readonly discs?: readonly (readonly [number, number, number])[];
  /** Curvature of a cylindrical bend about the board's y axis, 1/cell. */
  readonly bend?: number;
}

export interface Scene {
  readonly width: number;
  readonly height: number;
  readonly lens: Lens;
  readonly prints: readonly Print[];
  /** Standard deviation of the round blur, px (the pixel's own square comes on top). */
  readonly blurPx: number;
  /** Motion during exposure: length px and direction rad. */
  readonly motion?: { readonly lengthPx: number; readonly angle: number };
  readonly tone: ToneName;
  /** Unsharp masking: amount (0 = none) with a radius of 1.5 px. */
  readonly sharpen?: number;
  /** Grey levels. */
  readonly noise: number;
  readonly seed: number;
  /** Samples per pixel in each direction, at least 8 (the default). */
  readonly samples?: number;
  /** Reflectances; the light is 1 where nothing else is said. */
  readonly black?: number;
  readonly white?: number;
  readonly background?: number;
  /** Relative change of the light across the picture's width. */
  readonly lightSlope?: number;
  /** Factor on the light: gloom < 1. */
  readonly light?: number;
  /** Light added everywhere by a reflection, in the same unit as reflectances. */
  readonly glare?: number;
}

/** Samples per pixel in each direction where the scene says nothing else. */
const defaultSamples = 8;

/** Small seeded generator (mulberry32): the same pictures on every machine. */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export function gaussian(random: () => number): number {
  return Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

const sRgb = (x: number): number => (x <= 0.0031308 ? 12.92 * x : 1.055 * x ** (1 / 2.4) - 0.055);

/** Tone curves from linear light 0..1 to 0..1. */
export const tones: Readonly<Record<ToneName, (x: number) => number>> = {
  linear: (x) => x,
  sRGB: sRgb,
  "S-curve": (x) => {
    const y = sRgb(Math.min(1, Math.max(0, x)));
    return y - (0.1 * Math.sin(2 * Math.PI * y)) / 1.5;
  },
};

/** True pixel of a board point (cells; bend in cells too). */
export function truePixel(scene: Scene, print: Print, x: number, y: number): [number, number] {
  const k = print.bend ?? 0;
  const [bx, bz] = k === 0 ? [x, 0] : [Math.sin(k * x) / k, (1 - Math.cos(k * x)) / k];
  const p = truePixelOf(scene.lens, [print.cameraFromBoard], [bx, y, bz]);
  if (!p) throw new Error("point is behind the camera");
  return p;
}

export const renderScene = (scene: Scene): LumaImage => rounded(scene, renderGrey(scene));

export function rounded({ width, height }: Scene, grey: Float64Array): LumaImage {
  const data = new Uint8Array(width * height);
  for (let i = 0; i < data.length; i++) data[i] = Math.max(0, Math.min(255, Math.round(grey[i])));
  return { width, height, data };
}

/** Grey values 0..255 before rounding. */
export const renderGrey = (scene: Scene): Float64Array => developed(scene, linearLight(scene));

/** What the phone makes of the light: tone, noise, sharpening; 0..255 before rounding. */
export function developed(scene: Scene, light: Float64Array): Float64Array {
  const random = seededRandom(scene.seed);
  const tone = tones[scene.tone];
  const grey = new Float64Array(light.length);
  for (let i = 0; i < grey.length; i++) {
    grey[i] = 255 * tone(Math.min(1, light[i]));
    if (scene.noise > 0) grey[i] += scene.noise * gaussian(random);
  }
  if (scene.sharpen) sharpen(grey, scene.width, scene.height, scene.sharpen, 1.5);
  return grey;
}

/** Light per pixel, reflectance units, after blur, motion and the pixel's own area. */
export const linearLight = (scene: Scene): Float64Array => lightPlanes(scene, ["value"])[0];

/** What a plane holds: the light, its derivative along x or y (per px) or by the blur (per px). */
export type Plane = "value" | "alongX" | "alongY" | "byBlur";

/** Several planes from one sampling of the scene; derivatives are those of the true model. */
export function lightPlanes(scene: Scene, planes: readonly Plane[]): Float64Array[] {
  const samples = scene.samples ?? defaultSamples;
  const kernels = pixelKernels(scene.blurPx, samples);
  const reach = (kernels.value.length / samples - 1) / 2;
  const motionReach = scene.motion ? Math.ceil(scene.motion.lengthPx / 2) + 1 : 0;
  const fine = sampleReflectance(scene, reach + motionReach);
  return planes.map((plane) => {
    const { value, slope, byBlur } = kernels;
    if (plane === "alongX") return filtered(scene, fine, slope, value, motionReach);
    if (plane === "alongY") return filtered(scene, fine, value, slope, motionReach);
    if (plane === "value")
      return withGlare(scene, filtered(scene, fine, value, value, motionReach));
    const x = filtered(scene, fine, byBlur, value, motionReach);
    const y = filtered(scene, fine, value, byBlur, motionReach);
    return x.map((d, i) => d + y[i]);
  });
}

const withGlare = (scene: Scene, light: Float64Array): Float64Array =>
  light.map((x) => x + (scene.glare ?? 0));

function filtered(
  scene: Scene,
  fine: Fine,
  kernelX: Float64Array,
  kernelY: Float64Array,
  motionReach: number,
): Float64Array {
  const { width, height } = scene;
  const { samples } = fine;
  const steps = scene.motion ? Math.max(2, Math.ceil(scene.motion.lengthPx * samples)) : 1;
  const sum = new Float64Array(width * height);
  const rowSums = new Float64Array(width * fine.height);
  for (let step = 0; step < steps; step++) {
    const along = scene.motion ? ((step + 0.5) / steps - 0.5) * scene.motion.lengthPx : 0;
    const sx = Math.round(along * Math.cos(scene.motion?.angle ?? 0) * samples);
    const sy = Math.round(along * Math.sin(scene.motion?.angle ?? 0) * samples);
    rowSums.fill(0);
    for (let y = 0; y < fine.height; y++)
      for (let x = 0; x < width; x++) {
        let s = 0;
        const from = y * fine.width + (x + motionReach) * samples + sx;
        for (let k = 0; k < kernelX.length; k++) s += kernelX[k] * fine.data[from + k];
        rowSums[y * width + x] = s;
      }
    for (let y = 0; y < height; y++) {
      const from = (y + motionReach) * samples + sy;
      for (let k = 0; k < kernelY.length; k++) {
        const weight = kernelY[k] / steps;
        const row = (from + k) * width;
        for (let x = 0; x < width; x++) sum[y * width + x] += weight * rowSums[row + x];
      }
    }
  }
  const slope = scene.lightSlope ?? 0;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      sum[y * width + x] *= (scene.light ?? 1) * (1 + slope * ((x + 0.5) / width - 0.5));
  return sum;
}

/** Weights of the fine samples for one pixel, and their derivatives by position and by blur. */
function pixelKernels(sigma: number, samples: number) {
  const reach = Math.max(1, Math.ceil(4.5 * sigma) + 1);
  const value = pixelKernel(sigma, reach, 0, samples);
  const step = 1e-3;
  const difference = (a: Float64Array, b: Float64Array, over: number) =>
    a.map((x, i) => (x - b[i]) / over);
  return {
    value,
    slope: difference(
      pixelKernel(sigma, reach, step, samples),
      pixelKernel(sigma, reach, -step, samples),
      2 * step,
    ),
    byBlur: difference(
      pixelKernel(sigma + step, reach, 0, samples),
      pixelKernel(sigma - step, reach, 0, samples),
      2 * step,
    ),
  };
}

/** Gaussian convolved with the pixel's width, centred `shift` px to the right. */
function pixelKernel(sigma: number, reach: number, shift: number, samples: number): Float64Array {
  const n = (2 * reach + 1) * samples;
  const kernel = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const d = (i + 0.5) / samples - n / samples / 2 - shift;
    for (let j = 0; j < samples; j++) {
      const e = d - ((j + 0.5) / samples - 0.5);
      kernel[i] += Math.exp(-(e * e) / (2 * sigma * sigma));
    }
  }
  const total = kernel.reduce((x, y) => x + y, 0);
  return kernel.map((w) => w / total);
}

export interface Fine {
  readonly samples: number;
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array;
}

export function sampleReflectance(scene: Scene, pad: number): Fine {
  const [w, h] = [scene.width + 2 * pad, scene.height + 2 * pad];
  const samples = scene.samples ?? defaultSamples;
  const fine = {
    samples,
    width: w * samples,
    height: h * samples,
    data: new Float32Array(w * h * samples * samples),
  };
  fine.data.fill(scene.background ?? 0.35);
  // Undistorted rays at the pixel corners; bilinear in between (error below 1e-6 px).
  const rays = new Float64Array((w + 1) * (h + 1) * 2);
  for (let y = 0; y <= h; y++)
    for (let x = 0; x <= w; x++) {
      const ray = trueSight(scene.lens, x - pad - 0.5, y - pad - 0.5) ?? [Number.NaN, Number.NaN];
      rays.set(ray, 2 * (y * (w + 1) + x));
    }
  for (const print of scene.prints) paint(scene, print, fine, rays, w, h);
  return fine;
}

function paint(scene: Scene, print: Print, fine: Fine, rays: Float64Array, w: number, h: number) {
  const boardFromCamera = invert(print.cameraFromBoard);
  const { samples } = fine;
  const { R } = boardFromCamera;
  const [ox, oy, oz] = boardFromCamera.t;
  const look = reflectanceOf(scene, print);
  for (let py = 0; py < h; py++)
    for (let px = 0; px < w; px++) {
      const r00 = 2 * (py * (w + 1) + px);
      const r10 = r00 + 2 * (w + 1);
      const stepX = (rays[r00 + 2] - rays[r00]) / samples;
      const stepY = (rays[r10 + 1] - rays[r00 + 1]) / samples;
      for (let j = 0; j < samples; j++)
        for (let i = 0; i < samples; i++) {
          const a = (i + 0.5) / samples;
          const b = (j + 0.5) / samples;
          const nx = bilinear(rays, r00, r10, a, b);
          const ny = bilinear(rays, r00 + 1, r10 + 1, a, b);
          const dx = R[0] * nx + R[1] * ny + R[2];
          const dy = R[3] * nx + R[4] * ny + R[5];
          const dz = R[6] * nx + R[7] * ny + R[8];
          let t = -oz / dz;
          let x = ox + t * dx;
          if (print.bend) {
            // Meet the cylinder z = k x^2 / 2 (arc) by fixed-point steps.
            const k = print.bend;
            for (let n = 0; n < 20; n++) {
              t = ((1 - Math.sqrt(Math.max(0, 1 - k * k * x * x))) / k - oz) / dz;
              x = ox + t * dx;
            }
            x = Math.asin(Math.max(-1, Math.min(1, k * x))) / k;
          }
          if (!(t > 0)) continue;
          // Board lengths of one fine sample, across which an edge's coverage runs from 0 to 1.
          const wide = Math.hypot(
            stepX * (R[0] - (dx * R[6]) / dz),
            stepY * (R[1] - (dx * R[7]) / dz),
          );
          const high = Math.hypot(
            stepX * (R[3] - (dy * R[6]) / dz),
            stepY * (R[4] - (dy * R[7]) / dz),
          );
          const value = look(x, oy + t * dy, t * wide, t * high);
          if (value >= 0) fine.data[(py * samples + j) * fine.width + px * samples + i] = value;
        }
    }
}

/** Between four rays, of which two lie one after the other at `top` and two at `bottom`. */
function bilinear(rays: Float64Array, top: number, bottom: number, a: number, b: number): number {
  return (
    (1 - b) * ((1 - a) * rays[top] + a * rays[top + 2]) +
    b * ((1 - a) * rays[bottom] + a * rays[bottom + 2])
  );
}

/** Whiteness 0 .. 1 at a point of the print, for samples so many units wide and high. */
type Look = (x: number, y: number, wide: number, high: number) => number;

/** Reflectance at a point of the print, -1 outside the paper. */
function reflectanceOf(scene: Scene, print: Print): Look {
  const black = scene.black ?? 0.04;
  const white = scene.white ?? 0.85;
  const whiteness = print.id === "sheet" ? sheetLook() : boardLook(print.id);
  const [hx, hy] =
    print.id === "sheet" ? [sheetColumns / 2 + 0.3, sheetRows / 2 + 0.3] : [8.2, 8.2];
  return (x, y, wide, high) => {
    if (!(Math.abs(x) < hx && Math.abs(y) < hy)) return -1;
    for (const [cx, cy, r] of print.discs ?? []) if (Math.hypot(x - cx, y - cy) < r) return 0.2;
    return black + (white - black) * whiteness(print.mirrored ? -x : x, y, wide, high);
  };
}

/**
 * Cells with edges one sample wide: point samples would shift an edge that runs along the rows of
 * samples by up to half a sample, 0.06 px of 8 a pixel.
 */
function boardLook(id: number): Look {
  const side = 16;
  const white = new Uint8Array(side * side).fill(1);
  for (let i = 0; i < 14 * 14; i++)
    if (cellIsBlack(id, Math.floor(i / 14), i % 14))
      white[(Math.floor(i / 14) + 1) * side + (i % 14) + 1] = 0;
  const cell = (row: number, col: number): number =>
    row < 0 || col < 0 || row >= side || col >= side ? 1 : white[row * side + col];
  const share = (d: number, width: number): number => Math.max(0, Math.min(1, d / width + 0.5));
  return (x, y, wide, high) => {
    // The crossing next to the point, and how much of the sample lies right of and below it.
    const [u, v] = [x + 8, 8 - y];
    const col = Math.round(u);
    const row = Math.round(v);
    const right = share(u - col, wide);
    const below = share(v - row, high);
    return (
      (1 - below) * ((1 - right) * cell(row - 1, col - 1) + right * cell(row - 1, col)) +
      below * ((1 - right) * cell(row, col - 1) + right * cell(row, col))
    );
  };
}

function sheetLook(): Look {
  const markers = new Map(sheetMarkers.map((m) => [m.row * sheetColumns + m.col, m]));
  return (x, y) => {
    const col = Math.floor(x + sheetColumns / 2);
    const row = Math.floor(sheetRows / 2 - y);
    if (col < 0 || row < 0 || col >= sheetColumns || row >= sheetRows) return 1;
    if (sheetSquareIsBlack(row, col)) return 0;
    const marker = markers.get(row * sheetColumns + col);
    if (!marker) return 1;
    const c = Math.floor((x - marker.x) / sheetMarkerBitCells + 4);
    const r = Math.floor((marker.y - y) / sheetMarkerBitCells + 4);
    return c >= 0 && r >= 0 && c < 8 && r < 8 && tagCellIsBlack(marker.id, r, c) ? 0 : 1;
  };
}

function sharpen(
  grey: Float64Array,
  width: number,
  height: number,
  amount: number,
  radius: number,
) {
  const reach = Math.ceil(3 * radius);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * radius * radius)),
  );
  const total = kernel.reduce((a, b) => a + b, 0);
  const across = new Float64Array(grey.length);
  const clamp = (i: number, n: number) => Math.max(0, Math.min(n - 1, i));
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      for (let k = -reach; k <= reach; k++)
        across[y * width + x] +=
          (kernel[k + reach] / total) * grey[y * width + clamp(x + k, width)];
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      let soft = 0;
      for (let k = -reach; k <= reach; k++)
        soft += (kernel[k + reach] / total) * across[clamp(y + k, height) * width + x];
      grey[y * width + x] += amount * (grey[y * width + x] - soft);
    }
}

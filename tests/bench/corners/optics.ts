/**
 * Light of a scene through a lens that is out of focus, in a hand that moves, with colours that do
 * not quite meet: lens and pixel spread every point a little, and every pixel then adds up many rays,
 * each with its own place in the lens opening and in the exposure. Thin lens: a ray through the place
 * a of the opening (unit disc) shows the picture of the pinhole camera at q = p + a c(q), where the
 * signed radius c of the disc goes with 1/depth. Nothing here knows of the fit's own description of
 * blur.
 */
import { unproject } from "../../../src/lens/lens.ts";
import { type Fine, type Scene, sampleReflectance } from "../../tools/render-board.ts";

export interface Optics {
  /** Standard deviation of the lens's own round blur, px. */
  readonly blurPx: number;
  /** Radius of the disc at the board's centre, px (negative: focused behind the board). */
  readonly defocusPx?: number;
  /** Radius of the disc of things far away, same sign rule; says how the radius goes with depth. */
  readonly farDefocusPx?: number;
  /** Path during the exposure, even speed: length px, direction rad. */
  readonly motion?: { readonly lengthPx: number; readonly angle: number };
  /** Radial shift of red and of blue at the board's centre, px; green makes up for both in luma. */
  readonly colour?: { readonly red: number; readonly blue: number };
}

/** Shares of red, green and blue in the luma of JFIF (ITU-R BT.601). */
export const lumaShares = [0.299, 0.587, 0.114] as const;

interface Rays {
  /** Way of the picture until the ray's moment, px. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Place in the lens opening. */
  readonly a: Float64Array;
  readonly b: Float64Array;
}

/** Pairs of rays of one pixel, where nothing else is asked for. */
const manyPairs = 160;

/** Radical inverse: the Halton sequence in one base. */
function radicalInverse(i: number, base: number): number {
  let [value, share, rest] = [0, 1 / base, i];
  while (rest > 0) {
    value += share * (rest % base);
    rest = Math.floor(rest / base);
    share /= base;
  }
  return value;
}

/** Rays of one pixel, in pairs that mirror each other, so that no pixel is shifted by its rays. */
function raysOf({ defocusPx, motion }: Optics, most: number): Rays {
  const pairs = defocusPx || motion ? most : 1;
  const n = 2 * pairs;
  const rays = {
    x: new Float64Array(n),
    y: new Float64Array(n),
    a: new Float64Array(n),
    b: new Float64Array(n),
  };
  for (let k = 0; k < pairs; k++) {
    const h = [2, 3, 5].map((base) => radicalInverse(k + 1, base));
    const along = (motion?.lengthPx ?? 0) * (h[2] - 0.5);
    const x = along * Math.cos(motion?.angle ?? 0);
    const y = along * Math.sin(motion?.angle ?? 0);
    const a = Math.sqrt(h[0]) * Math.cos(2 * Math.PI * h[1]);
    const b = Math.sqrt(h[0]) * Math.sin(2 * Math.PI * h[1]);
    for (const [m, sign] of [
      [2 * k, 1],
      [2 * k + 1, -1],
    ]) {
      rays.x[m] = sign * x;
      rays.y[m] = sign * y;
      rays.a[m] = sign * a;
      rays.b[m] = sign * b;
    }
  }
  return rays;
}

/** Signed radius of the disc over the picture: value at pixel (0, 0) and slopes, px. */
function discOf(scene: Scene, optics: Optics): [number, number, number] {
  const here = optics.defocusPx ?? 0;
  const far = optics.farDefocusPx ?? here;
  const { R, t } = scene.prints[0].cameraFromBoard;
  const distance = R[2] * t[0] + R[5] * t[1] + R[8] * t[2];
  const perDepth = (x: number, y: number): number => {
    const ray = unproject(scene.lens, x, y) ?? [0, 0];
    return (R[2] * ray[0] + R[5] * ray[1] + R[8]) / distance;
  };
  const radius = (x: number, y: number) => far + (here - far) * perDepth(x, y) * t[2];
  const [mx, my] = [scene.width / 2, scene.height / 2];
  const slopeX = (radius(mx + 20, my) - radius(mx - 20, my)) / 40;
  const slopeY = (radius(mx, my + 20) - radius(mx, my - 20)) / 40;
  return [radius(mx, my) - slopeX * mx - slopeY * my, slopeX, slopeY];
}

interface Samples {
  /** Pixels around the picture that were sampled, too. */
  readonly reach: number;
  readonly fine: Fine;
  /** The same after the lens's round blur and the pixel's own square, by the blur. */
  readonly soft: Map<number, Fine>;
}

/** The samples of a scene do not depend on the optics, but for how far around they reach. */
const known = new WeakMap<Scene, Samples>();

function samplesFor(scene: Scene, { blurPx, defocusPx, motion, colour }: Optics) {
  const needed =
    Math.ceil(4 * blurPx + 1.3 * Math.abs(defocusPx ?? 0)) +
    Math.ceil((motion?.lengthPx ?? 0) / 2) +
    Math.ceil(Math.max(Math.abs(colour?.red ?? 0), Math.abs(colour?.blue ?? 0)));
  let samples = known.get(scene);
  if (!samples || samples.reach <= needed) {
    const reach = needed + 3;
    samples = { reach, fine: sampleReflectance(scene, reach), soft: new Map() };
    known.set(scene, samples);
  }
  const soft = samples.soft.get(blurPx) ?? softened(samples.fine, blurPx);
  samples.soft.set(blurPx, soft);
  return { reach: samples.reach, fine: soft };
}

/** Gaussian and the pixel's width, both ways; the rim stays as it is. */
function softened(fine: Fine, sigma: number): Fine {
  const { width, height, samples, data } = fine;
  const half = Math.ceil((4 * sigma + 0.5) * samples);
  const kernel = new Float64Array(2 * half + 1);
  for (let i = -half; i <= half; i++)
    for (let j = 0; j < samples; j++) {
      const d = (i - (j + 0.5)) / samples + 0.5;
      kernel[i + half] += Math.exp((-d * d) / (2 * sigma * sigma));
    }
  const total = kernel.reduce((sum, w) => sum + w, 0);
  const across = data.slice();
  for (let y = 0; y < height; y++)
    for (let x = half; x < width - half; x++) {
      let sum = 0;
      const from = y * width + x - half;
      for (let k = 0; k < kernel.length; k++) sum += kernel[k] * data[from + k];
      across[y * width + x] = sum / total;
    }
  const out = across.slice();
  const row = new Float64Array(width);
  for (let y = half; y < height - half; y++) {
    row.fill(0);
    for (let k = 0; k < kernel.length; k++) {
      const from = (y - half + k) * width;
      for (let x = 0; x < width; x++) row[x] += kernel[k] * across[from + x];
    }
    for (let x = 0; x < width; x++) out[y * width + x] = row[x] / total;
  }
  return { ...fine, data: out };
}

/** Linear light of red, green and blue; one plane where the colours meet. `shift` moves all, px. */
export function coloursOf(
  scene: Scene,
  optics: Optics,
  shift: readonly [number, number] = [0, 0],
  pairs = manyPairs,
): Float64Array[] {
  const { reach, fine } = samplesFor(scene, optics);
  const rays = raysOf(optics, pairs);
  const { colour } = optics;
  if (!colour) return [planeOf(scene, optics, fine, reach, rays, 0, shift)];
  const [r, g, b] = lumaShares;
  const green = -(r * colour.red + b * colour.blue) / g;
  return [colour.red, green, colour.blue].map((radial) =>
    planeOf(scene, optics, fine, reach, rays, radial, shift),
  );
}

function planeOf(
  scene: Scene,
  optics: Optics,
  fine: Fine,
  reach: number,
  rays: Rays,
  radial: number,
  shift: readonly [number, number],
): Float64Array {
  const { width, height, lens } = scene;
  const [c0, cx, cy] = discOf(scene, optics);
  const n = rays.x.length;
  // q = p + a c(q) and c linear in q: c(q) = c(p) / (1 - a . slope).
  const stretch = rays.x.map((_, k) => 1 / (1 - rays.a[k] * cx - rays.b[k] * cy));
  const scale = radial / Math.hypot(width / 2 - lens.cx, height / 2 - lens.cy);
  const out = new Float64Array(width * height);
  const { samples } = fine;
  for (let py = 0; py < height; py++)
    for (let px = 0; px < width; px++) {
      const x0 = px + shift[0] - scale * (px - lens.cx);
      const y0 = py + shift[1] - scale * (py - lens.cy);
      const c = c0 + cx * px + cy * py;
      let sum = 0;
      for (let k = 0; k < n; k++) {
        const disc = c * stretch[k];
        // Between four samples: the nearest one alone would move edges by up to half a sample.
        const fx = (x0 + rays.x[k] + disc * rays.a[k] + 0.5 + reach) * samples - 0.5;
        const fy = (y0 + rays.y[k] + disc * rays.b[k] + 0.5 + reach) * samples - 0.5;
        const [ix, iy] = [fx | 0, fy | 0];
        const [wx, wy] = [fx - ix, fy - iy];
        const at = iy * fine.width + ix;
        const below = at + fine.width;
        const top = fine.data[at] + wx * (fine.data[at + 1] - fine.data[at]);
        const bottom = fine.data[below] + wx * (fine.data[below + 1] - fine.data[below]);
        sum += top + wy * (bottom - top);
      }
      out[py * width + px] = sum / n;
    }
  const slope = scene.lightSlope ?? 0;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      out[y * width + x] *= (scene.light ?? 1) * (1 + slope * ((x + 0.5) / width - 0.5));
  return out;
}

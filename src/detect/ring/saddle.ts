import type { LumaImage } from "../../photo/grey/luma.ts";

export interface Saddle {
  readonly x: number;
  readonly y: number;
  /** Grey difference between the bright and the dark quarters. */
  readonly contrast: number;
}

/** Local frame of a crossing: pixel change per cell along the board's columns and rows. */
export interface LocalFrame {
  readonly ux: number;
  readonly uy: number;
  readonly vx: number;
  readonly vy: number;
}

/** How finely a crossing is looked at: the window's samples and the last step's length. */
export interface SaddleEffort {
  /** Samples from the middle to the rim of the window at most. */
  readonly samples: number;
  readonly tolerancePx: number;
}

// The numbers here are our own, checked by bench:detect, where no reason is given; no source.

const maxSteps = 16;
/** Window of `refineSaddle` at full effort. */
export const fineSaddle: SaddleEffort = { samples: 8, tolerancePx: 0.002 };
/** Enough to predict where the neighbours are, in a sixth of the time. */
export const roughSaddle: SaddleEffort = { samples: 4, tolerancePx: 0.05 };
/**
 * One step of the bilinear form recovers 2/3 of a small shift of an ideal crossing (the integral of
 * v sign(u - d) sign(v) against that of u v sign(u) sign(v)); longer steps save iterations. A wide
 * blur recovers more: a step that turns back halves the length.
 */
const firstStepLength = 1.35;
/** Factor on the step length when a step turns back. */
const shorterStep = 0.6;
/** Fewest samples from the middle to the rim of the window, and how many there are per pixel. */
const fewestSamples = 3;
const samplesPerPx = 1.4;
/** Farthest that the crossing may be from the start, as a share of the window's side. */
const farthestShare = 0.75;
/** Rounding margin of the window's reach, px. */
const roundingPx = 1e-9;

/**
 * Finds the point about which the picture is point-symmetric near a crossing of four checks, by
 * driving the first moments of the grey values over a board-aligned window to zero. Any tone curve
 * and any symmetric blur keep that symmetry, so neither shifts the result.
 *
 * `halfWindow` is in cells; `polarity` as in the board's saddle list (bright where dx dy > 0 with y
 * up). Start and result are in pixels. Null when there is no such crossing within three quarters of
 * the window's side of the start.
 */
export function refineSaddle(
  image: LumaImage,
  startX: number,
  startY: number,
  frame: LocalFrame,
  halfWindow: number,
  polarity: 1 | -1,
  effort: SaddleEffort = fineSaddle,
): Saddle | null {
  const cellPx = Math.sqrt(Math.abs(frame.ux * frame.vy - frame.uy * frame.vx));
  const n = Math.max(
    fewestSamples,
    Math.min(effort.samples, Math.round(halfWindow * cellPx * samplesPerPx)),
  );
  const step = halfWindow / n;
  const side = 2 * n + 1;
  // Sums over the window of u^2, u^4 and u^2 v^2.
  const line2 = (step * step * n * (n + 1) * side) / 3;
  const line4 = (step ** 4 * n * (n + 1) * side * (3 * n * n + 3 * n - 1)) / 15;
  const squares = side * line2;
  const quartic = line2 * line2;
  const spread = side * line4 - line2 * line2;
  let [x, y] = [startX, startY];
  let stepLength = firstStepLength;
  let [lastU, lastV] = [0, 0];
  for (let iteration = 0; iteration < maxSteps; iteration++) {
    if (!sumMoments(image, x, y, frame, n, step)) return null;
    // v points down the board, so bright where dx dy > 0 (y up) is a negative u v coefficient.
    const twist = moments[5] / quartic;
    if (twist * polarity >= 0) return null;
    const level = (line2 * moments[0]) / side;
    const bendU = (2 * (moments[3] - level)) / spread;
    const bendV = (2 * (moments[4] - level)) / spread;
    const det = bendU * bendV - twist * twist;
    if (!(det < 0)) return null;
    const [gu, gv] = [moments[1] / squares, moments[2] / squares];
    const du = (-stepLength * (bendV * gu - twist * gv)) / det;
    const dv = (-stepLength * (bendU * gv - twist * gu)) / det;
    const [stepU, stepV] = [clamp(du, halfWindow / 2), clamp(dv, halfWindow / 2)];
    if (stepU * lastU + stepV * lastV < 0) stepLength *= shorterStep;
    [lastU, lastV] = [stepU, stepV];
    x += stepU * frame.ux + stepV * frame.vx;
    y += stepU * frame.uy + stepV * frame.vy;
    if (!(Math.hypot(x - startX, y - startY) < farthestShare * halfWindow * cellPx * 2))
      return null;
    // An ideal crossing of contrast C has a bilinear coefficient of 9 C / (8 halfWindow^2).
    if (Math.hypot(stepU, stepV) * cellPx < effort.tolerancePx)
      return { x, y, contrast: (Math.abs(twist) * halfWindow * halfWindow * 8) / 9 };
  }
  return null;
}

/** Sums of g, u g, v g, u^2 g, v^2 g, u v g over the window. */
const moments = new Float64Array(6);

/** Fills `moments` by bilinear interpolation; false where the window leaves the picture. */
function sumMoments(
  { data, width, height }: LumaImage,
  x: number,
  y: number,
  { ux, uy, vx, vy }: LocalFrame,
  n: number,
  step: number,
): boolean {
  const reachX = halfReach(ux, vx, n * step);
  const reachY = halfReach(uy, vy, n * step);
  if (!(x >= reachX && y >= reachY && x + reachX < width - 1 && y + reachY < height - 1))
    return false;
  let [s0, su, sv, suu, svv, suv] = [0, 0, 0, 0, 0, 0];
  for (let j = -n; j <= n; j++) {
    const v = j * step;
    let [row0, row1, row2] = [0, 0, 0];
    for (let i = -n; i <= n; i++) {
      const u = i * step;
      const px = x + u * ux + v * vx;
      const py = y + u * uy + v * vy;
      const x0 = px | 0;
      const y0 = py | 0;
      const a = px - x0;
      const k = y0 * width + x0;
      const top = data[k] + a * (data[k + 1] - data[k]);
      const bottom = data[k + width] + a * (data[k + width + 1] - data[k + width]);
      const g = top + (py - y0) * (bottom - top);
      row0 += g;
      row1 += u * g;
      row2 += u * u * g;
    }
    s0 += row0;
    su += row1;
    suu += row2;
    sv += v * row0;
    svv += v * v * row0;
    suv += v * row1;
  }
  moments[0] = s0;
  moments[1] = su;
  moments[2] = sv;
  moments[3] = suu;
  moments[4] = svv;
  moments[5] = suv;
  return true;
}

/** Largest distance of a window's point from its middle along one picture axis. */
const halfReach = (u: number, v: number, half: number): number =>
  half * (Math.abs(u) + Math.abs(v)) + roundingPx;

const clamp = (value: number, limit: number): number => Math.max(-limit, Math.min(limit, value));

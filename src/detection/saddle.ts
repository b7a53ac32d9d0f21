import type { LumaImage } from "../photo/luma.ts";
import { greyAt } from "./sampling.ts";

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

const maxSteps = 16;
/** Samples from the middle to the rim of the window at most: enough for a start value. */
const maxSamples = 8;
/**
 * One step of the bilinear form recovers 2/3 of a small shift of an ideal crossing (the integral of
 * v sign(u - d) sign(v) against that of u v sign(u) sign(v)); longer steps save iterations. A wide
 * blur recovers more: a step that turns back halves the length.
 */
const firstStepLength = 1.35;

/**
 * Finds the point about which the picture is point-symmetric near a crossing of four checks, by
 * driving the first moments of the grey values over a board-aligned window to zero. Any tone curve
 * and any symmetric blur keep that symmetry, so neither shifts the result.
 *
 * `halfWindow` is in cells; `polarity` as in the board's saddle list (bright where dx dy > 0 with y
 * up). Null when there is no such crossing within half a window of the start.
 */
export function refineSaddle(
  image: LumaImage,
  startX: number,
  startY: number,
  frame: LocalFrame,
  halfWindow: number,
  polarity: 1 | -1,
): Saddle | null {
  const cellPx = Math.sqrt(Math.abs(frame.ux * frame.vy - frame.uy * frame.vx));
  const n = Math.max(3, Math.min(maxSamples, Math.round(halfWindow * cellPx * 1.4)));
  const step = halfWindow / n;
  let [x, y] = [startX, startY];
  let stepLength = firstStepLength;
  let [lastU, lastV] = [0, 0];
  for (let iteration = 0; iteration < maxSteps; iteration++) {
    let [su, sv, suv, suu, svv, s0, squares, quartic, fourth] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
    for (let j = -n; j <= n; j++)
      for (let i = -n; i <= n; i++) {
        const u = i * step;
        const v = j * step;
        const g = greyAt(image, x + u * frame.ux + v * frame.vx, y + u * frame.uy + v * frame.vy);
        su += u * g;
        sv += v * g;
        suv += u * v * g;
        suu += u * u * g;
        svv += v * v * g;
        s0 += g;
        fourth += u * u * u * u;
        squares += u * u;
        quartic += u * u * v * v;
      }
    if (!Number.isFinite(suv)) return null;
    // v points down the board, so bright where dx dy > 0 (y up) is a negative u v coefficient.
    const twist = suv / quartic;
    if (twist * polarity >= 0) return null;
    const count = (2 * n + 1) * (2 * n + 1);
    const spread = fourth - (squares * squares) / count;
    const bendU = (2 * (suu - (squares * s0) / count)) / spread;
    const bendV = (2 * (svv - (squares * s0) / count)) / spread;
    const det = bendU * bendV - twist * twist;
    if (!(det < 0)) return null;
    const [gu, gv] = [su / squares, sv / squares];
    const du = (-stepLength * (bendV * gu - twist * gv)) / det;
    const dv = (-stepLength * (bendU * gv - twist * gu)) / det;
    const [stepU, stepV] = [clamp(du, halfWindow / 2), clamp(dv, halfWindow / 2)];
    if (stepU * lastU + stepV * lastV < 0) stepLength *= 0.6;
    [lastU, lastV] = [stepU, stepV];
    x += stepU * frame.ux + stepV * frame.vx;
    y += stepU * frame.uy + stepV * frame.vy;
    if (!(Math.hypot(x - startX, y - startY) < 0.75 * halfWindow * cellPx * 2)) return null;
    // An ideal crossing of contrast C has a bilinear coefficient of 9 C / (8 halfWindow^2).
    if (Math.hypot(stepU, stepV) * cellPx < 0.002)
      return { x, y, contrast: (Math.abs(twist) * halfWindow * halfWindow * 8) / 9 };
  }
  return null;
}

const clamp = (value: number, limit: number): number => Math.max(-limit, Math.min(limit, value));

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

const maxSteps = 12;
/**
 * One step of the bilinear form recovers 2/3 of a small shift of an ideal crossing (the integral of
 * v sign(u - d) sign(v) against that of u v sign(u) sign(v)); longer steps save iterations.
 */
const stepLength = 1.35;

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
  const n = Math.max(3, Math.min(8, Math.round(halfWindow * cellPx * 1.2)));
  const step = halfWindow / n;
  let [x, y] = [startX, startY];
  for (let iteration = 0; iteration < maxSteps; iteration++) {
    let [su, sv, suv, squares, quartic] = [0, 0, 0, 0, 0];
    for (let j = -n; j <= n; j++)
      for (let i = -n; i <= n; i++) {
        const u = i * step;
        const v = j * step;
        const g = greyAt(image, x + u * frame.ux + v * frame.vx, y + u * frame.uy + v * frame.vy);
        su += u * g;
        sv += v * g;
        suv += u * v * g;
        squares += u * u;
        quartic += u * u * v * v;
      }
    if (!Number.isFinite(suv)) return null;
    // v points down the board, so bright where dx dy > 0 (y up) is a negative u v coefficient.
    const twist = suv / quartic;
    if (twist * polarity >= 0) return null;
    const du = (-stepLength * (sv / squares)) / twist;
    const dv = (-stepLength * (su / squares)) / twist;
    const [stepU, stepV] = [clamp(du, halfWindow / 2), clamp(dv, halfWindow / 2)];
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

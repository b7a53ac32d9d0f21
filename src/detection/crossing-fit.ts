import { cholesky, choleskySolve } from "../numerics/dense.ts";
import type { LumaImage } from "../photo/luma.ts";
import { type TileBlur, valueAtCrossing, valueSlots } from "./pattern-value.ts";
import type { LocalFrame } from "./saddle.ts";

/** Unknowns: shift along u and v, blur along u and v, tone, gain with slopes, offset. */
const unknowns = 9;
const maxSteps = 12;
/** Only pixels this near an edge are used, in standard deviations of the blur. */
const edgeReach = 3.5;

export interface CrossingPoint {
  readonly x: number;
  readonly y: number;
  /** Standard deviation of the position per coordinate from the grey noise, px. */
  readonly sigmaPx: number;
  readonly contrast: number;
  readonly blurPx: number;
}

/**
 * Places one crossing of four checks by fitting the blurred print to the pixels along its four
 * edges: grey = offset + (gain + slopes) (P + c P (1 - P)). Far from the edges nothing is used, so
 * that stains and shading there do not pull. `halfWindow` in units of the frame. Null where the fit
 * does not converge near its start.
 */
export function fitCrossing(
  image: LumaImage,
  startX: number,
  startY: number,
  frame: LocalFrame,
  halfWindow: number,
  polarity: 1 | -1,
  blurPx: number,
): CrossingPoint | null {
  const { ux, uy, vx, vy } = frame;
  const det = ux * vy - uy * vx;
  // d(u, v)/d(pixel)
  const a = [vy / det, -vx / det, -uy / det, ux / det];
  const alongU = Math.hypot(a[0], a[1]);
  const alongV = Math.hypot(a[2], a[3]);
  const blur: TileBlur = {
    blurU: blurPx * alongU,
    blurV: blurPx * alongV,
    correlation: (a[0] * a[2] + a[1] * a[3]) / (alongU * alongV),
    softU: 1,
    softV: 1,
  };
  // Bright up right and down left (v down) for polarity +1.
  const steps = polarity > 0 ? [0, 1, 1, -2] : [1, -1, -1, 2];
  const pattern = Float64Array.from(steps);
  const reachX = Math.ceil(halfWindow * (Math.abs(ux) + Math.abs(vx))) + 1;
  const reachY = Math.ceil(halfWindow * (Math.abs(uy) + Math.abs(vy))) + 1;
  const box = [startX - reachX, startY - reachY, startX + reachX, startY + reachY].map(Math.round);
  if (box[0] < 0 || box[1] < 0 || box[2] >= image.width || box[3] >= image.height) return null;
  const state = { u: 0, v: 0, tone: 0, gain: 100, gainU: 0, gainV: 0, offset: 80 };
  const normal = new Float64Array(unknowns * unknowns);
  const right = new Float64Array(unknowns);
  const row = new Float64Array(unknowns);
  const value = new Float64Array(valueSlots);
  for (let step = 0; step < maxSteps; step++) {
    normal.fill(0);
    right.fill(0);
    let pixels = 0;
    let squares = 0;
    blur.softU = blur.blurU;
    blur.softV = blur.blurV;
    for (let y = box[1]; y <= box[3]; y++)
      for (let x = box[0]; x <= box[2]; x++) {
        const u = a[0] * (x - startX) + a[1] * (y - startY);
        const v = a[2] * (x - startX) + a[3] * (y - startY);
        if (Math.abs(u) > halfWindow || Math.abs(v) > halfWindow) continue;
        const du = u - state.u;
        const dv = v - state.v;
        if (Math.abs(du) > edgeReach * blur.blurU && Math.abs(dv) > edgeReach * blur.blurV)
          continue;
        valueAtCrossing(pattern, 0, du, dv, blur, value);
        const white = value[0];
        const bow = white * (1 - white);
        const gain = state.gain + state.gainU * u + state.gainV * v;
        const toned = white + state.tone * bow;
        const slope = gain * (1 + state.tone * (1 - 2 * white));
        const r = image.data[y * image.width + x] - state.offset - gain * toned;
        row[0] = -slope * value[1];
        row[1] = -slope * value[2];
        row[2] = slope * value[3];
        row[3] = slope * value[4];
        row[4] = gain * bow;
        row[5] = toned;
        row[6] = toned * u;
        row[7] = toned * v;
        row[8] = 1;
        pixels++;
        squares += r * r;
        for (let i = 0; i < unknowns; i++) {
          const f = row[i];
          right[i] += f * r;
          for (let j = 0; j <= i; j++) normal[i * unknowns + j] += f * row[j];
        }
      }
    if (pixels < 3 * unknowns) return null;
    if (cholesky(normal, unknowns).failedAt >= 0) return null;
    choleskySolve(normal, unknowns, right);
    const limit = (z: number, most: number) => Math.max(-most, Math.min(most, z));
    const moveU = limit(right[0], 2 * blur.blurU);
    const moveV = limit(right[1], 2 * blur.blurV);
    state.u += moveU;
    state.v += moveV;
    blur.blurU = Math.max(0.35 * alongU, blur.blurU + limit(right[2], 0.4 * blur.blurU));
    blur.blurV = Math.max(0.35 * alongV, blur.blurV + limit(right[3], 0.4 * blur.blurV));
    state.tone = limit(state.tone + right[4], 2);
    state.gain += right[5];
    state.gainU += right[6];
    state.gainV += right[7];
    state.offset += right[8];
    if (Math.abs(state.u) > halfWindow / 2 || Math.abs(state.v) > halfWindow / 2) return null;
    const moved = Math.hypot(moveU * ux + moveV * vx, moveU * uy + moveV * vy);
    if (step > 1 && moved < 0.002) {
      const variance = squares / (pixels - unknowns);
      if (!(state.gain > 0)) return null;
      return {
        x: startX + state.u * ux + state.v * vx,
        y: startY + state.u * uy + state.v * vy,
        sigmaPx: sigmaOf(normal, variance, frame),
        contrast: state.gain,
        blurPx: (blur.blurU / alongU + blur.blurV / alongV) / 2,
      };
    }
  }
  return null;
}

/** Position deviation per coordinate from the factored normal matrix. */
function sigmaOf(factor: Float64Array, variance: number, frame: LocalFrame): number {
  let sum = 0;
  for (const [fu, fv] of [
    [frame.ux, frame.vx],
    [frame.uy, frame.vy],
  ]) {
    const b = new Float64Array(unknowns);
    b[0] = fu;
    b[1] = fv;
    choleskySolve(factor, unknowns, b);
    sum += b[0] * fu + b[1] * fv;
  }
  return Math.sqrt((variance * sum) / 2);
}

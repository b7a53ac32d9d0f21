/** Print that a pixel sees on a bent board; the formulas are those of ../pattern-bend.ts. */
import * as at from "./layout";

export let bentU: f64 = 0;
export let bentV: f64 = 0;

const centre: f64 = 7;

/** From the grid units (u, v) that a flat board would show at the pixel. */
export function bendPrint(u: f64, v: f64): void {
  const b = at.frame + at.bend;
  const ka = load<f64>(b);
  const kb = load<f64>(b, 8);
  const kc = load<f64>(b, 16);
  const perHeight = load<f64>(b, 40);
  const P = u - centre;
  const Q = v - centre;
  const s = (load<f64>(b, 24) - P) * perHeight;
  const t = (load<f64>(b, 32) - Q) * perHeight;
  const x = ka * P + kb * Q;
  const y = kb * P + kc * Q;
  const linear = 1 - (x * s + y * t);
  const flat = 0.5 * (x * P + y * Q);
  const square = 0.5 * (ka * s * s + 2 * kb * s * t + kc * t * t);
  const z = (2 * flat) / (linear + sqrt(max(0, linear * linear - 4 * square * flat)));
  const p = P + z * s;
  const q = Q + z * t;
  bentU = p + (z / 3) * (ka * p + kb * q) + centre;
  bentV = q + (z / 3) * (kb * p + kc * q) + centre;
}

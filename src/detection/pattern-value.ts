import { edgePerUnit, edgeRange, edgeTable } from "./edge-spread.ts";

/**
 * Whiteness (0 black .. 1 white) of the blurred print at a point of a tile, and its derivatives.
 * Slots of the result: the print as the lens blurs it; its derivative along u and v (per cell), with
 * respect to the blur along u and v (per cell) and to their correlation; the softer print that
 * sharpening subtracts, and its derivative along u and v.
 */
export const valueSlots = 9;

/** Blur of a tile in cells: along u and v, correlation; along u and v of the softer print. */
export interface TileBlur {
  blurU: number;
  blurV: number;
  correlation: number;
  softU: number;
  softV: number;
}

const zLimit = edgeRange - 0.01;

/**
 * The same as in assembly/pattern-value.ts, for single crossings. A tile that sees only the two grid lines through its crossing: four cells. `steps[at..at+3]` are
 * the print's steps: base, across the u line, across the v line, across both. A correlated blur adds
 * the first three terms of the bivariate normal's series in the correlation.
 */
export function valueAtCrossing(
  steps: Float64Array,
  at: number,
  du: number,
  dv: number,
  blur: TileBlur,
  out: Float64Array,
): void {
  const table = edgeTable;
  const invU = 1 / blur.blurU;
  const invV = 1 / blur.blurV;
  const zu = clamp(du * invU);
  const zv = clamp(dv * invV);
  const stepU = steps[at + 1];
  const stepV = steps[at + 2];
  const both = steps[at + 3];
  let f = (zu + edgeRange) * edgePerUnit;
  let i = f | 0;
  let a = f - i;
  i *= 2;
  const eu = table[i] + a * (table[i + 2] - table[i]);
  const su = table[i + 1] + a * (table[i + 3] - table[i + 1]);
  f = (zv + edgeRange) * edgePerUnit;
  i = f | 0;
  a = f - i;
  i *= 2;
  const ev = table[i] + a * (table[i + 2] - table[i]);
  const sv = table[i + 1] + a * (table[i + 3] - table[i + 1]);
  const r = blur.correlation;
  const edge = both * su * sv;
  const hu = zu * zu - 1;
  const hv = zv * zv - 1;
  const cross = edge * r * (1 + 0.5 * r * (zu * zv + (r / 3) * hu * hv));
  const alongU = (stepU + both * ev) * su;
  const alongV = (stepV + both * eu) * sv;
  out[0] = steps[at] + stepU * eu + stepV * ev + both * eu * ev + cross;
  // d/dz of f, -z f, (z^2 - 1) f is -z f, (z^2 - 1) f, -(z^3 - 3 z) f.
  const crossU = -zu - 0.5 * r * zv * hu + ((r * r) / 6) * (3 - zu * zu) * zu * hv;
  const crossV = -zv - 0.5 * r * zu * hv + ((r * r) / 6) * (3 - zv * zv) * zv * hu;
  out[1] = (alongU + edge * r * crossU) * invU;
  out[2] = (alongV + edge * r * crossV) * invV;
  out[3] = -zu * alongU * invU;
  out[4] = -zv * alongV * invV;
  out[5] = edge * (1 + r * zu * zv + 0.5 * r * r * hu * hv);
  const softInvU = 1 / blur.softU;
  const softInvV = 1 / blur.softV;
  f = (clamp(du * softInvU) + edgeRange) * edgePerUnit;
  i = f | 0;
  a = f - i;
  i *= 2;
  const fu = table[i] + a * (table[i + 2] - table[i]);
  const gu = table[i + 1] + a * (table[i + 3] - table[i + 1]);
  f = (clamp(dv * softInvV) + edgeRange) * edgePerUnit;
  i = f | 0;
  a = f - i;
  i *= 2;
  const fv = table[i] + a * (table[i + 2] - table[i]);
  const gv = table[i + 1] + a * (table[i + 3] - table[i + 1]);
  out[6] = steps[at] + stepU * fu + stepV * fv + both * fu * fv;
  out[7] = (stepU + both * fv) * gu * softInvU;
  out[8] = (stepV + both * fu) * gv * softInvV;
}

const clamp = (z: number): number => Math.max(-zLimit, Math.min(zLimit, z));

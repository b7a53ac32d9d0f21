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
 * A tile that sees only the two grid lines through its crossing: four cells. `steps[at..at+3]` are
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

const maxLines = 7;
/** Per line: edge, slope, its first two derivatives, soft edge, soft slope; line 0 is the constant 1. */
const lineSlots = 6;
const linesU = new Float64Array((maxLines + 1) * lineSlots);
const linesV = new Float64Array((maxLines + 1) * lineSlots);
linesU[0] = linesU[4] = linesV[0] = linesV[4] = 1;

/** The same for a tile that sees `lines` grid lines each way, where cells are small or blur wide. */
export function valueInWindow(
  steps: Float64Array,
  at: number,
  lines: number,
  du: number,
  dv: number,
  blur: TileBlur,
  out: Float64Array,
): void {
  const first = (lines - 1) / 2;
  fillLines(linesU, lines, du + first, 1 / blur.blurU, 1 / blur.softU);
  fillLines(linesV, lines, dv + first, 1 / blur.blurV, 1 / blur.softV);
  const n = lines + 1;
  let white = 0;
  let alongU = 0;
  let alongV = 0;
  let widenU = 0;
  let widenV = 0;
  let cross11 = 0;
  let cross12 = 0;
  let cross21 = 0;
  let cross22 = 0;
  let cross23 = 0;
  let cross32 = 0;
  let cross33 = 0;
  let soft = 0;
  let softAlongU = 0;
  let softAlongV = 0;
  let s = at;
  for (let b = 0; b < n; b++, s += n) {
    let e = steps[s];
    let d = 0;
    let w = 0;
    let h = 0;
    let f = e;
    let g = 0;
    for (let a = 1, k = lineSlots; a < n; a++, k += lineSlots) {
      const step = steps[s + a];
      e += step * linesU[k];
      d += step * linesU[k + 1];
      w += step * linesU[k + 2];
      h += step * linesU[k + 3];
      f += step * linesU[k + 4];
      g += step * linesU[k + 5];
    }
    const k = b * lineSlots;
    white += linesV[k] * e;
    alongU += linesV[k] * d;
    widenU += linesV[k] * w;
    alongV += linesV[k + 1] * e;
    widenV += linesV[k + 2] * e;
    cross11 += linesV[k + 1] * d;
    cross21 += linesV[k + 1] * w;
    cross12 += linesV[k + 2] * d;
    cross22 += linesV[k + 2] * w;
    cross32 += linesV[k + 2] * h;
    cross23 += linesV[k + 3] * w;
    cross33 += linesV[k + 3] * h;
    soft += linesV[k + 4] * f;
    softAlongU += linesV[k + 4] * g;
    softAlongV += linesV[k + 5] * f;
  }
  const r = blur.correlation;
  out[0] = white + r * (cross11 + 0.5 * r * (cross22 + (r / 3) * cross33));
  out[1] = (alongU + r * (cross21 + 0.5 * r * cross32)) / blur.blurU;
  out[2] = (alongV + r * (cross12 + 0.5 * r * cross23)) / blur.blurV;
  out[3] = widenU / blur.blurU;
  out[4] = widenV / blur.blurV;
  out[5] = cross11 + r * (cross22 + 0.5 * r * cross33);
  out[6] = soft;
  out[7] = softAlongU / blur.softU;
  out[8] = softAlongV / blur.softV;
}

function fillLines(
  out: Float64Array,
  lines: number,
  fromFirst: number,
  inverse: number,
  softInverse: number,
): void {
  const table = edgeTable;
  for (let a = 1, k = lineSlots; a <= lines; a++, k += lineSlots) {
    const d = fromFirst + 1 - a;
    const z = clamp(d * inverse);
    let f = (z + edgeRange) * edgePerUnit;
    let i = f | 0;
    let t = f - i;
    i *= 2;
    const slope = table[i + 1] + t * (table[i + 3] - table[i + 1]);
    out[k] = table[i] + t * (table[i + 2] - table[i]);
    out[k + 1] = slope;
    out[k + 2] = -z * slope;
    out[k + 3] = (z * z - 1) * slope;
    f = (clamp(d * softInverse) + edgeRange) * edgePerUnit;
    i = f | 0;
    t = f - i;
    i *= 2;
    out[k + 4] = table[i] + t * (table[i + 2] - table[i]);
    out[k + 5] = table[i + 1] + t * (table[i + 3] - table[i + 1]);
  }
}

const clamp = (z: number): number => Math.max(-zLimit, Math.min(zLimit, z));

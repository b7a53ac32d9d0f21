/**
 * Pixel loop and normal equations of the whole-pattern fit in WebAssembly (AssemblyScript source),
 * with the products in 128-bit vectors. The caller fills the memory, see ../pattern-memory.ts.
 */
import { bendPrint, bentU, bentV } from "./bent-print";
import { rowCoefficients, setShaped, shaped } from "./edge-tables";
import * as at from "./layout";
import { valueAtCrossing, valueInWindow } from "./pattern-value";
import { softPrint, softPrintAtCrossing } from "./soft-print";

export { setShaped } from "./edge-tables";
export { halve } from "./half-size";
export { assemble } from "./pattern-normal";
export { softPrint, softPrintAtCrossing, valueAtCrossing, valueInWindow };

const perSide = <i32>at.perSide;
const saturated: f64 = 254;
const toneScale = <f64>at.toneEntries;

const degree: i32 = 5;

function rowPolynomial(from: usize, y: f64, out: usize): void {
  for (let i = 0; i <= degree; i++) {
    let sum: f64 = 0;
    for (let j = degree - i; j >= 0; j--) {
      const d = i + j;
      sum = sum * y + load<f64>(from + ((<usize>(((d * (d + 1)) >> 1) + j)) << 3));
    }
    store<f64>(out + ((<usize>i) << 3), sum);
  }
}

// @ts-ignore: decorator
@inline
function polynomial(c: usize, x: f64): f64 {
  const high = load<f64>(c, 24) + x * (load<f64>(c, 32) + x * load<f64>(c, 40));
  return load<f64>(c) + x * (load<f64>(c, 8) + x * (load<f64>(c, 16) + x * high));
}

let grey: f64 = 0;
let greySlope: f64 = 0;

/** Grey value of light and its slope, straight beyond both ends. */
// @ts-ignore: decorator
@inline
function develop(light: f64): void {
  const f = light * toneScale;
  if (f > 0 && f < toneScale) {
    const k = <i32>f;
    const a = f - <f64>k;
    const entry = at.toneTable + ((<usize>k) << 4);
    const g = load<f64>(entry);
    const s = load<f64>(entry, 8);
    grey = g + a * (load<f64>(entry, 16) - g);
    greySlope = s + a * (load<f64>(entry, 24) - s);
  } else if (f > 0) {
    greySlope = load<f64>(at.toneTable + 16 * at.toneEntries, 8);
    grey = 255 + (light - 1) * greySlope;
  } else {
    greySlope = load<f64>(at.toneTable, 8);
    grey = light * greySlope;
  }
}

let first: i32 = 0;
let last: i32 = 0;

/** Columns of the board in one row, with two pixels to spare for the lens. */
function spanOfRow(y: f64, width: i32): void {
  let left: f64 = <f64>width;
  let right: f64 = -1;
  const corners = at.frame + at.corners;
  for (let k: usize = 0; k < 4; k++) {
    const a = corners + (k << 4);
    const b = corners + (((k + 1) & 3) << 4);
    const ya = load<f64>(a, 8);
    const yb = load<f64>(b, 8);
    if (min(ya, yb) > y || max(ya, yb) < y || ya == yb) continue;
    const xa = load<f64>(a);
    const x = xa + ((y - ya) / (yb - ya)) * (load<f64>(b) - xa);
    left = min(left, x);
    right = max(right, x);
  }
  first = max(0, <i32>(left - 2));
  last = min(width - 1, <i32>(right + 2));
}

/**
 * Whether one of the four half lines that meet at a crossing is near and has black on one side and
 * white on the other; other pixels say little.
 */
// @ts-ignore: decorator
@inline
function nearEdge(s: usize, tile: usize, du: f64, dv: f64): bool {
  const both = load<f64>(s, 24);
  if (abs(du) <= load<f64>(tile, at.reachU)) {
    const stepU = load<f64>(s, 8);
    if (abs(dv) <= load<f64>(tile, at.reachV)) return true;
    if ((dv < 0 ? stepU : stepU + both) != 0) return true;
  }
  if (abs(dv) > load<f64>(tile, at.reachV)) return false;
  const stepV = load<f64>(s, 16);
  return (du < 0 ? stepV : stepV + both) != 0;
}

/**
 * One pass over the board's pixels: grey residuals and derivatives, summed up per tile. The picture
 * has `width` columns and `rows` rows; its first pixel lies at (x0, y0) from the patch's centre.
 */
export function runPass(
  width: i32,
  rows: i32,
  x0: f64,
  y0: f64,
  inverseScale: f64,
  lines: i32,
  rowStep: i32,
  columnStep: i32,
  tone1: f64,
  tone2: f64,
  sharpening: f64,
  withShape: bool,
): void {
  setShaped(withShape);
  memory.fill(at.products, 0, at.tileCount * at.productBytes);
  memory.fill(at.counts, 0, at.tileCount << 3);
  const m = at.frame + at.gridFromPlane;
  const m0 = load<f64>(m);
  const m1 = load<f64>(m, 8);
  const m2 = load<f64>(m, 16);
  const m3 = load<f64>(m, 24);
  const m4 = load<f64>(m, 32);
  const m5 = load<f64>(m, 40);
  const m6 = load<f64>(m, 48);
  const m7 = load<f64>(m, 56);
  const isBent = load<f64>(at.frame + at.bend, 40) > 0;
  const stepCount = <usize>((lines + 1) * (lines + 1));
  const stepBytes = stepCount << 3;
  const bounds = at.frame + at.bounds;
  const left = load<f64>(bounds);
  const right = load<f64>(bounds, 8);
  const top = load<f64>(bounds, 16);
  const bottom = load<f64>(bounds, 24);
  let stagger = 0;
  for (let py = 0; py < rows; py += rowStep) {
    const y = (y0 + <f64>py) * inverseScale;
    rowPolynomial(at.frame + at.patchX, y, rowCoefficients);
    rowPolynomial(at.frame + at.patchY, y, rowCoefficients + 48);
    const line = at.picture + <usize>(py * width);
    spanOfRow(<f64>py, width);
    const start = first + stagger;
    stagger = stagger + 1 < columnStep ? stagger + 1 : 0;
    for (let px = start; px <= last; px += columnStep) {
      const x = (x0 + <f64>px) * inverseScale;
      const planeX = polynomial(rowCoefficients, x);
      const planeY = polynomial(rowCoefficients + 48, x);
      const w = 1 / (m6 * planeX + m7 * planeY + 1);
      let u = (m0 * planeX + m1 * planeY + m2) * w;
      let v = (m3 * planeX + m4 * planeY + m5) * w;
      if (isBent) {
        bendPrint(u, v);
        u = bentU;
        v = bentV;
      }
      if (!(u > left && v > top && u < right && v < bottom)) continue;
      const i = <i32>(u + 0.5);
      const j = <i32>(v + 0.5);
      const index = <usize>(j * perSide + i);
      if (load<u8>(at.active + index) == 0) continue;
      const du = u - <f64>i;
      const dv = v - <f64>j;
      const tile = at.tiles + index * at.tileBytes;
      const s = at.steps + index * stepBytes;
      const c = at.codes + index * stepCount;
      let soft: f64 = 0;
      if (lines == 1) {
        if (!nearEdge(s, tile, du, dv)) continue;
        valueAtCrossing(s, tile, du, dv);
        soft = softPrintAtCrossing(c, tile, du, dv);
      } else {
        valueInWindow(s, lines, tile, du, dv);
        soft = softPrint(c, lines, tile, du, dv);
      }
      const seen = <f64>load<u8>(line + <usize>px);
      addPixel(index, tile, du, dv, seen, tone1, tone2, sharpening, soft);
    }
  }
}

/**
 * Residual and derivatives of one pixel. Model: g = t(T(offset + gain P)), grey = g + k (g - soft
 * copy of g), with the blurred print P, the sRGB curve T and, between the tile's black and white
 * (q = 0 .. 1), t = q + q (1 - q) (c1 + c2 (1 - 2 q)).
 */
function addPixel(
  index: usize,
  tile: usize,
  du: f64,
  dv: f64,
  seen: f64,
  tone1: f64,
  tone2: f64,
  sharpening: f64,
  softToned: f64,
): void {
  const white = load<f64>(at.values, at.white);
  const l = tile + at.light;
  const gain = load<f64>(l, 24) + load<f64>(l, 32) * du + load<f64>(l, 40) * dv;
  const black = load<f64>(l) + load<f64>(l, 8) * du + load<f64>(l, 16) * dv;
  develop(black + gain * white);
  const dark = load<f64>(tile, at.dark);
  const step = load<f64>(tile, at.contrast);
  const q = (grey - dark) / step;
  const bow = q * (1 - q);
  const tilt = 1 - 2 * q;
  const bend = bow * (tone1 + tone2 * tilt);
  const bendSlope = tone1 * tilt + tone2 * (tilt * tilt - 2 * bow);
  grey += step * bend;
  // Sharpening acts on grey values: k (grey - soft grey).
  const softGrey = dark + step * softToned;
  // The even bump's share in the soft grey's slope is enough for a derivative.
  const softSlope = step * (1 + load<f64>(tile, at.share) * (1 - 2 * load<f64>(at.values, at.soft)));
  const byK = grey - softGrey;
  const model = grey + sharpening * byK;
  if (seen >= saturated && model >= saturated) return;
  if (seen <= 1 && model <= 1) return;
  const sharpened = 1 + sharpening;
  const darkSlope = load<f64>(tile, at.darkSlope);
  const whiteSlope = load<f64>(tile, at.whiteSlope);
  const byOffset =
    greySlope + bend * (whiteSlope - darkSlope) +
    bendSlope * (greySlope - darkSlope - q * (whiteSlope - darkSlope));
  const byGain = greySlope * white + bend * whiteSlope +
    bendSlope * (greySlope * white - q * whiteSlope);
  const sharp = sharpening * softSlope;
  const slope = sharpened * greySlope * gain * (1 + bendSlope);
  const byTone = sharpened * step * bow;
  const count = at.counts + (index << 3);
  store<f64>(count, load<f64>(count) + 1);
  const p = at.products + index * at.productBytes;
  const ab = f64x2(
    slope * load<f64>(at.values, at.alongU) - sharp * load<f64>(at.values, at.softAlongU),
    slope * load<f64>(at.values, at.alongV) - sharp * load<f64>(at.values, at.softAlongV),
  );
  const cd = f64x2(slope * load<f64>(at.values, at.widenU), slope * load<f64>(at.values, at.widenV));
  const ef = f64x2(slope * load<f64>(at.values, at.turning), byTone);
  const gh = f64x2(byTone * tilt, byK);
  const ij = f64x2(sharpened * byGain, sharpened * byOffset);
  const residual = seen - model;
  addProducts(p, ab, cd, ef, gh, ij, residual);
  if (!shaped) return;
  const byDisc = slope * load<f64>(at.values, at.disc);
  const kl = f64x2(residual, byDisc);
  addRow(p + 576, f64x2.splat(byDisc), ab, cd, ef, gh, ij, kl);
  const byColour = slope * thirdOfGrey(gain, black + gain * white);
  const s = f64x2.splat(byColour);
  addRow(p + 672, s, ab, cd, ef, gh, ij, kl);
  add(p + 768, s, f64x2(byColour, 0));
}

/** Exponent of the sRGB curve, and the least light at which its powers are taken. */
const power: f64 = 1.0 / 2.4;
const leastLight: f64 = 0.008;

/**
 * Third derivative of grey towards the rim of the photo, over slope of grey by light and gain: the
 * colours' pictures are added up as grey values, so that (T F)''' = T' F''' + 3 T'' F' F'' + T''' F'^3
 * counts, where T'' / T' = (a - 1) / light and T''' / T' = (a - 1) (a - 2) / light^2 for sRGB.
 */
function thirdOfGrey(gain: f64, light: f64): f64 {
  const first = load<f64>(at.values, at.rim1);
  const relative = gain / max(leastLight, light);
  const curved = (power - 1) * relative;
  return (
    load<f64>(at.values, at.rim3) +
    3 * curved * first * load<f64>(at.values, at.rim2) +
    curved * (power - 2) * relative * first * first * first
  );
}

/** Adds a row of twelve products. */
// @ts-ignore: decorator
@inline
function addRow(
  p: usize,
  s: v128,
  ab: v128,
  cd: v128,
  ef: v128,
  gh: v128,
  ij: v128,
  kl: v128,
): void {
  add(p, s, ab);
  add(p + 16, s, cd);
  add(p + 32, s, ef);
  add(p + 48, s, gh);
  add(p + 64, s, ij);
  add(p + 80, s, kl);
}

// @ts-ignore: decorator
@inline
function add(p: usize, a: v128, b: v128): void {
  v128.store(p, f64x2.add(v128.load(p), f64x2.mul(a, b)));
}

/** Adds the lower triangle of the outer product of eleven numbers, rows rounded up to pairs. */
// @ts-ignore: decorator
@inline
function addProducts(
  p: usize,
  ab: v128,
  cd: v128,
  ef: v128,
  gh: v128,
  ij: v128,
  r: f64,
): void {
  const a = f64x2.extract_lane(ab, 0);
  const b = f64x2.extract_lane(ab, 1);
  const c = f64x2.extract_lane(cd, 0);
  const d = f64x2.extract_lane(cd, 1);
  const e = f64x2.extract_lane(ef, 0);
  const f = f64x2.extract_lane(ef, 1);
  const g = f64x2.extract_lane(gh, 0);
  const h = f64x2.extract_lane(gh, 1);
  const i = f64x2.extract_lane(ij, 0);
  const j = f64x2.extract_lane(ij, 1);
  let s = f64x2.splat(a);
  add(p, s, ab);
  s = f64x2.splat(b);
  add(p + 16, s, ab);
  s = f64x2.splat(c);
  add(p + 32, s, ab);
  add(p + 48, s, cd);
  s = f64x2.splat(d);
  add(p + 64, s, ab);
  add(p + 80, s, cd);
  s = f64x2.splat(e);
  add(p + 96, s, ab);
  add(p + 112, s, cd);
  add(p + 128, s, ef);
  s = f64x2.splat(f);
  add(p + 144, s, ab);
  add(p + 160, s, cd);
  add(p + 176, s, ef);
  s = f64x2.splat(g);
  add(p + 192, s, ab);
  add(p + 208, s, cd);
  add(p + 224, s, ef);
  add(p + 240, s, gh);
  s = f64x2.splat(h);
  add(p + 256, s, ab);
  add(p + 272, s, cd);
  add(p + 288, s, ef);
  add(p + 304, s, gh);
  s = f64x2.splat(i);
  add(p + 320, s, ab);
  add(p + 336, s, cd);
  add(p + 352, s, ef);
  add(p + 368, s, gh);
  add(p + 384, s, ij);
  s = f64x2.splat(j);
  add(p + 400, s, ab);
  add(p + 416, s, cd);
  add(p + 432, s, ef);
  add(p + 448, s, gh);
  add(p + 464, s, ij);
  s = f64x2.splat(r);
  add(p + 480, s, ab);
  add(p + 496, s, cd);
  add(p + 512, s, ef);
  add(p + 528, s, gh);
  add(p + 544, s, ij);
  add(p + 560, s, f64x2(r, 0));
}

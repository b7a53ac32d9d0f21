/**
 * Whiteness (0 black .. 1 white) of the blurred print at a point of a tile, and its derivatives:
 * along u and v (per cell), with respect to the blur along u and v (per cell) and to their
 * correlation; and the softer print that sharpening subtracts, with its derivatives.
 */
import {
  byDisc,
  cornerReach,
  clamp,
  decay,
  edge,
  jointAt,
  lineBytes,
  linesU,
  linesV,
  readEdge,
  shaped,
  slope,
} from "./edge-tables";
import * as at from "./layout";

/**
 * Factor on 1 / blur at a place of the tile. The blur is the same in pixels all over, but a board
 * seen at a flat angle has more cells a pixel at its far end. Across an edge what counts is the blur
 * half way between the pixel and the edge: there the chord of the perspective's curve has its slope.
 */
// @ts-ignore: decorator
@inline
function shrunkAt(growth: usize, du: f64, dv: f64): f64 {
  return 1 - load<f64>(growth) * du - load<f64>(growth, 8) * dv;
}

const perTwoPi: f64 = 0.15915494309189535;

/**
 * A tile that sees only the two grid lines through its crossing: four cells, whose steps (base,
 * across the u line, across the v line, across both) lie at `s`. Blur that is correlated along u
 * and v makes the corner's share a bivariate normal distribution F(h, k; r), with dF/dh = f(h)
 * F((k - r h) / sqrt(1 - r^2)) and dF/dr its density.
 */
export function valueAtCrossing(s: usize, tile: usize, du: f64, dv: f64): void {
  const nearU = shrunkAt(tile + at.growthU, du, dv) + load<f64>(tile, at.growthU + 16) * du;
  const nearV = shrunkAt(tile + at.growthV, du, dv) + load<f64>(tile, at.growthV + 16) * dv;
  const invU = load<f64>(tile, at.invBlurU) * nearU;
  const invV = load<f64>(tile, at.invBlurV) * nearV;
  const zu = clamp(du * invU);
  const zv = clamp(dv * invV);
  const base = load<f64>(s);
  const stepU = load<f64>(s, 8);
  const stepV = load<f64>(s, 16);
  const both = load<f64>(s, 24);
  readEdge(zu);
  const eu = edge;
  const su = slope;
  readEdge(zv);
  const ev = edge;
  const sv = slope;
  let white = base + stepU * eu + stepV * ev;
  let alongU = stepU * su;
  let alongV = stepV * sv;
  let turning: f64 = 0;
  if (both != 0) {
    const r = load<f64>(tile, at.correlation);
    const c = load<f64>(tile, at.conditional);
    white += both * (eu * ev + jointAt(tile + at.joint, zu, zv));
    readEdge(clamp((zv - r * zu) * c));
    alongU += both * su * edge;
    readEdge(clamp((zu - r * zv) * c));
    alongV += both * sv * edge;
    turning = both * perTwoPi * c * decay(0.5 * c * c * (zu * zu - 2 * r * zu * zv + zv * zv));
  }
  if (shaped) {
    const byU = stepU + both * ev;
    const byV = stepV + both * eu;
    store<f64>(at.values, byU * byDisc(zu) + byV * byDisc(zv), at.disc);
    const a = load<f64>(tile, at.rimU);
    const b = load<f64>(tile, at.rimV);
    const u = a * byU * su;
    const v = b * byV * sv;
    const corner = a * b * both * su * sv;
    store<f64>(at.values, u + v, at.rim1);
    store<f64>(at.values, 2 * corner - a * zu * u - b * zv * v, at.rim2);
    const third = a * a * (zu * zu - 1) * u + b * b * (zv * zv - 1) * v;
    store<f64>(at.values, third - 3 * (a * zu + b * zv) * corner, at.rim3);
  }
  alongU *= invU;
  alongV *= invV;
  store<f64>(at.values, white, at.white);
  store<f64>(at.values, alongU, at.alongU);
  store<f64>(at.values, alongV, at.alongV);
  store<f64>(at.values, -zu * alongU, at.widenU);
  store<f64>(at.values, -zv * alongV, at.widenV);
  store<f64>(at.values, turning, at.turning);
  const softInvU = load<f64>(tile, at.invSoftU) * nearU;
  const softInvV = load<f64>(tile, at.invSoftV) * nearV;
  readEdge(clamp(du * softInvU));
  const fu = edge;
  const gu = slope;
  store<f64>(linesU, fu, lineBytes + 32);
  readEdge(clamp(dv * softInvV));
  const fv = edge;
  store<f64>(linesV, fv, lineBytes + 32);
  store<f64>(at.values, base + stepU * fu + stepV * fv + both * fu * fv, at.soft);
  store<f64>(at.values, (stepU + both * fv) * gu * softInvU, at.softAlongU);
  store<f64>(at.values, (stepV + both * fu) * slope * softInvV, at.softAlongV);
}

/** The same for a tile that sees `lines` grid lines each way, where cells are small or blur wide. */
export function valueInWindow(s: usize, lines: i32, tile: usize, du: f64, dv: f64): void {
  const first = 0.5 * <f64>(lines - 1);
  const nearU = shrunkAt(tile + at.growthU, du, dv);
  const nearV = shrunkAt(tile + at.growthV, du, dv);
  const invU = load<f64>(tile, at.invBlurU);
  const invV = load<f64>(tile, at.invBlurV);
  const softInvU = load<f64>(tile, at.invSoftU);
  const softInvV = load<f64>(tile, at.invSoftV);
  const acrossU = load<f64>(tile, at.growthU + 16);
  const acrossV = load<f64>(tile, at.growthV + 16);
  fillLines(linesU, lines, du + first, nearU, acrossU, invU, softInvU);
  fillLines(linesV, lines, dv + first, nearV, acrossV, invV, softInvV);
  const stepsStart = s;
  const rowBytes = (<usize>(lines + 1)) << 3;
  let white: f64 = 0;
  let alongU: f64 = 0;
  let alongV: f64 = 0;
  let widenU: f64 = 0;
  let widenV: f64 = 0;
  let soft: f64 = 0;
  let softAlongU: f64 = 0;
  let softAlongV: f64 = 0;
  const end = linesV + lineBytes * <usize>(lines + 1);
  for (let v = linesV; v < end; v += lineBytes, s += rowBytes) {
    const constant = load<f64>(s);
    // Edge and slope, the slope's derivative, soft edge and slope of this row of cells.
    let es = f64x2(constant, 0);
    let w: f64 = 0;
    let fg = f64x2(constant, 0);
    let u = linesU + lineBytes;
    for (let k: usize = 8; k < rowBytes; k += 8, u += lineBytes) {
      const step = v128.load64_splat(s + k);
      es = f64x2.add(es, f64x2.mul(step, v128.load(u)));
      w += load<f64>(s + k) * load<f64>(u, 16);
      fg = f64x2.add(fg, f64x2.mul(step, v128.load(u, 32)));
    }
    const e = f64x2.extract_lane(es, 0);
    const f = f64x2.extract_lane(fg, 0);
    const l0 = load<f64>(v);
    const l4 = load<f64>(v, 32);
    white += l0 * e;
    alongU += l0 * f64x2.extract_lane(es, 1);
    widenU += l0 * w;
    alongV += load<f64>(v, 8) * e;
    widenV += load<f64>(v, 16) * e;
    soft += l4 * f;
    softAlongU += l4 * f64x2.extract_lane(fg, 1);
    softAlongV += load<f64>(v, 40) * f;
  }
  store<f64>(at.values, white, at.white);
  store<f64>(at.values, alongU * invU, at.alongU);
  store<f64>(at.values, alongV * invV, at.alongV);
  store<f64>(at.values, widenU * invU, at.widenU);
  store<f64>(at.values, widenV * invV, at.widenV);
  store<f64>(at.values, 0, at.turning);
  store<f64>(at.values, soft, at.soft);
  store<f64>(at.values, softAlongU * softInvU, at.softAlongU);
  store<f64>(at.values, softAlongV * softInvV, at.softAlongV);
  addCorners(stepsStart, lines, tile, invU, invV);
  if (shaped) shapeInWindow(stepsStart, lines, tile);
}

/** What the shape of the blur adds, from the lines of the present pixel. */
function shapeInWindow(s: usize, lines: i32, tile: usize): void {
  const rowBytes = (<usize>(lines + 1)) << 3;
  const end = linesV + lineBytes * <usize>(lines + 1);
  const a = load<f64>(tile, at.rimU);
  const b = load<f64>(tile, at.rimV);
  let disc: f64 = 0;
  let first: f64 = 0;
  let second: f64 = 0;
  let third: f64 = 0;
  for (let v = linesV; v < end; v += lineBytes, s += rowBytes) {
    let u0: f64 = load<f64>(s);
    let u1: f64 = 0;
    let u2: f64 = 0;
    let u3: f64 = 0;
    let uDisc: f64 = 0;
    let u = linesU + lineBytes;
    for (let k: usize = 8; k < rowBytes; k += 8, u += lineBytes) {
      const step = load<f64>(s + k);
      u0 += step * load<f64>(u);
      u1 += step * load<f64>(u, 8);
      u2 += step * load<f64>(u, 16);
      u3 += step * load<f64>(u, 64);
      uDisc += step * load<f64>(u, 72);
    }
    const v0 = load<f64>(v);
    const v1 = b * load<f64>(v, 8);
    const v2 = b * b * load<f64>(v, 16);
    const v3 = b * b * b * load<f64>(v, 64);
    disc += v0 * uDisc + load<f64>(v, 72) * u0;
    first += a * v0 * u1 + v1 * u0;
    second += a * (a * v0 * u2 + 2 * v1 * u1) + v2 * u0;
    third += a * (a * (a * v0 * u3 + 3 * v1 * u2) + 3 * v2 * u1) + v3 * u0;
  }
  store<f64>(at.values, disc, at.disc);
  store<f64>(at.values, first, at.rim1);
  store<f64>(at.values, second, at.rim2);
  store<f64>(at.values, third, at.rim3);
}

/** Adds what correlated blur changes at the corners that the tile sees. */
function addCorners(s: usize, lines: i32, tile: usize, invU: f64, invV: f64): void {
  const r = load<f64>(tile, at.correlation);
  const c = load<f64>(tile, at.conditional);
  const rowBytes = (<usize>(lines + 1)) << 3;
  const end = linesV + lineBytes * <usize>(lines + 1);
  let white: f64 = 0;
  let alongU: f64 = 0;
  let alongV: f64 = 0;
  let widenU: f64 = 0;
  let widenV: f64 = 0;
  let turning: f64 = 0;
  for (let v = linesV + lineBytes; v < end; v += lineBytes) {
    s += rowBytes;
    const zv = load<f64>(v, 24);
    if (abs(zv) > cornerReach) continue;
    let u = linesU + lineBytes;
    for (let k: usize = 8; k < rowBytes; k += 8, u += lineBytes) {
      const step = load<f64>(s + k);
      const zu = load<f64>(u, 24);
      if (step == 0 || abs(zu) > cornerReach) continue;
      white += step * jointAt(tile + at.joint, zu, zv);
      readEdge(clamp((zv - r * zu) * c));
      const byU = step * load<f64>(u, 8) * (edge - load<f64>(v));
      readEdge(clamp((zu - r * zv) * c));
      const byV = step * load<f64>(v, 8) * (edge - load<f64>(u));
      alongU += byU;
      alongV += byV;
      widenU -= zu * byU;
      widenV -= zv * byV;
      turning += step * decay(0.5 * c * c * (zu * zu - 2 * r * zu * zv + zv * zv));
    }
  }
  addTo(at.white, white);
  addTo(at.alongU, alongU * invU);
  addTo(at.alongV, alongV * invV);
  addTo(at.widenU, widenU * invU);
  addTo(at.widenV, widenV * invV);
  addTo(at.turning, turning * perTwoPi * c);
}

// @ts-ignore: decorator
@inline
function addTo(slot: usize, x: f64): void {
  store<f64>(at.values + slot, load<f64>(at.values + slot) + x);
}

/** `near` is the blur's factor at the pixel; half the way to a line at distance d adds across * d. */
function fillLines(
  out: usize,
  lines: i32,
  fromFirst: f64,
  near: f64,
  across: f64,
  inverse: f64,
  softInverse: f64,
): void {
  store<f64>(out, 1);
  store<f64>(out, 0, 8);
  store<f64>(out, 0, 16);
  store<f64>(out, 0, 24);
  store<f64>(out, 1, 32);
  store<f64>(out, 0, 40);
  store<f64>(out, 0, 64);
  store<f64>(out, 0, 72);
  for (let a = 0; a < lines; a++) {
    out += lineBytes;
    const distance = fromFirst - <f64>a;
    const d = distance * (near + across * distance);
    const z = clamp(d * inverse);
    readEdge(z);
    store<f64>(out, edge);
    store<f64>(out, slope, 8);
    store<f64>(out, -z * slope, 16);
    store<f64>(out, z, 24);
    if (shaped) {
      store<f64>(out, (z * z - 1) * slope, 64);
      store<f64>(out, byDisc(z), 72);
    }
    readEdge(clamp(d * softInverse));
    store<f64>(out, edge, 32);
    store<f64>(out, slope, 40);
  }
}

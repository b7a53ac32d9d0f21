/**
 * Whiteness (0 black .. 1 white) of the blurred print at a point of a tile, and its derivatives:
 * along u and v (per cell), with respect to the blur along u and v (per cell) and to their
 * correlation; and the softer print that sharpening subtracts, with its derivatives.
 */
import * as at from "./layout";

/** Half range of the edge table, standard deviations, and entries per standard deviation. */
const edgeRange: f64 = 7;
const edgePerUnit: f64 = 72;
const zLimit: f64 = 6.99;

/**
 * Per line: edge, slope, its first two derivatives, soft edge, soft slope, and what softening leaves
 * of the edge's even and odd bump; line 0 is constant 1.
 */
const lineBytes: usize = 64;
const linesU: usize = at.work;
const linesV: usize = at.work + 512;

let edge: f64 = 0;
let slope: f64 = 0;

/** Edge profile and slope at z standard deviations, by linear interpolation. */
// @ts-ignore: decorator
@inline
function readEdge(z: f64): void {
  const f = (z + edgeRange) * edgePerUnit;
  const i = <i32>f;
  const a = f - <f64>i;
  const entry = at.edgeTable + ((<usize>i) << 4);
  const e0 = load<f64>(entry);
  const s0 = load<f64>(entry, 8);
  edge = e0 + a * (load<f64>(entry, 16) - e0);
  slope = s0 + a * (load<f64>(entry, 24) - s0);
}

// @ts-ignore: decorator
@inline
function clamp(z: f64): f64 {
  return max(-zLimit, min(zLimit, z));
}

/**
 * A tile that sees only the two grid lines through its crossing: four cells, whose steps (base,
 * across the u line, across the v line, across both) lie at `s`. A correlated blur adds the first
 * three terms of the bivariate normal's series in the correlation.
 */
export function valueAtCrossing(s: usize, tile: usize, du: f64, dv: f64): void {
  const invU = load<f64>(tile, at.invBlurU);
  const invV = load<f64>(tile, at.invBlurV);
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
  const r = load<f64>(tile, at.correlation);
  const corner = both * su * sv;
  const alongU = (stepU + both * ev) * su;
  const alongV = (stepV + both * eu) * sv;
  const hu = zu * zu - 1;
  const hv = zv * zv - 1;
  const zz = zu * zv;
  const cross = corner * r * (1 + 0.5 * r * (zz + (r * (1.0 / 3)) * hu * hv));
  store<f64>(at.values, base + stepU * eu + stepV * ev + both * eu * ev + cross, at.white);
  // d/dz of f, -z f, (z^2 - 1) f is -z f, (z^2 - 1) f, -(z^3 - 3 z) f.
  const rr = r * r * (1.0 / 6);
  const crossU = -zu - 0.5 * r * zv * hu + rr * (3 - zu * zu) * zu * hv;
  const crossV = -zv - 0.5 * r * zu * hv + rr * (3 - zv * zv) * zv * hu;
  store<f64>(at.values, (alongU + corner * r * crossU) * invU, at.alongU);
  store<f64>(at.values, (alongV + corner * r * crossV) * invV, at.alongV);
  store<f64>(at.values, -zu * alongU * invU, at.widenU);
  store<f64>(at.values, -zv * alongV * invV, at.widenV);
  store<f64>(at.values, corner * (1 + r * zz + 0.5 * r * r * hu * hv), at.turning);
  const softInvU = load<f64>(tile, at.invSoftU);
  const softInvV = load<f64>(tile, at.invSoftV);
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
  const invU = load<f64>(tile, at.invBlurU);
  const invV = load<f64>(tile, at.invBlurV);
  const softInvU = load<f64>(tile, at.invSoftU);
  const softInvV = load<f64>(tile, at.invSoftV);
  fillLines(linesU, lines, du + first, invU, softInvU);
  fillLines(linesV, lines, dv + first, invV, softInvV);
  const rowBytes = (<usize>(lines + 1)) << 3;
  let white: f64 = 0;
  let alongU: f64 = 0;
  let alongV: f64 = 0;
  let widenU: f64 = 0;
  let widenV: f64 = 0;
  let cross11: f64 = 0;
  let cross12: f64 = 0;
  let cross21: f64 = 0;
  let cross22: f64 = 0;
  let cross23: f64 = 0;
  let cross32: f64 = 0;
  let cross33: f64 = 0;
  let soft: f64 = 0;
  let softAlongU: f64 = 0;
  let softAlongV: f64 = 0;
  const end = linesV + lineBytes * <usize>(lines + 1);
  for (let v = linesV; v < end; v += lineBytes, s += rowBytes) {
    const constant = load<f64>(s);
    // Edge and slope, the slope's derivatives, soft edge and slope of this row of cells.
    let es = f64x2(constant, 0);
    let wh = f64x2(0, 0);
    let fg = f64x2(constant, 0);
    let u = linesU + lineBytes;
    for (let k: usize = 8; k < rowBytes; k += 8, u += lineBytes) {
      const step = v128.load64_splat(s + k);
      es = f64x2.add(es, f64x2.mul(step, v128.load(u)));
      wh = f64x2.add(wh, f64x2.mul(step, v128.load(u, 16)));
      fg = f64x2.add(fg, f64x2.mul(step, v128.load(u, 32)));
    }
    const e = f64x2.extract_lane(es, 0);
    const d = f64x2.extract_lane(es, 1);
    const w = f64x2.extract_lane(wh, 0);
    const h = f64x2.extract_lane(wh, 1);
    const f = f64x2.extract_lane(fg, 0);
    const l0 = load<f64>(v);
    const l1 = load<f64>(v, 8);
    const l2 = load<f64>(v, 16);
    const l3 = load<f64>(v, 24);
    const l4 = load<f64>(v, 32);
    white += l0 * e;
    alongU += l0 * d;
    widenU += l0 * w;
    alongV += l1 * e;
    widenV += l2 * e;
    cross11 += l1 * d;
    cross21 += l1 * w;
    cross12 += l2 * d;
    cross22 += l2 * w;
    cross32 += l2 * h;
    cross23 += l3 * w;
    cross33 += l3 * h;
    soft += l4 * f;
    softAlongU += l4 * f64x2.extract_lane(fg, 1);
    softAlongV += load<f64>(v, 40) * f;
  }
  const r = load<f64>(tile, at.correlation);
  const third: f64 = 1.0 / 3;
  store<f64>(at.values, white + r * (cross11 + 0.5 * r * (cross22 + r * third * cross33)), at.white);
  store<f64>(at.values, (alongU + r * (cross21 + 0.5 * r * cross32)) * invU, at.alongU);
  store<f64>(at.values, (alongV + r * (cross12 + 0.5 * r * cross23)) * invV, at.alongV);
  store<f64>(at.values, widenU * invU, at.widenU);
  store<f64>(at.values, widenV * invV, at.widenV);
  store<f64>(at.values, cross11 + r * (cross22 + 0.5 * r * cross33), at.turning);
  store<f64>(at.values, soft, at.soft);
  store<f64>(at.values, softAlongU * softInvU, at.softAlongU);
  store<f64>(at.values, softAlongV * softInvV, at.softAlongV);
}

function fillLines(out: usize, lines: i32, fromFirst: f64, inverse: f64, softInverse: f64): void {
  store<f64>(out, 1);
  store<f64>(out, 0, 8);
  store<f64>(out, 0, 16);
  store<f64>(out, 0, 24);
  store<f64>(out, 1, 32);
  store<f64>(out, 0, 40);
  for (let a = 0; a < lines; a++) {
    out += lineBytes;
    const d = fromFirst - <f64>a;
    const z = clamp(d * inverse);
    readEdge(z);
    store<f64>(out, edge);
    store<f64>(out, slope, 8);
    store<f64>(out, -z * slope, 16);
    store<f64>(out, (z * z - 1) * slope, 24);
    readEdge(clamp(d * softInverse));
    store<f64>(out, edge, 32);
    store<f64>(out, slope, 40);
  }
}

/**
 * The soft copy of the print after its tone curve, in units of the contrast: what sharpening
 * subtracts. After valueAtCrossing or valueInWindow at the same point, which leave the soft edges.
 *
 * The tone curve makes of the blurred print P about P + c (P - P^2) + d P (1 - P) (1 - 2 P). With
 * E^2 = E - b and E^3 = E - 3/2 b + 1/2 k, where b = E (1 - E) and k = b (1 - 2 E), any such
 * polynomial of a print with separate edges is a sum over crossings of products (E, b, k along u) x
 * (E, b, k along v), and softening acts on each factor alone. \`codes\` says which of the products'
 * coefficients (at.softPrint, nine each) hold at every crossing that the tile sees.
 */
export function softPrint(codes: usize, lines: i32, tile: usize, du: f64, dv: f64): f64 {
  const first = 0.5 * <f64>(lines - 1);
  fillBumps(linesU, lines, du + first, load<f64>(tile, at.invBumpU), load<f64>(tile, at.bumpU));
  fillBumps(linesV, lines, dv + first, load<f64>(tile, at.invBumpV), load<f64>(tile, at.bumpV));
  let sum: f64 = 0;
  const end = linesV + lineBytes * <usize>(lines + 1);
  const endU = linesU + lineBytes * <usize>(lines + 1);
  for (let v = linesV; v < end; v += lineBytes) {
    let byEdge: f64 = 0;
    let byEven: f64 = 0;
    let byOdd: f64 = 0;
    for (let u = linesU; u < endU; u += lineBytes, codes++) {
      const c = at.softPrint + <usize>load<u8>(codes) * 72;
      const e = load<f64>(u, 32);
      const b = load<f64>(u, 48);
      const k = load<f64>(u, 56);
      byEdge += e * load<f64>(c) + b * load<f64>(c, 8) + k * load<f64>(c, 16);
      byEven += e * load<f64>(c, 24) + b * load<f64>(c, 32) + k * load<f64>(c, 40);
      byOdd += e * load<f64>(c, 48) + b * load<f64>(c, 56) + k * load<f64>(c, 64);
    }
    sum += load<f64>(v, 32) * byEdge + load<f64>(v, 48) * byEven + load<f64>(v, 56) * byOdd;
  }
  return sum;
}

/** \`softPrint\` for a tile that sees only the two lines through its crossing. */
export function softPrintAtCrossing(codes: usize, tile: usize, du: f64, dv: f64): f64 {
  const fu = load<f64>(linesU, lineBytes + 32);
  const fv = load<f64>(linesV, lineBytes + 32);
  const heightU = load<f64>(tile, at.bumpU);
  const zu = clamp(du * load<f64>(tile, at.invBumpU));
  readEdge(zu);
  const bu = heightU * slope;
  const ku = -oddShare * heightU * zu * bu;
  const heightV = load<f64>(tile, at.bumpV);
  const zv = clamp(dv * load<f64>(tile, at.invBumpV));
  readEdge(zv);
  const bv = heightV * slope;
  const kv = -oddShare * heightV * zv * bv;
  const four = load<u32>(codes);
  const base = at.softPrint + <usize>(four & 255) * 72;
  const u = at.softPrint + <usize>((four >> 8) & 255) * 72;
  const v = at.softPrint + <usize>((four >> 16) & 255) * 72;
  const c = at.softPrint + <usize>(four >> 24) * 72;
  return (
    load<f64>(base) +
    fu * load<f64>(u) + bu * load<f64>(u, 8) + ku * load<f64>(u, 16) +
    fv * (load<f64>(v) + fu * load<f64>(c) + bu * load<f64>(c, 8) + ku * load<f64>(c, 16)) +
    bv * (load<f64>(v, 24) + fu * load<f64>(c, 24) + bu * load<f64>(c, 32) + ku * load<f64>(c, 40)) +
    kv * (load<f64>(v, 48) + fu * load<f64>(c, 48) + bu * load<f64>(c, 56) + ku * load<f64>(c, 64))
  );
}

/** Ratio of the odd bump's first moment to the square of the even bump's area, unit edge. */
const oddShare: f64 = 0.8660;

/**
 * Bumps of the lines as Gaussians of the right area (even) and first moment (odd): \`height\` is the
 * area 1/sqrt(pi) of a unit edge's even bump times blur / width.
 */
function fillBumps(out: usize, lines: i32, fromFirst: f64, inverse: f64, height: f64): void {
  store<f64>(out, 1, 32);
  store<f64>(out, 0, 48);
  store<f64>(out, 0, 56);
  for (let a = 0; a < lines; a++) {
    out += lineBytes;
    const z = clamp((fromFirst - <f64>a) * inverse);
    readEdge(z);
    const even = height * slope;
    store<f64>(out, even, 48);
    store<f64>(out, -oddShare * height * z * even, 56);
  }
}

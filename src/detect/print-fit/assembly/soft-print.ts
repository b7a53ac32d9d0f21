/** What sharpening subtracts: the soft copy of the print after its tone curve. */
import {
  cornerReach,
  clamp,
  jointAt,
  lineBytes,
  linesU,
  linesV,
  readEdge,
  slope,
} from "./edge-tables";
import * as at from "./layout";

/**
 * The soft copy of the print after its tone curve, in units of the contrast: what sharpening
 * subtracts. After valueAtCrossing or valueInWindow at the same point, which leave the soft edges.
 *
 * The tone curve makes of the blurred print P about P + c (P - P^2) + d P (1 - P) (1 - 2 P). With
 * E^2 = E - b and E^3 = E - 3/2 b + 1/2 k, where b = E (1 - E) and k = b (1 - 2 E), any such
 * polynomial of a print with separate edges is a sum over crossings of products (E, b, k along u) x
 * (E, b, k along v), and softening acts on each factor alone. `codes` says which of the products'
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
      const corner = load<f64>(c);
      if (corner != 0 && u > linesU && v > linesV)
        sum += corner * softCorner(u - linesU, v - linesV, lines, tile, du, dv);
      byEdge += e * corner + b * load<f64>(c, 8) + k * load<f64>(c, 16);
      byEven += e * load<f64>(c, 24) + b * load<f64>(c, 32) + k * load<f64>(c, 40);
      byOdd += e * load<f64>(c, 48) + b * load<f64>(c, 56) + k * load<f64>(c, 64);
    }
    sum += load<f64>(v, 32) * byEdge + load<f64>(v, 48) * byEven + load<f64>(v, 56) * byOdd;
  }
  return sum;
}

/** What correlated blur adds at the corner of two lines (bytes from line 0) in the soft copy. */
function softCorner(u: usize, v: usize, lines: i32, tile: usize, du: f64, dv: f64): f64 {
  // Line n (from 1) lies (lines + 1) / 2 - n lines beside the crossing.
  const middle = 0.5 * <f64>(lines + 1);
  const hu = (du + middle - <f64>(u / lineBytes)) * load<f64>(tile, at.invSoftU);
  const hv = (dv + middle - <f64>(v / lineBytes)) * load<f64>(tile, at.invSoftV);
  if (abs(hu) > cornerReach || abs(hv) > cornerReach) return 0;
  return jointAt(tile + at.softJoint, hu, hv);
}

/** `softPrint` for a tile that sees only the two lines through its crossing. */
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
  const corner = load<f64>(c);
  let joint: f64 = 0;
  if (corner != 0) {
    const hu = du * load<f64>(tile, at.invSoftU);
    joint = corner * jointAt(tile + at.softJoint, hu, dv * load<f64>(tile, at.invSoftV));
  }
  return (
    joint +
    load<f64>(base) +
    fu * load<f64>(u) + bu * load<f64>(u, 8) + ku * load<f64>(u, 16) +
    fv * (load<f64>(v) + fu * corner + bu * load<f64>(c, 8) + ku * load<f64>(c, 16)) +
    bv * (load<f64>(v, 24) + fu * load<f64>(c, 24) + bu * load<f64>(c, 32) + ku * load<f64>(c, 40)) +
    kv * (load<f64>(v, 48) + fu * load<f64>(c, 48) + bu * load<f64>(c, 56) + ku * load<f64>(c, 64))
  );
}

/** Ratio of the odd bump's first moment to the square of the even bump's area, unit edge. */
const oddShare: f64 = 0.8660;

/**
 * Bumps of the lines as Gaussians of the right area (even) and first moment (odd): `height` is the
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

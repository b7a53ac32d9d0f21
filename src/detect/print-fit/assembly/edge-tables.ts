/** Edge profiles, corners and the lines of the present pixel, for the value functions. */
import * as at from "./layout";

const edgeRange = <f64>at.edgeRange;
const edgePerUnit = <f64>at.edgePerUnit;
const zLimit: f64 = 6.99;

/**
 * Per line: edge, slope, its derivative by the blur, distance in deviations, soft edge, soft slope,
 * what softening leaves of the edge's even and odd bump, its third derivative, what a disc adds;
 * line 0 is constant 1.
 */
export const lineBytes: usize = 80;
export const linesU: usize = at.work;
export const linesV: usize = linesU + lineBytes * (at.mostLines + 1);
/** Coefficients of x^0 .. x^5 of the present row: six for X, six for Y. */
export const rowCoefficients: usize = linesV + lineBytes * (at.mostLines + 1);

/** Whether the present pass asks for the shape of the blur. */
export let shaped: bool = false;
export function setShaped(yes: bool): void {
  shaped = yes;
}

export let edge: f64 = 0;
export let slope: f64 = 0;

/** Edge profile and slope at z standard deviations, by linear interpolation. */
// @ts-ignore: decorator
@inline
export function readEdge(z: f64): void {
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
export function clamp(z: f64): f64 {
  return max(-zLimit, min(zLimit, z));
}

/** What a disc adds to an edge of the same width at z standard deviations. */
// @ts-ignore: decorator
@inline
export function byDisc(z: f64): f64 {
  const f = (z + edgeRange) * edgePerUnit;
  const i = <i32>f;
  const entry = at.discTable + ((<usize>i) << 3);
  const d = load<f64>(entry);
  return d + (f - <f64>i) * (load<f64>(entry, 8) - d);
}

/** exp(-x) for x >= 0. */
// @ts-ignore: decorator
@inline
export function decay(x: f64): f64 {
  if (x >= <f64>at.expRange) return 0;
  const f = x * <f64>at.expPerUnit;
  const i = <i32>f;
  const entry = at.expTable + ((<usize>i) << 3);
  const e = load<f64>(entry);
  return e + (f - <f64>i) * (load<f64>(entry, 8) - e);
}

/** One node of `jointAt`. */
// @ts-ignore: decorator
@inline
function atNode(node: usize, squares: f64, product: f64): f64 {
  const exponent = (squares - product * load<f64>(node)) * load<f64>(node, 8);
  return load<f64>(node, 16) * decay(exponent);
}

/** F(h, k; r) - F(h) F(k) of the normal distribution, from the numbers at `joint`. */
// @ts-ignore: decorator
@inline
export function jointAt(joint: usize, h: f64, k: f64): f64 {
  const squares = h * h + k * k;
  const product = h * k;
  let sum = atNode(joint + 8, squares, product) + atNode(joint + 32, squares, product);
  if (load<f64>(joint) > 2)
    sum += atNode(joint + 56, squares, product) + atNode(joint + 80, squares, product);
  return sum;
}

/** Beyond this many deviations a corner's share of correlated blur is below 1e-4. */
export const cornerReach: f64 = 3.5;

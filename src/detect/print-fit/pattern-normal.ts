import * as at from "./assembly/layout.ts";
import { bendRates, mapRates } from "./pattern-bend.ts";
import type { PatternGeometry } from "./pattern-state.ts";
import { crossingsPerSide, gridCentre, tileCount } from "./print/pattern-cells.ts";
import { type PatternMemory, productIndex } from "./print/pattern-memory.ts";

/**
 * Unknowns of a board's fit: homography 8, blur 3, tone 2, sharpening 1, gain 6, offset 3, the shape
 * of the blur 3 (how far it is a disc, third moment of colours that do not meet, px^3, relative change
 * of its variance by that of 1/depth), and bend 3 where the lens is known.
 */
export const homographyUnknowns = 8;
export const blurAt = homographyUnknowns;
export const toneAt = blurAt + 3;
export const sharpeningAt = toneAt + 2;
export const gainAt = sharpeningAt + 1;
export const offsetAt = gainAt + 6;
export const discAt = offsetAt + 3;
export const colourAt = discAt + 1;
export const depthAt = colourAt + 1;
export const bendAt = depthAt + 1;
export const flatUnknowns = bendAt;
export const patternUnknowns = bendAt + 3;

export const [shiftU, shiftV] = [0, 1];
const [spreadU, spreadV, correlation] = [2, 3, 4];
const [tone1, tone2, sharpness, gain, offset] = [5, 6, 7, 8, 9];

/**
 * How the board's unknowns move one tile's local unknowns, as a sparse matrix: the links of unknown
 * k are `start[k] .. start[k + 1] - 1`, each with the local unknown it moves; by how much differs
 * from tile to tile (`linksPerTile` coefficients each).
 */
export interface TileChain {
  readonly start: Int32Array;
  readonly component: Int32Array;
}

/** A flat board's numbers of the map move one coordinate each, but for the last two. */
function makeChain(bent: boolean, shaped: boolean): TileChain {
  const targets: number[][] = [];
  const assign = (count: number, moved: number[]) => {
    for (let k = 0; k < count; k++) targets.push(moved);
  };
  assign(3, bent ? [shiftU, shiftV] : [shiftU]);
  assign(3, bent ? [shiftU, shiftV] : [shiftV]);
  assign(2, [shiftU, shiftV]);
  assign(3, [spreadU, spreadV, correlation]);
  for (const moved of [tone1, tone2, sharpness]) assign(1, [moved]);
  assign(6, [gain]);
  assign(3, [offset]);
  assign(1, shaped ? [at.discColumn] : []);
  assign(1, shaped ? [at.colourColumn] : []);
  assign(1, shaped ? [spreadU, spreadV] : []);
  if (bent) assign(3, [shiftU, shiftV]);
  const start = new Int32Array(targets.length + 1);
  targets.forEach((moved, k) => {
    start[k + 1] = start[k] + moved.length;
  });
  return { start, component: Int32Array.from(targets.flat()) };
}

const flatChains = { plain: makeChain(false, false), shaped: makeChain(false, true) };
const bentChains = { plain: makeChain(true, false), shaped: makeChain(true, true) };
const chainOf = ({ sight, withShape }: PatternGeometry): TileChain =>
  (sight ? bentChains : flatChains)[withShape ? "shaped" : "plain"];

/** Coefficients of one tile's links from the board's present geometry, order as in `chain`. */
function fillTileChain(
  geometry: PatternGeometry,
  tile: number,
  c: Float64Array,
  from: number,
): void {
  const i = tile % crossingsPerSide;
  const j = (tile - i) / crossingsPerSide;
  const { sight, bend, gridFromPlane: m } = geometry;
  if (sight) mapRates(bend, sight, m, geometry.planeFromGrid, i, j, c, from);
  else flatMapRates(m, geometry.planeX[tile], geometry.planeY[tile], c, from);
  const a = geometry.gridFromPixel;
  const ux = a[4 * tile];
  const uy = a[4 * tile + 1];
  const vx = a[4 * tile + 2];
  const vy = a[4 * tile + 3];
  const su = geometry.blurU[tile];
  const sv = geometry.blurV[tile];
  const r = geometry.correlation[tile];
  let o = from + chainOf(geometry).start[blurAt];
  for (let k = 0; k < 3; k++, o += 3) {
    const varU = k === 0 ? ux * ux : k === 1 ? 2 * ux * uy : uy * uy;
    const varV = k === 0 ? vx * vx : k === 1 ? 2 * vx * vy : vy * vy;
    const cov = k === 0 ? ux * vx : k === 1 ? ux * vy + uy * vx : uy * vy;
    c[o] = varU / (2 * su);
    c[o + 1] = varV / (2 * sv);
    c[o + 2] = cov / (su * sv) - r * (c[o] / su + c[o + 1] / sv);
  }
  c[o++] = 1;
  c[o++] = 1;
  c[o++] = 1;
  const p = (i - gridCentre) / gridCentre;
  const q = (j - gridCentre) / gridCentre;
  c[o++] = 1;
  c[o++] = p;
  c[o++] = q;
  c[o++] = p * p;
  c[o++] = p * q;
  c[o++] = q * q;
  c[o++] = 1;
  c[o++] = p;
  c[o++] = q;
  if (geometry.withShape) {
    c[o++] = 1;
    c[o++] = -1 / 6;
    const nearer = geometry.nearness[tile] * 0.5;
    c[o++] = nearer * (su - (ux * ux + uy * uy) / (12 * su));
    c[o++] = nearer * (sv - (vx * vx + vy * vy) / (12 * sv));
  }
  if (sight) bendRates(bend, sight, i, j, c, o);
}

function flatMapRates(m: Float64Array, X: number, Y: number, c: Float64Array, at: number): void {
  const w = 1 / (m[6] * X + m[7] * Y + 1);
  const u = (m[0] * X + m[1] * Y + m[2]) * w;
  const v = (m[3] * X + m[4] * Y + m[5]) * w;
  c[at] = X * w;
  c[at + 1] = Y * w;
  c[at + 2] = w;
  c[at + 3] = X * w;
  c[at + 4] = Y * w;
  c[at + 5] = w;
  c[at + 6] = -u * X * w;
  c[at + 7] = -v * X * w;
  c[at + 8] = -u * Y * w;
  c[at + 9] = -v * Y * w;
}

export interface NormalEquations {
  /** `patternUnknowns`, or `flatUnknowns` while the board is taken for flat. */
  unknowns: number;
  /** Lower triangle filled, `unknowns` square, row-major. */
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  /** Sum of squared residuals and number of pixels. */
  squares: number;
  pixels: number;
}

export const newNormalEquations = (): NormalEquations => ({
  unknowns: patternUnknowns,
  matrix: new Float64Array(patternUnknowns * patternUnknowns),
  right: new Float64Array(patternUnknowns),
  squares: 0,
  pixels: 0,
});

export function copyNormal(from: NormalEquations, to: NormalEquations): void {
  to.unknowns = from.unknowns;
  to.matrix.set(from.matrix);
  to.right.set(from.right);
  to.squares = from.squares;
  to.pixels = from.pixels;
}

/** Adds up all tiles with a weight above 0, from the sums in `memory`. */
export function assemble(
  geometry: PatternGeometry,
  weight: Float64Array,
  memory: PatternMemory,
  out: NormalEquations,
): void {
  const { numbers, products, count, active } = memory;
  out.squares = 0;
  out.pixels = 0;
  for (let tile = 0; tile < tileCount; tile++) {
    active[tile] = weight[tile] > 0 ? 1 : 0;
    if (weight[tile] === 0 || count[tile] === 0) continue;
    fillTileChain(geometry, tile, numbers, at.coefficients / 8 + tile * at.linksPerTile);
    out.squares +=
      products[tile * at.productCount + productIndex(at.residualColumn, at.residualColumn)];
    out.pixels += count[tile];
  }
  const chain = chainOf(geometry);
  describeChain(chain, numbers.buffer);
  const n = chain.start.length - 1;
  memory.code.assemble(n);
  out.unknowns = n;
  out.right.fill(0);
  out.matrix.set(numbers.subarray(at.matrix / 8, at.matrix / 8 + n * n));
  out.right.set(numbers.subarray(at.right / 8, at.right / 8 + n));
}

function describeChain({ start, component }: TileChain, buffer: ArrayBufferLike): void {
  new Int32Array(buffer, at.starts, start.length).set(start);
  new Int32Array(buffer, at.components, component.length).set(component);
  const movers = new Int32Array(buffer, at.movers, component.length);
  for (let k = 0; k + 1 < start.length; k++) movers.fill(k, start[k], start[k + 1]);
}

const links = new Float64Array(at.linksPerTile);

/** Change of a tile's local unknowns by a step of the board's, to `local`. */
export function moveTile(
  geometry: PatternGeometry,
  tile: number,
  delta: Float64Array,
  local: Float64Array,
): void {
  const { start, component } = chainOf(geometry);
  fillTileChain(geometry, tile, links, 0);
  local.fill(0);
  for (let k = 0; k + 1 < start.length; k++)
    for (let t = start[k]; t < start[k + 1]; t++) local[component[t]] += links[t] * delta[k];
}

/** Largest movement of a corner of the board that a step makes, px (to first order). */
export function largestShift(geometry: PatternGeometry, delta: Float64Array): number {
  let largest = 0;
  const local = new Float64Array(at.columns);
  for (const tile of [0, crossingsPerSide - 1, tileCount - crossingsPerSide, tileCount - 1]) {
    moveTile(geometry, tile, delta, local);
    largest = Math.max(
      largest,
      Math.abs(local[shiftU]) * geometry.cellPxU[tile],
      Math.abs(local[shiftV]) * geometry.cellPxV[tile],
    );
  }
  return largest;
}

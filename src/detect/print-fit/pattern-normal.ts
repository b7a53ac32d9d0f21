import { bendRates, mapRates } from "./pattern-bend.ts";
import { crossingsPerSide, gridCentre, tileCount } from "./pattern-cells.ts";
import {
  linksPerTile,
  type PatternMemory,
  place,
  productCount,
  productIndex,
} from "./pattern-memory.ts";
import { localUnknowns, residualColumn } from "./pattern-pass.ts";
import type { PatternGeometry } from "./pattern-state.ts";

/**
 * Unknowns of a board's fit: homography 8, blur 3, tone 2, sharpening 1, gain 6, offset 3, and bend 3
 * where the lens is known.
 */
export const homographyUnknowns = 8;
export const blurAt = homographyUnknowns;
export const toneAt = blurAt + 3;
export const sharpeningAt = toneAt + 2;
export const gainAt = sharpeningAt + 1;
export const offsetAt = gainAt + 6;
export const bendAt = offsetAt + 3;
export const flatUnknowns = bendAt;
export const patternUnknowns = bendAt + 3;

const [shiftU, shiftV, spreadU, spreadV, correlation] = [0, 1, 2, 3, 4];
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
function makeChain(bent: boolean): TileChain {
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
  if (bent) assign(3, [shiftU, shiftV]);
  const start = new Int32Array(targets.length + 1);
  targets.forEach((moved, k) => {
    start[k + 1] = start[k] + moved.length;
  });
  return { start, component: Int32Array.from(targets.flat()) };
}

const flatChain = makeChain(false);
const bentChain = makeChain(true);
const chainOf = ({ sight }: PatternGeometry): TileChain => (sight ? bentChain : flatChain);

/** Coefficients of one tile's links from the board's present geometry, order as in `chain`. */
function fillTileChain(geometry: PatternGeometry, tile: number, c: Float64Array, at: number): void {
  const i = tile % crossingsPerSide;
  const j = (tile - i) / crossingsPerSide;
  const { sight, bend, gridFromPlane: m } = geometry;
  if (sight) mapRates(bend, sight, m, geometry.planeFromGrid, i, j, c, at);
  else flatMapRates(m, geometry.planeX[tile], geometry.planeY[tile], c, at);
  const a = geometry.gridFromPixel;
  const ux = a[4 * tile];
  const uy = a[4 * tile + 1];
  const vx = a[4 * tile + 2];
  const vy = a[4 * tile + 3];
  const su = geometry.blurU[tile];
  const sv = geometry.blurV[tile];
  const r = geometry.correlation[tile];
  let o = at + chainOf(geometry).start[blurAt];
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
    fillTileChain(geometry, tile, numbers, place.coefficients / 8 + tile * linksPerTile);
    out.squares += products[tile * productCount + productIndex(residualColumn, residualColumn)];
    out.pixels += count[tile];
  }
  const chain = chainOf(geometry);
  describeChain(chain, numbers.buffer);
  const n = chain.start.length - 1;
  memory.code.assemble(n);
  out.unknowns = n;
  out.right.fill(0);
  out.matrix.set(numbers.subarray(place.matrix / 8, place.matrix / 8 + n * n));
  out.right.set(numbers.subarray(place.right / 8, place.right / 8 + n));
}

function describeChain({ start, component }: TileChain, buffer: ArrayBufferLike): void {
  new Int32Array(buffer, place.starts, start.length).set(start);
  new Int32Array(buffer, place.components, component.length).set(component);
  const movers = new Int32Array(buffer, place.movers, component.length);
  for (let k = 0; k + 1 < start.length; k++) movers.fill(k, start[k], start[k + 1]);
}

const links = new Float64Array(linksPerTile);

/** Change of a tile's local unknowns by a step of the board's, to `local`. */
function moveTile(
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
  const local = new Float64Array(localUnknowns);
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

const pair = (i: number, j: number): number => (i >= j ? productIndex(i, j) : productIndex(j, i));

/** How far the tiles still disagree with the fit, as displacements. */
export interface TileDisagreement {
  /** Sum over tiles of score^T information^-1 score: expected noise variance times `dof`. */
  readonly chiSquare: number;
  readonly dof: number;
  /** Root mean square of the tiles' displacements, weighted with their information, px. */
  readonly rmsPx: number;
}

/**
 * Tests the fit tile by tile after the step `delta`: the remaining residuals are projected on a
 * shift of the tile. Correlated noise, sharpening, tone or bending make these shifts larger than
 * the pixel noise alone explains; the ratio is what the covariance has to be enlarged by.
 */
export function tileDisagreement(
  geometry: PatternGeometry,
  memory: PatternMemory,
  weight: Float64Array,
  delta: Float64Array,
): TileDisagreement {
  const { products, count } = memory;
  const local = new Float64Array(localUnknowns);
  let [chiSquare, dof, information] = [0, 0, 0];
  for (let tile = 0; tile < tileCount; tile++) {
    if (weight[tile] === 0 || count[tile] < 4) continue;
    moveTile(geometry, tile, delta, local);
    const o = tile * productCount;
    let [gu, gv] = [
      products[o + pair(residualColumn, shiftU)],
      products[o + pair(residualColumn, shiftV)],
    ];
    for (let b = 0; b < localUnknowns; b++) {
      gu -= products[o + pair(shiftU, b)] * local[b];
      gv -= products[o + pair(shiftV, b)] * local[b];
    }
    const nuu = products[o + pair(shiftU, shiftU)];
    const nvv = products[o + pair(shiftV, shiftV)];
    const nuv = products[o + pair(shiftU, shiftV)];
    information += nuu / geometry.cellPxU[tile] ** 2 + nvv / geometry.cellPxV[tile] ** 2;
    const det = nuu * nvv - nuv * nuv;
    if (det > 0.02 * (nuu + nvv) ** 2) {
      chiSquare += (nvv * gu * gu - 2 * nuv * gu * gv + nuu * gv * gv) / det;
      dof += 2;
    } else if (nuu + nvv > 0) {
      chiSquare += nuu > nvv ? (gu * gu) / nuu : (gv * gv) / nvv;
      dof += 1;
    }
  }
  return { chiSquare, dof, rmsPx: Math.sqrt(chiSquare / Math.max(1e-12, information)) };
}

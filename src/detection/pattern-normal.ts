import { crossingsPerSide, gridCentre, tileCount } from "./pattern-cells.ts";
import {
  localUnknowns,
  productCount,
  productIndex,
  residualColumn,
  type TileSums,
} from "./pattern-pass.ts";
import type { PatternGeometry } from "./pattern-state.ts";

/** Unknowns of a board's fit after the geometry: blur 3, tone 2, sharpening 1, gain 6, offset 3. */
export const otherUnknowns = 15;
export const geometryUnknowns = 8;
export const patternUnknowns = geometryUnknowns + otherUnknowns;
export const blurAt = geometryUnknowns;
export const toneAt = blurAt + 3;
export const sharpeningAt = toneAt + 2;
export const gainAt = sharpeningAt + 1;
export const offsetAt = gainAt + 6;

const [shiftU, shiftV, spreadU, spreadV, correlation] = [0, 1, 2, 3, 4];
const [tone1, tone2, sharpness, gain, offset] = [5, 6, 7, 8, 9];
const columns = localUnknowns + 1;

/** An unknown of the board moves at most this many local unknowns of a tile. */
const links = 3;

/**
 * How the board's unknowns move one tile's local unknowns: `links` coefficients per unknown, and
 * which local unknowns they belong to.
 */
export interface TileChain {
  readonly coefficient: Float64Array;
  readonly component: Int32Array;
}

export const newTileChain = (): TileChain => {
  const component = new Int32Array(links * patternUnknowns);
  const assign = (from: number, to: number, targets: readonly number[]) => {
    for (let k = from; k < to; k++) component.set(targets, links * k);
  };
  assign(0, geometryUnknowns, [shiftU, shiftV, shiftV]);
  assign(blurAt, toneAt, [spreadU, spreadV, correlation]);
  assign(toneAt, toneAt + 1, [tone1, tone1, tone1]);
  assign(toneAt + 1, sharpeningAt, [tone2, tone2, tone2]);
  assign(sharpeningAt, gainAt, [sharpness, sharpness, sharpness]);
  assign(gainAt, offsetAt, [gain, gain, gain]);
  assign(offsetAt, patternUnknowns, [offset, offset, offset]);
  return { coefficient: new Float64Array(links * patternUnknowns), component };
};

/** Fills the chain of one tile from the board's present geometry. */
export function fillTileChain(geometry: PatternGeometry, tile: number, chain: TileChain): void {
  const c = chain.coefficient;
  const i = tile % crossingsPerSide;
  const j = (tile - i) / crossingsPerSide;
  const X = geometry.planeX[tile];
  const Y = geometry.planeY[tile];
  const m = geometry.gridFromPlane;
  const w = 1 / (m[6] * X + m[7] * Y + 1);
  const u = (m[0] * X + m[1] * Y + m[2]) * w;
  const v = (m[3] * X + m[4] * Y + m[5]) * w;
  c.fill(0);
  const setShift = (k: number, alongU: number, alongV: number) => {
    c[links * k] = alongU;
    c[links * k + 1] = alongV;
  };
  setShift(0, X * w, 0);
  setShift(1, Y * w, 0);
  setShift(2, w, 0);
  setShift(3, 0, X * w);
  setShift(4, 0, Y * w);
  setShift(5, 0, w);
  setShift(6, -u * X * w, -v * X * w);
  setShift(7, -u * Y * w, -v * Y * w);
  const a = geometry.gridFromPixel;
  const [ux, uy, vx, vy] = [a[4 * tile], a[4 * tile + 1], a[4 * tile + 2], a[4 * tile + 3]];
  const su = geometry.blurU[tile];
  const sv = geometry.blurV[tile];
  const r = geometry.correlation[tile];
  const setBlur = (k: number, varU: number, varV: number, cov: number) => {
    const [du, dv] = [varU / (2 * su), varV / (2 * sv)];
    c[links * k] = du;
    c[links * k + 1] = dv;
    c[links * k + 2] = cov / (su * sv) - r * (du / su + dv / sv);
  };
  setBlur(blurAt, ux * ux, vx * vx, ux * vx);
  setBlur(blurAt + 1, 2 * ux * uy, 2 * vx * vy, ux * vy + uy * vx);
  setBlur(blurAt + 2, uy * uy, vy * vy, uy * vy);
  for (let k = toneAt; k < gainAt; k++) c[links * k] = 1;
  const p = (i - gridCentre) / gridCentre;
  const q = (j - gridCentre) / gridCentre;
  const g = links * gainAt;
  c[g] = 1;
  c[g + links] = p;
  c[g + 2 * links] = q;
  c[g + 3 * links] = p * p;
  c[g + 4 * links] = p * q;
  c[g + 5 * links] = q * q;
  const o = links * offsetAt;
  c[o] = 1;
  c[o + links] = p;
  c[o + 2 * links] = q;
}

export interface NormalEquations {
  /** Lower triangle filled, patternUnknowns square, row-major. */
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  /** Sum of squared residuals and number of pixels. */
  squares: number;
  pixels: number;
}

export const newNormalEquations = (): NormalEquations => ({
  matrix: new Float64Array(patternUnknowns * patternUnknowns),
  right: new Float64Array(patternUnknowns),
  squares: 0,
  pixels: 0,
});

/** Adds up all tiles with their weights (0 or 1). */
export function assemble(
  geometry: PatternGeometry,
  sums: TileSums,
  weight: Float64Array,
  chain: TileChain,
  out: NormalEquations,
): void {
  const { matrix, right } = out;
  const { coefficient: c, component } = chain;
  const { products, count } = sums;
  const n = patternUnknowns;
  const row = new Float64Array(columns);
  matrix.fill(0);
  right.fill(0);
  out.squares = 0;
  out.pixels = 0;
  for (let tile = 0; tile < tileCount; tile++) {
    if (weight[tile] === 0 || count[tile] === 0) continue;
    const o = tile * productCount;
    fillTileChain(geometry, tile, chain);
    out.squares += products[o + productIndex(residualColumn, residualColumn)];
    out.pixels += count[tile];
    for (let k = 0; k < n; k++) {
      const depth = linksOf(k);
      row.fill(0);
      for (let t = links * k; t < links * k + depth; t++)
        for (let b = 0; b < columns; b++) row[b] += c[t] * products[o + pair(component[t], b)];
      right[k] += row[residualColumn];
      for (let l = 0; l <= k; l++) {
        let sum = c[links * l] * row[component[links * l]];
        for (let t = 1; t < linksOf(l); t++)
          sum += c[links * l + t] * row[component[links * l + t]];
        matrix[k * n + l] += sum;
      }
    }
  }
}

/** Links in use: geometry shifts along two axes, blur has three parts, the rest one. */
const linksOf = (k: number): number => (k < geometryUnknowns ? 2 : k < toneAt ? 3 : 1);

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
  sums: TileSums,
  weight: Float64Array,
  chain: TileChain,
  delta: Float64Array,
): TileDisagreement {
  const { products, count } = sums;
  const local = new Float64Array(localUnknowns);
  let [chiSquare, dof, information] = [0, 0, 0];
  for (let tile = 0; tile < tileCount; tile++) {
    if (weight[tile] === 0 || count[tile] < 4) continue;
    fillTileChain(geometry, tile, chain);
    local.fill(0);
    for (let k = 0; k < patternUnknowns; k++)
      for (let t = links * k; t < links * k + linksOf(k); t++)
        local[chain.component[t]] += chain.coefficient[t] * delta[k];
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

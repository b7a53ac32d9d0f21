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

/**
 * How the board's unknowns move one tile's local unknowns, as a sparse matrix: the links of unknown
 * k are `start[k] .. start[k + 1] - 1`, each with the local unknown it moves and by how much.
 */
export interface TileChain {
  readonly start: Int32Array;
  readonly component: Int32Array;
  readonly coefficient: Float64Array;
}

export const newTileChain = (): TileChain => {
  const targets: number[][] = [];
  const assign = (count: number, moved: number[]) => {
    for (let k = 0; k < count; k++) targets.push(moved);
  };
  assign(3, [shiftU]);
  assign(3, [shiftV]);
  assign(2, [shiftU, shiftV]);
  assign(3, [spreadU, spreadV, correlation]);
  for (const moved of [tone1, tone2, sharpness]) assign(1, [moved]);
  assign(6, [gain]);
  assign(3, [offset]);
  const start = new Int32Array(patternUnknowns + 1);
  targets.forEach((moved, k) => {
    start[k + 1] = start[k] + moved.length;
  });
  const component = Int32Array.from(targets.flat());
  return { start, component, coefficient: new Float64Array(component.length) };
};

/** Fills the chain of one tile from the board's present geometry; order as in `newTileChain`. */
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
  c[0] = X * w;
  c[1] = Y * w;
  c[2] = w;
  c[3] = X * w;
  c[4] = Y * w;
  c[5] = w;
  c[6] = -u * X * w;
  c[7] = -v * X * w;
  c[8] = -u * Y * w;
  c[9] = -v * Y * w;
  const a = geometry.gridFromPixel;
  const ux = a[4 * tile];
  const uy = a[4 * tile + 1];
  const vx = a[4 * tile + 2];
  const vy = a[4 * tile + 3];
  const su = geometry.blurU[tile];
  const sv = geometry.blurV[tile];
  const r = geometry.correlation[tile];
  let o = chain.start[blurAt];
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
  c[o] = q;
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
  const { coefficient: c, component, start } = chain;
  const { products, count } = sums;
  const n = patternUnknowns;
  const full = new Float64Array(columns * columns);
  const row = new Float64Array(columns);
  matrix.fill(0);
  right.fill(0);
  out.squares = 0;
  out.pixels = 0;
  for (let tile = 0; tile < tileCount; tile++) {
    if (weight[tile] === 0 || count[tile] === 0) continue;
    fillTileChain(geometry, tile, chain);
    let o = tile * productCount;
    for (let a = 0; a < columns; a++)
      for (let b = 0; b <= a; b++, o++) {
        full[a * columns + b] = products[o];
        full[b * columns + a] = products[o];
      }
    out.squares += products[o - 1];
    out.pixels += count[tile];
    for (let k = 0; k < n; k++) {
      row.fill(0);
      for (let t = start[k]; t < start[k + 1]; t++) {
        const f = c[t];
        const from = component[t] * columns;
        for (let b = 0; b < columns; b++) row[b] += f * full[from + b];
      }
      right[k] += row[residualColumn];
      const line = k * n;
      for (let l = 0, t = 0; l <= k; l++) {
        let sum = 0;
        for (const end = start[l + 1]; t < end; t++) sum += c[t] * row[component[t]];
        matrix[line + l] += sum;
      }
    }
  }
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
      for (let t = chain.start[k]; t < chain.start[k + 1]; t++)
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

import * as at from "./assembly/layout.ts";
import { moveTile, shiftU, shiftV } from "./pattern-normal.ts";
import type { PatternGeometry } from "./pattern-state.ts";
import { crossingsPerSide, tileCount } from "./print/pattern-cells.ts";
import { type PatternMemory, productIndex } from "./print/pattern-memory.ts";

/**
 * How well the parts of a board agree with its fit: after the last step the residuals of every part
 * are projected on a shift of that part. White noise alone makes these shifts as large at every size
 * of the parts as the fit's normal equations say. Noise that hangs together (JPEG, noise reduction)
 * or a model that is not quite right (haloes, local tone, bending) makes them larger or, where
 * neighbours err to opposite sides, smaller in larger parts, and it is the larger parts that the map
 * of a board averages over.
 */
export interface TileAgreement {
  /** Variance of the grey values that explains the displacements of single tiles. */
  readonly variance: number;
  /** The same for the board's map: from tiles and blocks of tiles, as far as each is sure. */
  readonly mapVariance: number;
  /** Root mean square of the tiles' displacements, weighted with their information, px. */
  readonly rmsPx: number;
}

/** Tiles along the side of a block; five blocks make a board's side. */
const blockSide = 3;
const blocksPerSide = Math.ceil(crossingsPerSide / blockSide);
/** Degrees of freedom that a fit takes from the tiles' shifts, and from the blocks'. */
const fitted = 12;
/** How far tiles and blocks may differ where nothing is known: deviation of the logarithm. */
const spread = 0.5;

const pair = (i: number, j: number): number => (i >= j ? productIndex(i, j) : productIndex(j, i));

/** Score and information of a shift along u and v: u, v; uu, uv, vv. */
type Shift = [number, number, number, number, number];

/** Mean square of independent displacements, and their number. */
class Squares {
  sum = 0;
  count = 0;

  add([gu, gv, nuu, nuv, nvv]: Shift): void {
    const det = nuu * nvv - nuv * nuv;
    if (det > 0.02 * (nuu + nvv) ** 2) {
      this.sum += (nvv * gu * gu - 2 * nuv * gu * gv + nuu * gv * gv) / det;
      this.count += 2;
    } else if (nuu + nvv > 0) {
      this.sum += nuu > nvv ? (gu * gu) / nuu : (gv * gv) / nvv;
      this.count += 1;
    }
  }

  get free(): number {
    return Math.max(1, this.count - fitted);
  }

  get variance(): number {
    return this.sum / this.free;
  }
}

/** Tests the fit after the step `delta`, from the sums of the last pass. */
export function tileAgreement(
  geometry: PatternGeometry,
  memory: PatternMemory,
  delta: Float64Array,
): TileAgreement {
  const single = new Squares();
  const blocks = Array.from({ length: blocksPerSide ** 2 }, (): Shift => [0, 0, 0, 0, 0]);
  let information = 0;
  for (let tile = 0; tile < tileCount; tile++) {
    if (geometry.weight[tile] === 0 || memory.count[tile] < 4) continue;
    const shift = shiftOf(geometry, memory, tile, delta);
    single.add(shift);
    const block = blocks[blockOf(tile)];
    for (let k = 0; k < 5; k++) block[k] += shift[k];
    information += shift[2] / geometry.cellPxU[tile] ** 2 + shift[4] / geometry.cellPxV[tile] ** 2;
  }
  const coarse = new Squares();
  for (const block of blocks) coarse.add(block);
  const rmsPx = Math.sqrt(single.sum / Math.max(1e-12, information));
  const { variance } = single;
  const sure = coarse.count > 2 * fitted ? spread ** 2 / (spread ** 2 + 2 / coarse.free) : 0;
  const mapVariance = variance * (coarse.variance / Math.max(1e-12, variance)) ** sure;
  return { variance, mapVariance, rmsPx };
}

function blockOf(tile: number): number {
  const column = tile % crossingsPerSide;
  const row = (tile - column) / crossingsPerSide;
  return blocksPerSide * Math.floor(row / blockSide) + Math.floor(column / blockSide);
}

/** What is left of a tile's residuals after the step, as a shift. */
function shiftOf(
  geometry: PatternGeometry,
  { products }: PatternMemory,
  tile: number,
  delta: Float64Array,
): Shift {
  moveTile(geometry, tile, delta, local);
  const o = tile * at.productCount;
  let gu = products[o + pair(at.residualColumn, shiftU)];
  let gv = products[o + pair(at.residualColumn, shiftV)];
  for (let b = 0; b < at.columns; b++) {
    gu -= products[o + pair(shiftU, b)] * local[b];
    gv -= products[o + pair(shiftV, b)] * local[b];
  }
  const info = (a: number, b: number) => products[o + pair(a, b)];
  return [gu, gv, info(shiftU, shiftU), info(shiftU, shiftV), info(shiftV, shiftV)];
}

const local = new Float64Array(at.columns);

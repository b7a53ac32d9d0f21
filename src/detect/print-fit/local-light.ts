import * as at from "./assembly/layout.ts";
import { tileCount } from "./pattern-cells.ts";
import { type PatternMemory, productIndex, type TileSums } from "./pattern-memory.ts";
import { moveTile } from "./pattern-normal.ts";
import type { PatternGeometry } from "./pattern-state.ts";

/**
 * Light that differs from tile to tile: local tone mapping, wide haloes and shadows change gain and
 * offset over a board in a way that no few numbers follow. Each tile then has a gain and an offset of
 * its own with mean zero (random effects), eliminated with the tile; how large they are is what makes
 * the residuals most probable (marginal likelihood; Searle, Casella and McCulloch, Variance
 * Components, 1992, chapter 6).
 */
export interface LocalLight {
  /** Variances of a tile's gain and offset as multiples of the grey values' variance. */
  readonly gain: number;
  readonly offset: number;
}

/** Columns of the local unknowns, see assembly/layout.ts. */
const gainColumn = 8;
const offsetColumn = 9;
/** Tried standard deviations, shares of the contrast of the light. */
const tried = [0, 0.002, 0.004, 0.008, 0.016, 0.032] as const;
/** By how much the logarithm of the likelihood must grow: once in thousands of boards by chance. */
const leastEvidence = 8;

const pair = (i: number, j: number): number => (i >= j ? productIndex(i, j) : productIndex(j, i));

/** A tile's score and information for its own gain and offset. */
interface TileLight {
  readonly g: number;
  readonly o: number;
  readonly gg: number;
  readonly go: number;
  readonly oo: number;
}

/** (A + D^-1)^-1 for the variances D = (gain, offset), zero where a variance is. */
function eliminator({ gg, go, oo }: TileLight, { gain, offset }: LocalLight) {
  // D^(1/2) (I + D^(1/2) A D^(1/2))^-1 D^(1/2), which needs no inverse of D.
  const [a, b] = [Math.sqrt(gain), Math.sqrt(offset)];
  const [xx, xy, yy] = [1 + a * a * gg, a * b * go, 1 + b * b * oo];
  const det = xx * yy - xy * xy;
  return { det, gg: (a * a * yy) / det, go: (-a * b * xy) / det, oo: (b * b * xx) / det };
}

/**
 * How much light differs from tile to tile, from the sums of a pass that had none of it, after the
 * step `delta`; null where the residuals do not ask for it. `squares` is what is left of the residuals'
 * squares after the step, `contrast` that of the light.
 */
export function localLight(
  geometry: PatternGeometry,
  memory: PatternMemory,
  delta: Float64Array,
  { squares, pixels, contrast }: { squares: number; pixels: number; contrast: number },
): LocalLight | null {
  const tiles = tileLights(geometry, memory, delta);
  const variance = squares / pixels;
  let best: LocalLight | null = null;
  let most = leastEvidence;
  for (const gainSd of tried)
    for (const offsetSd of tried) {
      const light = {
        gain: (gainSd * contrast) ** 2 / variance,
        offset: (offsetSd * contrast) ** 2 / variance,
      };
      const evidence = evidenceOf(tiles, light, squares, pixels);
      if (evidence <= most) continue;
      most = evidence;
      best = light;
    }
  return best;
}

/** Logarithm of the likelihood against that of no local light, with the noise at its best. */
function evidenceOf(
  tiles: readonly TileLight[],
  light: LocalLight,
  squares: number,
  pixels: number,
): number {
  let [explained, determinants] = [0, 0];
  for (const tile of tiles) {
    const k = eliminator(tile, light);
    explained += k.gg * tile.g * tile.g + 2 * k.go * tile.g * tile.o + k.oo * tile.o * tile.o;
    determinants += Math.log(k.det);
  }
  return -0.5 * pixels * Math.log(1 - explained / squares) - 0.5 * determinants;
}

function tileLights(
  geometry: PatternGeometry,
  { products, count }: TileSums,
  delta: Float64Array,
): TileLight[] {
  const local = new Float64Array(at.columns);
  const tiles: TileLight[] = [];
  for (let tile = 0; tile < tileCount; tile++) {
    if (geometry.weight[tile] === 0 || count[tile] === 0) continue;
    moveTile(geometry, tile, delta, local);
    const from = tile * at.productCount;
    const score = (column: number): number => {
      let sum = products[from + pair(at.residualColumn, column)];
      for (let b = 0; b < at.columns; b++) sum -= products[from + pair(column, b)] * local[b];
      return sum;
    };
    tiles.push({
      g: score(gainColumn),
      o: score(offsetColumn),
      gg: products[from + pair(gainColumn, gainColumn)],
      go: products[from + pair(gainColumn, offsetColumn)],
      oo: products[from + pair(offsetColumn, offsetColumn)],
    });
  }
  return tiles;
}

/**
 * Eliminates the tiles' own light from the sums of a pass. What comes back are the degrees of freedom
 * that this takes from the tiles with a weight.
 */
export function eliminateLight(
  { products, count }: TileSums,
  weight: Float64Array,
  light: LocalLight,
): number {
  let taken = 0;
  const byGain = new Float64Array(at.columns);
  const byOffset = new Float64Array(at.columns);
  for (let tile = 0; tile < tileCount; tile++) {
    if (count[tile] === 0) continue;
    const from = tile * at.productCount;
    for (let a = 0; a < at.columns; a++) {
      byGain[a] = products[from + pair(a, gainColumn)];
      byOffset[a] = products[from + pair(a, offsetColumn)];
    }
    const [gg, go, oo] = [byGain[gainColumn], byGain[offsetColumn], byOffset[offsetColumn]];
    const k = eliminator({ g: 0, o: 0, gg, go, oo }, light);
    if (weight[tile] > 0) taken += k.gg * gg + 2 * k.go * go + k.oo * oo;
    for (let a = 0; a < at.columns; a++) {
      const u = k.gg * byGain[a] + k.go * byOffset[a];
      const v = k.go * byGain[a] + k.oo * byOffset[a];
      for (let b = 0; b <= a; b++)
        products[from + productIndex(a, b)] -= u * byGain[b] + v * byOffset[b];
    }
  }
  return taken;
}

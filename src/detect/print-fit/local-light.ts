import * as at from "./assembly/layout.ts";
import { moveTile } from "./pattern-normal.ts";
import type { LocalLight, PatternGeometry } from "./pattern-state.ts";
import { tileCount } from "./print/pattern-cells.ts";
import { productIndex, type TileSums } from "./print/pattern-memory.ts";

/**
 * Light and tone that differ from tile to tile: local tone mapping, wide haloes, shadows and a tone
 * curve that light and dark parts of a board use differently are followed by no few numbers. Each tile
 * then has a gain, an offset and a bend of the tone curve of its own with mean zero (random effects),
 * eliminated with the tile; how large they are is what makes the residuals most probable (marginal
 * likelihood; Searle, Casella and McCulloch, Variance Components, 1992, chapter 6).
 */

/** Columns of the local unknowns that are a tile's own, see assembly/layout.ts. */
const own = [8, 9, 5] as const;
/** Tried standard deviations of gain and offset, shares of the contrast of the light. */
const triedLight = [0, 0.002, 0.004, 0.008, 0.016, 0.032] as const;
/** The same of the tone curve's bend. */
const triedTone = [0, 0.01, 0.02, 0.04, 0.08] as const;
/** By how much the logarithm of the likelihood must grow: once in thousands of boards by chance. */
const leastEvidence = 8;

const pair = (i: number, j: number): number => (i >= j ? productIndex(i, j) : productIndex(j, i));

/** Symmetric 3 x 3: 00, 10, 11, 20, 21, 22. */
type Symmetric = Float64Array;

/** A tile's score and information for what is its own. */
interface TileLight {
  readonly score: readonly [number, number, number];
  readonly information: Symmetric;
}

/** (A + D^-1)^-1 for the variances D, zero where a variance is, to `out`; det(I + D^(1/2) A D^(1/2)). */
function eliminator(a: Symmetric, { gain, offset, tone }: LocalLight, out: Symmetric): number {
  // D^(1/2) (I + D^(1/2) A D^(1/2))^-1 D^(1/2), which needs no inverse of D.
  const [x, y, z] = [Math.sqrt(gain), Math.sqrt(offset), Math.sqrt(tone)];
  const m00 = 1 + x * x * a[0];
  const m10 = x * y * a[1];
  const m11 = 1 + y * y * a[2];
  const m20 = x * z * a[3];
  const m21 = y * z * a[4];
  const m22 = 1 + z * z * a[5];
  const c00 = m11 * m22 - m21 * m21;
  const c10 = m20 * m21 - m10 * m22;
  const c20 = m10 * m21 - m11 * m20;
  const det = m00 * c00 + m10 * c10 + m20 * c20;
  out[0] = (x * x * c00) / det;
  out[1] = (x * y * c10) / det;
  out[2] = (y * y * (m00 * m22 - m20 * m20)) / det;
  out[3] = (x * z * c20) / det;
  out[4] = (y * z * (m10 * m20 - m00 * m21)) / det;
  out[5] = (z * z * (m00 * m11 - m10 * m10)) / det;
  return det;
}

/** What a pass without light of the tiles' own left. */
export interface LeftByPass {
  /** Sum of squares after the step, and number of grey values less the unknowns. */
  readonly squares: number;
  readonly free: number;
  /** Contrast of the light. */
  readonly contrast: number;
}

/**
 * How much light and tone differ from tile to tile, from the sums of a pass that had none of it, after
 * the step `delta`; null where the residuals do not ask for it.
 */
export function localLight(
  geometry: PatternGeometry,
  sums: TileSums,
  delta: Float64Array,
  { squares, free, contrast }: LeftByPass,
): LocalLight | null {
  const tiles = tileLights(geometry, sums, delta);
  const variance = squares / free;
  const none = { gain: 0, offset: 0, tone: 0 };
  const spreadOf = (sd: number, unit: number) => (sd * unit) ** 2 / variance;
  let best: LocalLight = none;
  let most = 0;
  const consider = (light: LocalLight): void => {
    const evidence = evidenceOf(tiles, light, squares, free);
    if (evidence <= most) return;
    most = evidence;
    best = light;
  };
  for (const gain of triedLight)
    for (const offset of triedLight)
      consider({ ...none, gain: spreadOf(gain, contrast), offset: spreadOf(offset, contrast) });
  const { gain, offset } = best;
  for (const tone of triedTone) consider({ gain, offset, tone: spreadOf(tone, 1) });
  return most > leastEvidence ? best : null;
}

/** Logarithm of the likelihood against that of no light of the tiles' own, the noise at its best. */
function evidenceOf(
  tiles: readonly TileLight[],
  light: LocalLight,
  squares: number,
  free: number,
): number {
  let [explained, determinants] = [0, 0];
  const k = new Float64Array(6);
  for (const { score: s, information } of tiles) {
    determinants += Math.log(eliminator(information, light, k));
    explained +=
      k[0] * s[0] * s[0] +
      k[2] * s[1] * s[1] +
      k[5] * s[2] * s[2] +
      2 * (k[1] * s[0] * s[1] + k[3] * s[0] * s[2] + k[4] * s[1] * s[2]);
  }
  return -0.5 * free * Math.log(1 - explained / squares) - 0.5 * determinants;
}

const informationOf = (products: Float64Array, from: number, out: Symmetric): void => {
  let k = 0;
  for (let i = 0; i < own.length; i++)
    for (let j = 0; j <= i; j++) out[k++] = products[from + pair(own[i], own[j])];
};

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
    const information = new Float64Array(6);
    informationOf(products, from, information);
    tiles.push({ score: [score(own[0]), score(own[1]), score(own[2])], information });
  }
  return tiles;
}

/**
 * Eliminates what is the tiles' own from the sums of a pass. What comes back are the degrees of freedom
 * that this takes from the tiles with a weight.
 */
export function eliminateLight(
  { products, count }: TileSums,
  weight: Float64Array,
  light: LocalLight,
): number {
  let taken = 0;
  const a = new Float64Array(6);
  const k = new Float64Array(6);
  const [x, y, z] = own.map(() => new Float64Array(at.columns));
  for (let tile = 0; tile < tileCount; tile++) {
    if (count[tile] === 0) continue;
    const from = tile * at.productCount;
    for (let c = 0; c < at.columns; c++) {
      x[c] = products[from + pair(c, own[0])];
      y[c] = products[from + pair(c, own[1])];
      z[c] = products[from + pair(c, own[2])];
    }
    informationOf(products, from, a);
    eliminator(a, light, k);
    if (weight[tile] > 0)
      taken +=
        k[0] * a[0] + k[2] * a[2] + k[5] * a[5] + 2 * (k[1] * a[1] + k[3] * a[3] + k[4] * a[4]);
    for (let c = 0; c < at.columns; c++) {
      const u = k[0] * x[c] + k[1] * y[c] + k[3] * z[c];
      const v = k[1] * x[c] + k[2] * y[c] + k[4] * z[c];
      const w = k[3] * x[c] + k[4] * y[c] + k[5] * z[c];
      for (let d = 0; d <= c; d++)
        products[from + productIndex(c, d)] -= u * x[d] + v * y[d] + w * z[d];
    }
  }
  return taken;
}

import { boardCells, cellIsBlack, tagCells, tagCount } from "../../boards/pattern.ts";
import { applyHomography, type Homography, homographyJacobian } from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { greyAt } from "../picture/sampling.ts";
import { lightOfGrey } from "../picture/tone.ts";

/** A tag read through its blur. */
export interface BlurredReading {
  readonly id: number;
  /** Half turns between the map's axes and the tag's. */
  readonly halfTurns: 0 | 1;
  /** Root mean square difference between the cells and the blurred code, share of the contrast. */
  readonly noise: number;
  /** Squares that the next best code leaves over those of the best. */
  readonly lead: number;
}

const dataCells = tagCells - 2;
const firstData = (boardCells - dataCells) / 2;
const firstTag = (boardCells - tagCells) / 2;
const bits = dataCells * dataCells;
const points = tagCells * tagCells;
/** Cells to either side that blur mixes into one. */
const reach = 4;
const across = 2 * reach + 1;
/** The blur's distribution is summed over a grid of so many steps to either side, so many a deviation. */
const blurSteps = 16;
const stepsPerDeviation = 5;

/**
 * Reads the tag of a board whose ring is already fitted, where blur mixes the cells: every code of
 * the family is blurred as the board is, and the one that leaves the least squares at the middles of
 * the tag's cells is taken. The ring tells a quarter turn, so that only half turns are left.
 *
 * `blur` is the covariance of the blur, xx, xy, yy in px^2. Null where the tag leaves the picture.
 */
export function readBlurredTag(
  image: LumaImage,
  homography: Homography,
  blur: Float64Array,
  map: PlaneMap,
): BlurredReading | null {
  const light = tagLight(image, homography, map);
  if (!light) return null;
  const mix = mixing(homography, blur);
  const known = new Float64Array(points);
  const weights = new Float64Array(points * bits);
  for (let p = 0; p < points; p++) mixInto(mix, p, known, weights);
  let best: BlurredReading | null = null;
  let [least, next] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (let id = 0; id < tagCount; id++) {
    let own = Number.POSITIVE_INFINITY;
    for (const halfTurns of [0, 1] as const) {
      const { squares, noise } = compare(light, known, weights, id, halfTurns);
      own = Math.min(own, squares);
      if (squares >= least) continue;
      if (best && best.id !== id) next = least;
      least = squares;
      best = { id, halfTurns, noise, lead: 0 };
    }
    if (best && best.id !== id) next = Math.min(next, own);
  }
  return best && { ...best, lead: next / least };
}

/** Light at the middles of the tag's cells, row by row; null where one lies outside the picture. */
function tagLight(image: LumaImage, homography: Homography, map: PlaneMap): Float64Array | null {
  const light = new Float64Array(points);
  for (let p = 0; p < points; p++) {
    const row = firstTag + Math.floor(p / tagCells);
    const col = firstTag + (p % tagCells);
    const [x, y] = applyHomography(homography, col - 6.5, 6.5 - row);
    light[p] = lightOfGrey(greyAt(image, ...map.fromPlane(x, y)));
  }
  return light.every(Number.isFinite) ? light : null;
}

/**
 * Share of each neighbour in what shows at the middle of a cell, rows down, columns right: the
 * blur's normal distribution, taken back to the board and summed over cells.
 */
function mixing(homography: Homography, [xx, xy, yy]: Float64Array): Float64Array {
  const [a, b, c, d] = homographyJacobian(homography, 0, 0);
  const det = a * d - b * c;
  // Cholesky factor of the covariance in pixels; its columns in cells.
  const l0 = Math.sqrt(xx);
  const l1 = xy / l0;
  const l2 = Math.sqrt(Math.max(0, yy - l1 * l1));
  const toCells = (x: number, y: number) => [(d * x - b * y) / det, (a * y - c * x) / det];
  const [ux, uy] = toCells(l0, l1);
  const [vx, vy] = toCells(0, l2);
  const mix = new Float64Array(across * across);
  let sum = 0;
  for (let i = -blurSteps; i <= blurSteps; i++)
    for (let j = -blurSteps; j <= blurSteps; j++) {
      const [s, t] = [i / stepsPerDeviation, j / stepsPerDeviation];
      const weight = Math.exp(-(s * s + t * t) / 2);
      const col = Math.round(s * ux + t * vx);
      const row = Math.round(-(s * uy + t * vy));
      if (Math.abs(col) > reach || Math.abs(row) > reach) continue;
      mix[(row + reach) * across + col + reach] += weight;
      sum += weight;
    }
  return mix.map((w) => w / sum);
}

/** What of point p comes from cells of known colour (1 = white), and the shares of the data cells. */
function mixInto(mix: Float64Array, p: number, known: Float64Array, weights: Float64Array): void {
  const row = firstTag + Math.floor(p / tagCells);
  const col = firstTag + (p % tagCells);
  for (let m = 0; m < mix.length; m++) {
    const r = row + Math.floor(m / across) - reach;
    const c = col + (m % across) - reach;
    const [dataRow, dataCol] = [r - firstData, c - firstData];
    if (dataRow >= 0 && dataCol >= 0 && dataRow < dataCells && dataCol < dataCells)
      weights[p * bits + dataRow * dataCells + dataCol] += mix[m];
    else if (!cellIsBlack(0, r, c)) known[p] += mix[m];
  }
}

/** Squares that light = black + contrast x blurred code leaves; infinite where it would be negative. */
function compare(
  light: Float64Array,
  known: Float64Array,
  weights: Float64Array,
  id: number,
  halfTurns: 0 | 1,
): { squares: number; noise: number } {
  const white = whiteCells(id);
  let [sp, spp, sg, sgg, spg] = [0, 0, 0, 0, 0];
  for (let p = 0; p < points; p++) {
    let mixed = known[p];
    const from = p * bits;
    for (let k = 0; k < bits; k++) mixed += weights[from + k] * white[halfTurns ? bits - 1 - k : k];
    sp += mixed;
    spp += mixed * mixed;
    sg += light[p];
    sgg += light[p] * light[p];
    spg += mixed * light[p];
  }
  const varP = spp - (sp * sp) / points;
  const varG = sgg - (sg * sg) / points;
  const both = spg - (sp * sg) / points;
  if (!(both > 0 && varP > 0)) return { squares: Number.POSITIVE_INFINITY, noise: 1 };
  const squares = Math.max(0, varG - (both * both) / varP);
  return { squares, noise: Math.sqrt(squares / (points - 2)) / (both / varP) };
}

const codes: Float64Array[] = [];

function whiteCells(id: number): Float64Array {
  codes[id] ??= Float64Array.from({ length: bits }, (_, k) =>
    cellIsBlack(id, firstData + Math.floor(k / dataCells), firstData + (k % dataCells)) ? 0 : 1,
  );
  return codes[id];
}

import { cellIsBlack, tagCells, tagCount } from "../../boards/pattern.ts";
import { applyHomography, type Homography } from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { greyAt } from "../picture/sampling.ts";

/** A tag as read through a board's map. */
export interface Reading {
  readonly id: number;
  /** Quarter turns (counter-clockwise on the board) between the map's axes and the tag's. */
  readonly turns: number;
  /** The print is a mirror image. */
  readonly mirrored: boolean;
  /** Cells of the 36 that disagree. */
  readonly errors: number;
}

const dataCells = tagCells - 2;
const bits = dataCells * dataCells;
/** Codes of the family differ in at least 11 cells: up to 4 wrong cells leave no doubt. */
const maxErrors = 4;
/** Fewest grey levels between paper and border. Our own, no source. */
const leastContrast = 6;

/** Every code of the family as two words of 18 bits, 1 = black. */
const codeWords = (() => {
  let words: Int32Array | null = null;
  return (): Int32Array => {
    if (!words) {
      words = new Int32Array(2 * tagCount);
      for (let id = 0; id < tagCount; id++)
        for (let k = 0; k < bits; k++)
          if (cellIsBlack(id, 4 + Math.floor(k / dataCells), 4 + (k % dataCells)))
            words[2 * id + (k < 18 ? 0 : 1)] |= 1 << (k % 18);
    }
    return words;
  };
})();

/**
 * Reads the tag inside a ring. The ring alone does not tell which of its sides is up, so all four
 * turns are tried, and the mirror image as well. Null where no code is near.
 */
export function readTag(image: LumaImage, homography: Homography, map: PlaneMap): Reading | null {
  const black = sampleCells(image, homography, map);
  if (!black) return null;
  let best: Reading | null = null;
  for (let variant = 0; variant < 8; variant++) {
    const turns = variant & 3;
    const mirror = variant >= 4;
    const [low, high] = packed(black, turns, mirror);
    const words = codeWords();
    for (let id = 0; id < tagCount; id++) {
      const errors = ones(words[2 * id] ^ low) + ones(words[2 * id + 1] ^ high);
      if (errors <= maxErrors && (!best || errors < best.errors))
        best = { id, turns, mirrored: mirror, errors };
    }
  }
  return best;
}

/** Black or not for the 6 x 6 data cells, row by row; the border must be black. */
function sampleCells(image: LumaImage, homography: Homography, map: PlaneMap): Uint8Array | null {
  const grey = (row: number, col: number): number => {
    const [px, py] = applyHomography(homography, col - 6.5, 6.5 - row);
    return greyAt(image, ...map.fromPlane(px, py));
  };
  let [paper, ink] = [0, 0];
  for (let k = 0; k < 8; k++) {
    paper += (grey(2, 3 + k) + grey(11, 3 + k) + grey(3 + k, 2) + grey(3 + k, 11)) / 32;
    ink += (grey(3, 3 + k) + grey(10, 3 + k) + grey(3 + k, 3) + grey(3 + k, 10)) / 32;
  }
  if (!(paper - ink > leastContrast)) return null;
  const middle = (paper + ink) / 2;
  const black = new Uint8Array(bits);
  for (let k = 0; k < bits; k++)
    black[k] = grey(4 + Math.floor(k / dataCells), 4 + (k % dataCells)) < middle ? 1 : 0;
  return black;
}

/** The cells as the tag would have them if it were turned (and mirrored) in the map's frame. */
function packed(black: Uint8Array, turns: number, mirror: boolean): [number, number] {
  const words: [number, number] = [0, 0];
  const last = dataCells - 1;
  for (let k = 0; k < bits; k++) {
    let row = Math.floor(k / dataCells);
    let col = k % dataCells;
    if (mirror) col = last - col;
    for (let t = 0; t < turns; t++) [row, col] = [last - col, row];
    if (black[row * dataCells + col]) words[k < 18 ? 0 : 1] |= 1 << (k % 18);
  }
  return words;
}

function ones(word: number): number {
  let count = 0;
  for (let w = word; w !== 0; w &= w - 1) count++;
  return count;
}

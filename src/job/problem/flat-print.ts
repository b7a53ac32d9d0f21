import { boardCells } from "../../boards/pattern.ts";
import type { BoardView } from "../../detect/findings/findings.ts";
import { meanCellPx } from "../../detect/quality/quality.ts";
import { applyHomography, fitHomography, isClearOfHorizon } from "../../maths/homography.ts";

/**
 * How far the points of a print may lie from the best map of a flat one, root mean square: so many pixels
 * for a copy's noise, and so much of the board's own size for bend and the lens's distortion. A sheet of
 * 200 mm with a bulge of 5 mm, seen at 60 degrees, takes 1 %; the corner of a very wide lens up to 4 %
 * (simulated). Our own, no source.
 */
const mostOffPx = 1;
const mostOffShare = 0.06;
/** A cell of a smaller print cannot be seen at all, px. */
const leastCellPx = 1;

/**
 * Whether the places of a board's points can be the picture of a flat print at all. What cannot says
 * nothing about where the board lies or whether it moved, and an adjustment with nothing else in a photo
 * would look for that photo at the end of the world. No place in the bay is asked for here.
 */
export const canBeFlatPrint = ({ boardPoints, pixels }: BoardView): boolean => {
  const map = fitHomography(boardPoints, pixels);
  if (!map) return false;
  if (!isClearOfHorizon(map, 0, 0, boardCells / 2)) return false;
  const cellPx = meanCellPx(map);
  if (!(cellPx >= leastCellPx)) return false;
  let squares = 0;
  const n = boardPoints.length / 2;
  for (let i = 0; i < n; i++) {
    const [x, y] = applyHomography(map, boardPoints[2 * i], boardPoints[2 * i + 1]);
    squares += (x - pixels[2 * i]) ** 2 + (y - pixels[2 * i + 1]) ** 2;
  }
  return Math.sqrt(squares / n) <= mostOffPx + mostOffShare * boardCells * cellPx;
};

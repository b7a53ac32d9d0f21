import { boardCells, boardOutline, cellIsBlack, isRingCell } from "../../boards/pattern.ts";
import { isSheetMarkerId } from "../../boards/sheet.ts";
import { applyHomography, fitHomography, type Homography } from "../../maths/homography.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { greyAt } from "../picture/sampling.ts";
import {
  fitPattern,
  homographyOfFit,
  type PatternFit,
  type PatternWorkspace,
  showsPrint,
} from "../print-fit/print-fit.ts";
import { meanCellPx } from "../quality/quality.ts";
import { type ProvenBoard, quadArea, type RingFit } from "../ring/ring-fit.ts";
import { readBlurredTag } from "./blurred-tag.ts";

// The numbers here are our own, checked by bench:detect, where no reason is given; no source.

/** Smallest cell that is tried, px a cell. */
const minCellPx = 0.8;
/** Boards that are larger are found by their tags, px a cell. */
const maxCellPx = 9;
/**
 * Half side of what a dark shape may be, cells: the tag, or the board with what blur and a threshold
 * near the mean add to it, which ends in the white margin.
 */
const halfSides = [4, 7.5, 8.5] as const;
/** Maps tried of one shape, the likeliest ones. */
const startsPerShape = 2;
/** Least correlation (-1 to 1) of the picture with the cells of known colour. */
const minLikeness = 0.25;
/** Weight of the ring's checks in that correlation: blur levels them. */
const checkWeight = 0.5;
/** Share of the known cells that must lie inside the picture. */
const minShareInside = 0.8;
/** Stands for a variance of zero. */
const leastVariance = 1e-9;
/** Fits of 5 ms each; true boards are among the likeliest. */
const maxTries = 16;
/** With any code, cells of the tag that differ by less than a covered one's limit count as noise. */
const maxNoiseShareAnyCode = 0.3;
/** True boards of the benches had a noise of up to 0.06 and a lead of 6 to 120. */
const maxReadingNoise = 0.12;
const minReadingLead = 3;
/** Blur with which the fit starts, px. */
const startBlurPx = 1.2;
/** Boards with nearer middles than this, cells, are the same: no two can overlap so far. */
const sameReachCells = 4;
/** Any code: its cells that differ from the board's are left out. */
const anyId = 0;

/**
 * Boards whose tags do not show as such: small, seen at a flat angle, or blurred. The whole-pattern
 * fit needs no code for its start: with any code the ring alone leads it to the board, and the cells
 * that differ count as covered. Through its map and its blur the tag is read, and with the right
 * code the fit has to prove the board. `quads` are dark shapes that may be a tag or a board.
 */
export function blurredBoards(
  image: LumaImage,
  quads: readonly Float64Array[],
  known: readonly ProvenBoard[],
  map: PlaneMap,
  work: PatternWorkspace,
): ProvenBoard[] {
  // Without a lens the fit takes the board for flat: no bend is asked for here.
  const flat: PlaneMap = { ...map, lens: null };
  const starts = quads
    .flatMap((quad) => startsFrom(image, quad, map))
    .sort((a, b) => b.likeness - a.likeness);
  const boards: ProvenBoard[] = [];
  let tries = 0;
  for (const { homography } of starts) {
    if ([...known, ...boards].some((board) => isNear(board.fit.homography, homography))) continue;
    if (++tries > maxTries) break;
    const board = proveFrom(image, homography, flat, work);
    if (board) boards.push(board);
  }
  return boards;
}

interface Start {
  readonly homography: Homography;
  readonly likeness: number;
}

/** Maps that a dark shape may stand for, with how much the picture looks like a ring there. */
function startsFrom(image: LumaImage, quad: Float64Array, map: PlaneMap): Start[] {
  const starts: Start[] = [];
  const plane = map.toPlane(quad);
  const area = Math.abs(quadArea(quad));
  for (const half of halfSides) {
    const cellPx = Math.sqrt(area) / (2 * half);
    if (!(cellPx > minCellPx && cellPx < maxCellPx)) continue;
    for (let turn = 0; turn < 2; turn++) {
      const square = boardOutline.map((_, i) => (boardOutline[(i + 2 * turn) % 8] / 7) * half);
      const homography = fitHomography(square, plane);
      if (!homography) continue;
      const likeness = ringLikeness(image, homography, map);
      if (likeness > minLikeness) starts.push({ homography, likeness });
    }
  }
  return starts.sort((a, b) => b.likeness - a.likeness).slice(0, startsPerShape);
}

/** Cells of known colour with their signs, white = 1. */
const knownCells = (() => {
  const cells: { x: number; y: number; sign: number }[] = [];
  for (let row = -1; row <= boardCells; row++)
    for (let col = -1; col <= boardCells; col++) {
      if (row >= 4 && row < 10 && col >= 4 && col < 10) continue;
      const sign = (cellIsBlack(0, row, col) ? -1 : 1) * (isRingCell(row, col) ? checkWeight : 1);
      cells.push({ x: col - 6.5, y: 6.5 - row, sign });
    }
  return cells;
})();

/** Correlation of the picture with the cells of known colour, -1 .. 1. */
function ringLikeness(image: LumaImage, homography: Homography, map: PlaneMap): number {
  let [n, sg, sgg, ss, sss, sgs] = [0, 0, 0, 0, 0, 0];
  for (const { x, y, sign } of knownCells) {
    const grey = greyAt(image, ...map.fromPlane(...applyHomography(homography, x, y)));
    if (!Number.isFinite(grey)) continue;
    n++;
    sg += grey;
    sgg += grey * grey;
    ss += sign;
    sss += sign * sign;
    sgs += grey * sign;
  }
  if (n < minShareInside * knownCells.length) return 0;
  return (n * sgs - sg * ss) / Math.sqrt((n * sgg - sg * sg) * (n * sss - ss * ss) + leastVariance);
}

function proveFrom(
  image: LumaImage,
  start: Homography,
  map: PlaneMap,
  work: PatternWorkspace,
): ProvenBoard | null {
  const ring = fitted(
    image,
    { id: anyId, fit: startOf(start, startBlurPx) },
    map,
    work,
    maxNoiseShareAnyCode,
  );
  if (!ring) return null;
  const homography = homographyOfFit(ring);
  const reading = readBlurredTag(image, homography, ring.state.blur, map);
  if (!reading || isSheetMarkerId(reading.id)) return null;
  if (!(reading.noise < maxReadingNoise && reading.lead > minReadingLead)) return null;
  const own = reading.halfTurns ? halfTurned(homography) : homography;
  const blurPx = Math.sqrt((ring.state.blur[0] + ring.state.blur[2]) / 2);
  const board = { id: reading.id, fit: startOf(own, blurPx) };
  const again = fitted(image, board, map, work);
  if (!again || again.coveredShare > ring.coveredShare) return null;
  return { id: reading.id, fit: startOf(homographyOfFit(again), blurPx) };
}

/** The fit where it proves what it was fitted to. */
function fitted(
  image: LumaImage,
  board: ProvenBoard,
  map: PlaneMap,
  work: PatternWorkspace,
  noiseShare?: number,
): PatternFit | null {
  work.last = null;
  const fit = fitPattern(image, board, map, work);
  work.last = null;
  return fit && showsPrint(fit, noiseShare) ? fit : null;
}

/** A start without any crossing: the whole-pattern fit has to prove the board. */
const startOf = (homography: Homography, blurPx: number): RingFit => ({
  homography,
  used: [],
  pixels: new Float64Array(0),
  seen: 0,
  residualPx: Number.NaN,
  contrast: 0,
  blurPx,
});

/** The same board with its axes turned by half a turn. */
const halfTurned = (h: Homography): Homography =>
  h.map((value, i) => (i % 3 === 2 ? value : -value));

function isNear(a: Homography, b: Homography): boolean {
  const cellPx = Math.max(meanCellPx(a), meanCellPx(b));
  return Math.hypot(a[2] - b[2], a[5] - b[5]) < sameReachCells * cellPx;
}

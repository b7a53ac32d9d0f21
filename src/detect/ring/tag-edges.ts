import { tagCells } from "../../boards/pattern.ts";
import { upperMedian } from "../../maths/median.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import { greyAt } from "../picture/sampling.ts";

/** What the four sides of a tag's black border show. */
export interface TagEdges {
  /** Corners from the intersections of the four fitted lines, order as given. */
  readonly corners: Float64Array;
  /** Grey of the paper and of the black border. */
  readonly white: number;
  readonly black: number;
  /** Standard deviation of the edge spread, px, from the steepest grey change. */
  readonly blurPx: number;
}

// The numbers here are our own, checked by bench:detect, where no reason is given; no source.

/** Profiles across each side, and steps along each profile. */
const stations = 20;
const steps = 24;
/** Half length of a profile: at least so many pixels, or this share of a cell as it is seen there. */
const leastReachPx = 1.6;
const reachInCells = 0.95;
/** Part of a side that is read: its start, away from the corner, and its length, shares of the side. */
const firstStation = 0.08;
const stationSpan = 0.84;
/** Fewest grey levels between paper and border. */
const leastContrast = 8;
/** Farthest that a corner may move: so many cells and so many pixels. */
const farthestInCells = 1.2;
const farthestPx = 2;

/** The line through the edge points of a side. */
const lineFit = {
  passes: 3,
  fewestPoints: 4,
  /** Standard deviation of a normal distribution over the median of its absolute values. */
  sdOverMedian: 1.48,
  /** Points farther away than so many standard deviations are dropped, */
  limitInSds: 2.5,
  /** but none that is nearer than this, px. */
  leastLimitPx: 0.15,
} as const;
/** Sine of the angle between two lines below which they do not intersect in a corner. */
const parallelSine = 1e-6;

/**
 * Sharpens a tag's corners: along each side of the border the grey profile across the edge is read
 * at many stations, the edge is put where half of the change has happened, and lines are fitted.
 * Good to a few tenths of a pixel (a tone curve shifts such edges), enough to predict the ring.
 * `cellPx` is the rough size of a cell; null where the sides do not show a dark border on paper.
 */
export function refineTagEdges(
  image: LumaImage,
  corners: ArrayLike<number>,
  cellPx: number,
): TagEdges | null {
  const lines: [number, number, number][] = [];
  let [white, black, steepest] = [0, 0, 0];
  for (let side = 0; side < 4; side++) {
    const edge = readSide(image, corners, side, cellPx);
    if (!edge) return null;
    lines.push(edge.line);
    white += edge.white / 4;
    black += edge.black / 4;
    steepest += edge.slope / 4;
  }
  if (!(white - black > leastContrast)) return null;
  const sharpened = new Float64Array(8);
  for (let k = 0; k < 4; k++) {
    const point = intersect(lines[(k + 3) % 4], lines[k]);
    if (!point) return null;
    const moved = Math.hypot(point[0] - corners[2 * k], point[1] - corners[2 * k + 1]);
    if (!(moved < farthestInCells * cellPx + farthestPx)) return null;
    sharpened.set(point, 2 * k);
  }
  const blurPx = (white - black) / (steepest * Math.sqrt(2 * Math.PI));
  return { corners: sharpened, white, black, blurPx };
}

interface Side {
  /** a x + b y = c with a, b a unit normal. */
  readonly line: [number, number, number];
  readonly white: number;
  readonly black: number;
  readonly slope: number;
}

function readSide(
  image: LumaImage,
  corners: ArrayLike<number>,
  side: number,
  cellPx: number,
): Side | null {
  const next = (side + 1) % 4;
  const [ax, ay] = [corners[2 * side], corners[2 * side + 1]];
  const [dx, dy] = [corners[2 * next] - ax, corners[2 * next + 1] - ay];
  const length = Math.hypot(dx, dy);
  // Corners run clockwise as seen (y down): the outside is to the left of the direction.
  const [nx, ny] = [dy / length, -dx / length];
  // Foreshortening: a cell across this side is narrower than the mean cell.
  const across = Math.min(cellPx, (cellPx * cellPx) / (length / tagCells));
  const reach = Math.max(leastReachPx, reachInCells * across);
  const profile = new Float64Array(steps + 1);
  const xs: number[] = [];
  const ys: number[] = [];
  let [white, black, slope] = [0, 0, 0];
  for (let k = 0; k < stations; k++) {
    const t = firstStation + (stationSpan * (k + 0.5)) / stations;
    const [px, py] = [ax + t * dx, ay + t * dy];
    for (let i = 0; i <= steps; i++) {
      const d = reach * ((2 * i) / steps - 1);
      profile[i] = greyAt(image, px + d * nx, py + d * ny);
    }
    const found = findStep(profile);
    if (!found) continue;
    const d = reach * ((2 * found.at) / steps - 1);
    xs.push(px + d * nx);
    ys.push(py + d * ny);
    white += found.high;
    black += found.low;
    slope += found.slope * (steps / (2 * reach));
  }
  if (xs.length < stations / 2) return null;
  const line = fitLine(xs, ys, nx, ny);
  const n = xs.length;
  return line && { line, white: white / n, black: black / n, slope: slope / n };
}

/** Largest rise in a profile that runs from inside (dark) to outside (bright). */
function findStep(profile: Float64Array) {
  let best = -1;
  let slope = 0;
  for (let i = 1; i < steps; i++) {
    const rise = (profile[i + 1] - profile[i - 1]) / 2;
    if (rise > slope) {
      slope = rise;
      best = i;
    }
  }
  if (best < 0) return null;
  let [low, high] = [profile[best], profile[best]];
  let [i, j] = [best, best];
  while (i > 0 && profile[i - 1] <= profile[i]) i--;
  while (j < steps && profile[j + 1] >= profile[j]) j++;
  low = profile[i];
  high = profile[j];
  const middle = (low + high) / 2;
  for (let k = i; k < j; k++)
    if (profile[k] <= middle && profile[k + 1] > middle)
      return { at: k + (middle - profile[k]) / (profile[k + 1] - profile[k]), low, high, slope };
  return null;
}

/** Total least squares line, fitted again twice without the points that are too far from it. */
function fitLine(
  xs: number[],
  ys: number[],
  nx: number,
  ny: number,
): [number, number, number] | null {
  let keep = xs.map(() => true);
  let line: [number, number, number] | null = null;
  for (let pass = 0; pass < lineFit.passes; pass++) {
    let [n, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0];
    for (let i = 0; i < xs.length; i++) {
      if (!keep[i]) continue;
      n++;
      sx += xs[i];
      sy += ys[i];
      sxx += xs[i] * xs[i];
      sxy += xs[i] * ys[i];
      syy += ys[i] * ys[i];
    }
    if (n < lineFit.fewestPoints) return null;
    const [mx, my] = [sx / n, sy / n];
    const angle =
      0.5 * Math.atan2(2 * (sxy / n - mx * my), sxx / n - mx * mx - (syy / n - my * my));
    let [a, b] = [-Math.sin(angle), Math.cos(angle)];
    if (a * nx + b * ny < 0) [a, b] = [-a, -b];
    const c = a * mx + b * my;
    line = [a, b, c];
    const away = xs.map((x, i) => Math.abs(a * x + b * ys[i] - c));
    const usual = lineFit.sdOverMedian * upperMedian(away)!;
    keep = away.map((d) => d <= Math.max(lineFit.leastLimitPx, lineFit.limitInSds * usual));
  }
  return line;
}

function intersect(
  [a, b, c]: readonly [number, number, number],
  [d, e, f]: readonly [number, number, number],
): [number, number] | null {
  const det = a * e - b * d;
  return Math.abs(det) > parallelSine ? [(c * e - b * f) / det, (a * f - c * d) / det] : null;
}

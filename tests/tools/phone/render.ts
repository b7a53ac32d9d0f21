/**
 * Light of a print in a region of the photo. Every ray is traced at the pose of its own row, at its
 * place in the opening and in the exposure: exactly on a lattice of 4 px and, for opening, exposure
 * and place within the pixel, at the middle of squares of 32 px; quadratic, respectively linear,
 * in between (both below 0.001 px).
 */
import type { TruePrint } from "./bay.ts";
import type { Rigid } from "./maths.ts";
import { type Pattern, patternOf } from "./pattern.ts";
import { coarse, fine, normalShare, type SampleTable, sets, strata } from "./samples.ts";
import type { Shot } from "./shots.ts";
import { Tracer } from "./trace.ts";

/** Part of the picture: first pixel and size; sides are multiples of 8. */
export interface Region {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Light of green, red and blue, in units of reflectance. */
export type Light = readonly [Float32Array, Float32Array, Float32Array];

const nodePx = 4;
const tilePx = 2 * nodePx;
const squarePx = 32;
const momentNodes = 9;

/** Weights of three nodes for the eight pixels of a tile. */
const lagrange = Float64Array.from(
  Array.from({ length: tilePx }, (_, i) => i / nodePx).flatMap((s) => [
    ((s - 1) * (s - 2)) / 2,
    -s * (s - 2),
    (s * (s - 1)) / 2,
  ]),
);

/** Adds what the print changes against `around` (reflectance) to the region's light. */
export const addPrint = (
  light: Light,
  region: Region,
  shot: Shot,
  print: TruePrint,
  worldFromBoard: Rigid,
  around: number,
): void => {
  const tracer = new Tracer(shot, print, worldFromBoard);
  const pattern = patternOf(print, around);
  const nodes = traceNodes(tracer, region);
  const offsets = new Offsets(print.id === "sheet" ? coarse : fine);
  const find = new Finder(pattern);
  for (let y = 0; y < region.height; y += squarePx)
    for (let x = 0; x < region.width; x += squarePx) {
      offsets.set(tracer, shot, region, x, y);
      const right = Math.min(region.width, x + squarePx);
      const bottom = Math.min(region.height, y + squarePx);
      paintSquare(light, region, nodes, offsets, find, around, [x, y, right, bottom]);
    }
};

interface Nodes {
  readonly columns: number;
  readonly u: Float64Array;
  readonly v: Float64Array;
}

const traceNodes = (tracer: Tracer, region: Region): Nodes => {
  const columns = region.width / nodePx + 1;
  const rows = region.height / nodePx + 1;
  const u = new Float64Array(columns * rows);
  const v = new Float64Array(columns * rows);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const py = region.y + j * nodePx;
      const place = tracer.trace({
        px: region.x + i * nodePx,
        py,
        row: py,
        opening: [0, 0],
        moment: 0,
      });
      u[j * columns + i] = place[0];
      v[j * columns + i] = place[1];
    }
  return { columns, u, v };
};

/** Offsets on the print, cells, of all samples of the pixels of one square. */
class Offsets {
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Blur of the optics that runs along the print's own lines, cells (standard deviation). */
  sigmaU = 0;
  sigmaV = 0;
  /** How far any sample reaches, cells. */
  reachU = 0;
  reachV = 0;

  constructor(readonly table: SampleTable) {
    this.u = new Float64Array(sets * table.perPixel);
    this.v = new Float64Array(sets * table.perPixel);
  }

  set(tracer: Tracer, shot: Shot, region: Region, x: number, y: number): void {
    const px = region.x + x + squarePx / 2;
    const py = region.y + y + squarePx / 2;
    const at = (dx: number, dy: number, ax: number, ay: number, moment: number) =>
      tracer.trace({ px: px + dx, py: py + dy, row: py, opening: [ax, ay], moment });
    const middle = at(0, 0, 0, 0, 0);
    const slope = (plus: readonly number[], minus: readonly number[]) =>
      [(plus[0] - minus[0]) / 2, (plus[1] - minus[1]) / 2] as const;
    const alongX = slope(at(1, 0, 0, 0, 0), at(-1, 0, 0, 0, 0));
    const alongY = slope(at(0, 1, 0, 0, 0), at(0, -1, 0, 0, 0));
    const openX = slope(at(0, 0, 1, 0, 0), at(0, 0, -1, 0, 0));
    const openY = slope(at(0, 0, 0, 1, 0), at(0, 0, 0, -1, 0));
    const path = Array.from({ length: momentNodes }, (_, i) => {
      const place = at(0, 0, 0, 0, i / (momentNodes - 1) - 0.5);
      return [place[0] - middle[0], place[1] - middle[1]] as const;
    });
    const colour = this.colourOffsets(shot, px, py, alongX, alongY);
    const slant = this.setBlur(shot.phone.lens.opticsBlurPx, alongX, alongY);
    const { table } = this;
    this.reachU = 0;
    this.reachV = 0;
    for (let set = 0, k = 0; set < sets; set++)
      for (let c = 0; c < 3; c++)
        for (let i = 0; i < table.perColour[c]; i++, k++) {
          const [sx, sy, g] = [table.x[k], table.y[k], table.slant[k]];
          const [ax, ay] = [table.openingX[k], table.openingY[k]];
          const m = (table.moment[k] + 0.5) * (momentNodes - 1);
          const from = Math.min(momentNodes - 2, Math.floor(m));
          const s = m - from;
          const du =
            g * slant[0] +
            sx * alongX[0] +
            sy * alongY[0] +
            ax * openX[0] +
            ay * openY[0] +
            colour[c][0] +
            (1 - s) * path[from][0] +
            s * path[from + 1][0];
          const dv =
            g * slant[1] +
            sx * alongX[1] +
            sy * alongY[1] +
            ax * openX[1] +
            ay * openY[1] +
            colour[c][1] +
            (1 - s) * path[from][1] +
            s * path[from + 1][1];
          this.u[k] = du;
          this.v[k] = dv;
          this.reachU = Math.max(this.reachU, Math.abs(du));
          this.reachV = Math.max(this.reachV, Math.abs(dv));
        }
    this.reachU += farthest * this.sigmaU;
    this.reachV += farthest * this.sigmaV;
  }

  /**
   * Covariance of the blur on the print (optics, and the little square that a sample stands for), as
   * a part along u and v and a rest of rank one along a slant: the first is integrated, the second
   * sampled. With correlation r the first keeps 1 - |r| of both variances.
   */
  private setBlur(
    blurPx: number,
    alongX: readonly [number, number],
    alongY: readonly [number, number],
  ): readonly [number, number] {
    const variance = blurPx * blurPx + 1 / (12 * strata * strata);
    const uu = variance * (alongX[0] ** 2 + alongY[0] ** 2);
    const vv = variance * (alongX[1] ** 2 + alongY[1] ** 2);
    const uv = variance * (alongX[0] * alongX[1] + alongY[0] * alongY[1]);
    const r = uv / Math.sqrt(uu * vv);
    this.sigmaU = Math.sqrt((1 - Math.abs(r)) * uu);
    this.sigmaV = Math.sqrt((1 - Math.abs(r)) * vv);
    return [Math.sqrt(Math.abs(r) * uu), Math.sign(r) * Math.sqrt(Math.abs(r) * vv)];
  }

  /** Red and blue pictures are a little larger or smaller than green: what a pixel sees instead. */
  private colourOffsets(
    { phone: { lens } }: Shot,
    px: number,
    py: number,
    alongX: readonly [number, number],
    alongY: readonly [number, number],
  ): (readonly [number, number])[] {
    const corner = Math.hypot(lens.width, lens.height) / 2;
    return [0, lens.redPx, lens.bluePx].map((at) => {
      const dx = (-at * (px - lens.centre[0])) / corner;
      const dy = (-at * (py - lens.centre[1])) / corner;
      return [dx * alongX[0] + dy * alongY[0], dx * alongX[1] + dy * alongY[1]] as const;
    });
  }
}

/** Finds cells of the pattern: an even table of where to begin, then a step or two. */
class Finder {
  private readonly startX: Int32Array;
  private readonly startY: Int32Array;
  private readonly perX: number;
  private readonly perY: number;

  constructor(readonly pattern: Pattern) {
    [this.startX, this.perX] = starts(pattern.linesX);
    [this.startY, this.perY] = starts(pattern.linesY);
  }

  /** Number of lines at or left of x. */
  column(x: number): number {
    return cellAt(this.pattern.linesX, this.startX, this.perX, x);
  }

  row(y: number): number {
    return cellAt(this.pattern.linesY, this.startY, this.perY, y);
  }

  /** Adds the mean of a pixel's samples against `around` to the three planes; the hot loop. */
  addSamples(
    light: Light,
    at: number,
    pu: number,
    pv: number,
    offsets: Offsets,
    first: number,
    around: number,
  ): void {
    const { linesX, linesY, values, columns } = this.pattern;
    const { startX, startY, perX, perY } = this;
    const { u: du, v: dv, sigmaU, sigmaV } = offsets;
    const [reachU, reachV] = [farthest * sigmaU, farthest * sigmaV];
    const [perU, perV] = [beyondPerSigma / sigmaU, beyondPerSigma / sigmaV];
    const [x0, y0] = [linesX[0], linesY[0]];
    const [lastX, lastY] = [linesX.length, linesY.length];
    const [x1, y1] = [linesX[lastX - 1], linesY[lastY - 1]];
    let k = first;
    for (let c = 0; c < 3; c++) {
      const n = offsets.table.perColour[c];
      let sum = 0;
      for (const end = k + n; k < end; k++) {
        const u = pu + du[k];
        const v = pv + dv[k];
        let i = u < x0 ? 0 : u >= x1 ? lastX : startX[((u - x0) * perX) | 0];
        if (i > 0) while (i < lastX && linesX[i] <= u) i++;
        let j = v < y0 ? 0 : v >= y1 ? lastY : startY[((v - y0) * perY) | 0];
        if (j > 0) while (j < lastY && linesY[j] <= v) j++;
        // Shares of the blurred sample beyond the nearest lines on either side.
        const cell = j * columns + i;
        const left = i > 0 ? u - linesX[i - 1] : far;
        const right = i < lastX ? linesX[i] - u : far;
        const low = j > 0 ? v - linesY[j - 1] : far;
        const high = j < lastY ? linesY[j] - v : far;
        const near = left < reachU || right < reachU || low < reachV || high < reachV;
        if (!near) {
          sum += values[cell];
          continue;
        }
        const wl = left < reachU ? beyond[(left * perU) | 0] : 0;
        const wr = right < reachU ? beyond[(right * perU) | 0] : 0;
        const wb = low < reachV ? beyond[(low * perV) | 0] : 0;
        const wt = high < reachV ? beyond[(high * perV) | 0] : 0;
        const wm = 1 - wl - wr;
        let value = (1 - wb - wt) * across(values, cell, wl, wm, wr);
        if (wb > 0) value += wb * across(values, cell - columns, wl, wm, wr);
        if (wt > 0) value += wt * across(values, cell + columns, wl, wm, wr);
        sum += value;
      }
      light[c][at] += sum / n - around;
    }
  }

  /** The one reflectance within reach of (u, v), or -1 where there are several. */
  only(u: number, v: number, reachU: number, reachV: number): number {
    const { values, columns } = this.pattern;
    const left = this.column(u - reachU);
    const right = this.column(u + reachU);
    const low = this.row(v - reachV);
    const high = this.row(v + reachV);
    const value = values[low * columns + left];
    for (let j = low; j <= high; j++)
      for (let i = left; i <= right; i++) if (values[j * columns + i] !== value) return -1;
    return value;
  }
}

/** Blur is cut off at so many standard deviations (1e-5 of it lies beyond). */
const farthest = 4.2;
const far = 1e9;
const beyondPerSigma = 1024;
/** Share of a normal distribution beyond z, at the middle of each step of z. */
const beyond = Float64Array.from({ length: Math.ceil(farthest * beyondPerSigma) + 1 }, (_, i) =>
  normalShare(-(i + 0.5) / beyondPerSigma),
);

const across = (
  values: Float32Array,
  cell: number,
  left: number,
  middle: number,
  right: number,
): number =>
  middle * values[cell] +
  (left > 0 ? left * values[cell - 1] : 0) +
  (right > 0 ? right * values[cell + 1] : 0);

const startsPerLine = 32;

const starts = (lines: Float64Array): [Int32Array, number] => {
  const n = lines.length * startsPerLine;
  const per = n / (lines[lines.length - 1] - lines[0]);
  const start = new Int32Array(n + 1);
  let count = 1;
  for (let k = 0; k <= n; k++) {
    while (count < lines.length && lines[count] <= lines[0] + k / per) count++;
    start[k] = count;
  }
  return [start, per];
};

const cellAt = (lines: Float64Array, start: Int32Array, per: number, x: number): number => {
  const last = lines.length - 1;
  if (!(x >= lines[0])) return 0;
  if (x >= lines[last]) return lines.length;
  let count = start[((x - lines[0]) * per) | 0];
  while (lines[count] <= x) count++;
  return count;
};

const paintSquare = (
  light: Light,
  region: Region,
  { columns, u, v }: Nodes,
  offsets: Offsets,
  find: Finder,
  around: number,
  [left, top, right, bottom]: readonly [number, number, number, number],
): void => {
  for (let y = top; y < bottom; y++) {
    const wy = 3 * (y % tilePx);
    const nodeRow = 2 * Math.floor(y / tilePx) * columns;
    for (let x = left; x < right; x++) {
      const wx = 3 * (x % tilePx);
      const node = nodeRow + 2 * Math.floor(x / tilePx);
      let pu = 0;
      let pv = 0;
      for (let j = 0; j < 3; j++)
        for (let i = 0; i < 3; i++) {
          const w = lagrange[wy + j] * lagrange[wx + i];
          pu += w * u[node + j * columns + i];
          pv += w * v[node + j * columns + i];
        }
      const at = y * region.width + x;
      const only = find.only(pu, pv, offsets.reachU, offsets.reachV);
      if (only >= 0) {
        if (only !== around) for (const plane of light) plane[at] += only - around;
        continue;
      }
      const k =
        ((5 * x + 3 * y + 11 * (x >> 4) + 7 * (y >> 4)) & (sets - 1)) * offsets.table.perPixel;
      find.addSamples(light, at, pu, pv, offsets, k, around);
    }
  }
};

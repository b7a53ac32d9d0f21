import { cholesky, choleskySolve } from "../../maths/dense.ts";
import type { PlaneMap } from "../picture/plane-map.ts";

/** Homography with lens terms: 8 + k1 k2 k3 + two tangential terms. */
const unknowns = 13;

// All numbers from here on are our own; no source.

/** The robust fit. */
const robust = {
  passes: 14,
  /** Passes with Cauchy's weight, which gives no point a weight of zero. */
  cauchyPasses: 6,
  /** Scale of the residuals, px: at least this (noise of a sharp photo), or so many times their median. */
  leastScalePx: 0.03,
  scaleOverMedian: 1.2,
  /** Points beyond this many scales count as wrong. */
  limitInScales: 3.5,
  /** Weight 1 / (1 + steepness r^2) of a residual of r limits in the first passes. */
  cauchySteepness: 9,
} as const;
/** Fewest degrees of freedom from which a residual is worked out. */
const leastDof = 4;
/** Prior of the lens terms (weight per point): keeps those that few points determine near zero. */
const lensTermWeight = 1e-9;
/** Pivot, relative to the diagonal, from which the equations count as singular. */
const leastPivot = 1e-16;
/** The inverse map: steps at most, and the change (normalised pixels) that ends them. */
const inverse = { steps: 30, tolerance: 1e-12 } as const;

export interface SmoothFit {
  /** Indices of the points that agree. */
  readonly keep: readonly number[];
  /** Root mean square per coordinate of the kept points, freed from the fitted dof, px. */
  readonly residualPx: number;
  /** Board to the plane without distortion (scale of pixels), 3 x 3. */
  readonly homography: Float64Array;
  /** The polynomial between pixels and that plane. */
  readonly map: PlaneMap;
}

/**
 * Agreement of many points of one flat print when the lens is not known: a homography onto a plane
 * that a radial and tangential polynomial about the picture's centre takes from the pixels. Used
 * only to find outliers and to measure the noise, never as a lens.
 *
 * `board` and `pixels` are x0 y0 x1 y1 ..., in any unit and in px; `width` and `height` those of the
 * picture, px. Null where the points are too few or fit no such map.
 */
export function fitSmoothMap(
  board: ArrayLike<number>,
  pixels: ArrayLike<number>,
  width: number,
  height: number,
): SmoothFit | null {
  const n = board.length / 2;
  const weights = new Float64Array(n).fill(1);
  const state = new Float64Array(unknowns);
  const away = new Float64Array(n);
  const frame = { cx: (width - 1) / 2, cy: (height - 1) / 2, s: 2 / Math.hypot(width, height) };
  state[0] = 1;
  state[4] = 1;
  let limit = 0;
  for (let pass = 0; pass < robust.passes; pass++) {
    if (!solve(board, pixels, weights, state, frame)) return null;
    measure(board, pixels, state, frame, away);
    const scale = Math.max(
      robust.leastScalePx,
      robust.scaleOverMedian * Float64Array.from(away).sort()[n >> 1],
    );
    limit = robust.limitInScales * scale;
    for (let i = 0; i < n; i++) {
      const r = away[i] / limit;
      weights[i] =
        pass < robust.cauchyPasses ? 1 / (1 + robust.cauchySteepness * r * r) : r < 1 ? 1 : 0;
    }
  }
  const keep = Array.from({ length: n }, (_, i) => i).filter((i) => away[i] < limit);
  const sum = keep.reduce((s, i) => s + away[i] * away[i], 0);
  const dof = 2 * keep.length - unknowns;
  if (dof < leastDof) return null;
  return {
    keep,
    residualPx: Math.sqrt(sum / dof),
    homography: toPixels(state, frame),
    map: mapOf(state, frame),
  };
}

interface Frame {
  readonly cx: number;
  readonly cy: number;
  readonly s: number;
}

/** Lens terms of a normalised pixel, added to its x and y. */
function lensTerms(x: number, y: number, terms: Float64Array): void {
  const r2 = x * x + y * y;
  terms[0] = x * r2;
  terms[1] = x * r2 * r2;
  terms[2] = x * r2 * r2 * r2;
  terms[3] = 2 * x * y;
  terms[4] = r2 + 2 * x * x;
  terms[5] = y * r2;
  terms[6] = y * r2 * r2;
  terms[7] = y * r2 * r2 * r2;
  terms[8] = r2 + 2 * y * y;
  terms[9] = 2 * x * y;
}

/** One linear pass: the products of unknowns use the state before it. */
function solve(
  board: ArrayLike<number>,
  pixels: ArrayLike<number>,
  weights: Float64Array,
  state: Float64Array,
  frame: Frame,
): boolean {
  const normal = new Float64Array(unknowns * unknowns);
  const right = new Float64Array(unknowns);
  const row = new Float64Array(unknowns);
  const terms = new Float64Array(10);
  for (let i = 0; i < weights.length; i++) {
    if (weights[i] === 0) continue;
    const [bx, by] = [board[2 * i], board[2 * i + 1]];
    const x = frame.s * (pixels[2 * i] - frame.cx);
    const y = frame.s * (pixels[2 * i + 1] - frame.cy);
    lensTerms(x, y, terms);
    const w = state[6] * bx + state[7] * by + 1;
    const weight = weights[i] / (w * w);
    for (let axis = 0; axis < 2; axis++) {
      let straight = axis === 0 ? x : y;
      for (let k = 0; k < 5; k++) straight += state[8 + k] * terms[5 * axis + k];
      row.fill(0);
      row[3 * axis] = bx;
      row[3 * axis + 1] = by;
      row[3 * axis + 2] = 1;
      row[6] = -straight * bx;
      row[7] = -straight * by;
      for (let k = 0; k < 5; k++) row[8 + k] = -w * terms[5 * axis + k];
      // The denominator's part of the lens terms is in `row` 6 and 7 through `straight`.
      const target = axis === 0 ? x : y;
      const value = target + (w - 1) * (target - straight);
      for (let j = 0; j < unknowns; j++) {
        right[j] += weight * row[j] * value;
        for (let k = 0; k <= j; k++) normal[j * unknowns + k] += weight * row[j] * row[k];
      }
    }
  }
  for (let k = 8; k < unknowns; k++) normal[k * unknowns + k] += lensTermWeight * weights.length;
  if (cholesky(normal, unknowns, leastPivot).failedAt >= 0) return false;
  choleskySolve(normal, unknowns, right);
  state.set(right);
  return right.every(Number.isFinite);
}

function measure(
  board: ArrayLike<number>,
  pixels: ArrayLike<number>,
  state: Float64Array,
  frame: Frame,
  away: Float64Array,
): void {
  const terms = new Float64Array(10);
  for (let i = 0; i < away.length; i++) {
    const [bx, by] = [board[2 * i], board[2 * i + 1]];
    let x = frame.s * (pixels[2 * i] - frame.cx);
    let y = frame.s * (pixels[2 * i + 1] - frame.cy);
    lensTerms(x, y, terms);
    for (let k = 0; k < 5; k++) {
      x += state[8 + k] * terms[k];
      y += state[8 + k] * terms[5 + k];
    }
    const w = state[6] * bx + state[7] * by + 1;
    const ex = (state[0] * bx + state[1] * by + state[2]) / w - x;
    const ey = (state[3] * bx + state[4] * by + state[5]) / w - y;
    away[i] = Math.hypot(ex, ey) / frame.s;
  }
}

function toPixels(state: Float64Array, frame: Frame): Float64Array {
  const h = Float64Array.of(...state.subarray(0, 8), 1);
  for (let k = 0; k < 3; k++) {
    h[k] = h[k] / frame.s + frame.cx * h[6 + k];
    h[3 + k] = h[3 + k] / frame.s + frame.cy * h[6 + k];
  }
  return h;
}

/** The polynomial of a fitted state, and its inverse by fixed-point steps (it is near 1). */
function mapOf(state: Float64Array, { cx, cy, s }: Frame): PlaneMap {
  const terms = new Float64Array(10);
  const added = (x: number, y: number): readonly [number, number] => {
    lensTerms(x, y, terms);
    let [dx, dy] = [0, 0];
    for (let k = 0; k < 5; k++) {
      dx += state[8 + k] * terms[k];
      dy += state[8 + k] * terms[5 + k];
    }
    return [dx, dy];
  };
  return {
    lens: null,
    isIdentity: false,
    toPlane(pixels) {
      const out = Float64Array.from(pixels);
      for (let i = 0; i < out.length; i += 2) {
        const [dx, dy] = added(s * (pixels[i] - cx), s * (pixels[i + 1] - cy));
        out[i] += dx / s;
        out[i + 1] += dy / s;
      }
      return out;
    },
    fromPlane(planeX, planeY) {
      const [X, Y] = [s * (planeX - cx), s * (planeY - cy)];
      let [x, y] = [X, Y];
      for (let step = 0; step < inverse.steps; step++) {
        const [dx, dy] = added(x, y);
        const change = Math.abs(X - dx - x) + Math.abs(Y - dy - y);
        [x, y] = [X - dx, Y - dy];
        if (change < inverse.tolerance) break;
      }
      return [x / s + cx, y / s + cy];
    },
  };
}

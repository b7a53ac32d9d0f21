import { applyHomography, type Homography, invertHomography } from "../../maths/homography.ts";
import type { PlaneMap } from "../picture/plane-map.ts";
import { patchJacobian, type StraightPatch } from "../picture/straight-patch.ts";
import { greyOfLight, toneByTable } from "../picture/tone.ts";
import { type BoardBend, printByPlane, type Sight, seenAtPrint, sightOf } from "./pattern-bend.ts";
import type { TileState } from "./pattern-pass.ts";
import { crossingsOf, crossingsPerSide, gridCentre, tileCount } from "./print/pattern-cells.ts";

/** Unknowns of one board's fit in their natural form. */
export interface PatternState {
  /** Normalised plane coordinates to grid units (u right, v down, 0 .. 14); last number 1. */
  readonly gridFromPlane: Float64Array;
  /** Covariance of the blur in px^2: xx, xy, yy; the pixel's own square is added to it. */
  readonly blur: Float64Array;
  readonly tone: Float64Array;
  sharpening: number;
  /** Radius of the soft copy that sharpening subtracts, one of `softRadii`. */
  softRadiusPx: number;
  /** Light times contrast: 1, p, q, pp, pq, qq with p, q = -1 .. 1 across the board. */
  readonly gain: Float64Array;
  /** Light of the black cells: 1, p, q. */
  readonly offset: Float64Array;
  /** Curvatures m, d, e, 1/cell; zero where the lens is not known. */
  readonly bend: BoardBend;
}

/** Spread of what every tile may have of its own, as multiples of the grey values' variance. */
export interface LocalLight {
  /** Variance of gain and offset. */
  readonly gain: number;
  readonly offset: number;
  /** Variance of the first tone coefficient. */
  readonly tone: number;
}

/** What follows from the state at every tile. */
export interface PatternGeometry extends TileState {
  /** The state's numbers, which every fit brings along. */
  gridFromPlane: Float64Array;
  /** Where the camera stands over the board; null while the board is taken for flat. */
  sight: Sight | null;
  /** Whether the present pass asks for the shape of the blur. */
  withShape: boolean;
  /** Light of the tiles' own, where the residuals ask for it. */
  localLight: LocalLight | null;
  /** Degrees of freedom that it takes from the present pass. */
  lightFreedom: number;
  /** Inverse of the map, kept while a board is bent. */
  planeFromGrid: Float64Array;
  /** The state's bend. */
  bend: BoardBend;
  /** Normalised plane coordinates of the crossings. */
  readonly planeX: Float64Array;
  readonly planeY: Float64Array;
  /** d(u, v)/d(pixel) at the crossings, 4 per tile. */
  readonly gridFromPixel: Float64Array;
  /** Lens part d(X, Y)/d(pixel) at the crossings, 4 per tile. */
  readonly planeFromPixel: Float64Array;
  /** 1/depth at the crossings, relative to the board's centre: 0 there. */
  readonly nearness: Float64Array;
  /** Direction in the photo from the lens's centre to the board. */
  readonly towardsRim: Float64Array;
  /** Pixels per cell along u and v at the crossings. */
  readonly cellPxU: Float64Array;
  readonly cellPxV: Float64Array;
  /** 0 leaves the tile out. */
  readonly weight: Float64Array;
}

/** Variance of a pixel's own square aperture, px^2. */
const pixelVariance = 1 / 12;
/**
 * Radii of the soft copy that a phone's sharpening subtracts, px: fine detail, and local contrast,
 * whose haloes are wide. Common choices, no source.
 */
export const softRadii = { fine: 1.3, wide: 4 } as const;
/** Smallest blur that the fit allows, px. */
const minBlurPx = 0.35;

export function newPatternGeometry(): PatternGeometry {
  const per = (n: number) => new Float64Array(n * tileCount);
  return {
    crossings: crossingsOf.board,
    gridFromPlane: new Float64Array(9),
    sight: null,
    withShape: false,
    localLight: null,
    lightFreedom: 0,
    planeFromGrid: new Float64Array(9),
    bend: new Float64Array(3),
    planeX: per(1),
    planeY: per(1),
    gridFromPixel: per(4),
    planeFromPixel: per(4),
    nearness: per(1),
    towardsRim: new Float64Array(2),
    rimU: per(1),
    rimV: per(1),
    cellPxU: per(1),
    cellPxV: per(1),
    blurU: per(1),
    blurV: per(1),
    correlation: per(1),
    softU: per(1),
    softV: per(1),
    softCorrelation: per(1),
    contrast: per(1),
    dark: per(1),
    darkSlope: per(1),
    whiteSlope: per(1),
    light: per(6),
    weight: per(1).fill(1),
  };
}

/** Grid (u, v) from normalised plane coordinates, from a board-to-plane homography in pixels. */
export function gridFromPlaneOf(homography: Homography, patch: StraightPatch): Float64Array {
  // board x = u - 7, y = 7 - v; plane pixel = centre + scale * normalised.
  const h = homography;
  const s = 1 / patch.scale;
  const c = gridCentre;
  const planeFromGrid = new Float64Array(9);
  for (let r = 0; r < 3; r++) {
    planeFromGrid[3 * r] = h[3 * r];
    planeFromGrid[3 * r + 1] = -h[3 * r + 1];
    planeFromGrid[3 * r + 2] = h[3 * r + 2] + c * (h[3 * r + 1] - h[3 * r]);
  }
  for (let k = 0; k < 3; k++) {
    planeFromGrid[k] = s * (planeFromGrid[k] - patch.cx * planeFromGrid[6 + k]);
    planeFromGrid[3 + k] = s * (planeFromGrid[3 + k] - patch.cy * planeFromGrid[6 + k]);
  }
  return invertHomography(planeFromGrid);
}

/** Places the crossings in plane and photo; done now and then, as a fit moves them by little. */
export function placeCrossings(
  geometry: PatternGeometry,
  patch: StraightPatch,
  map: PlaneMap,
): void {
  const planeFromGrid = invertHomography(geometry.gridFromPlane);
  for (const tile of geometry.crossings) {
    const i = tile % crossingsPerSide;
    const j = (tile - i) / crossingsPerSide;
    const { sight, bend } = geometry;
    const [u, v] = sight ? seenAtPrint(bend, sight, i, j) : [i, j];
    const [X, Y] = applyHomography(planeFromGrid, u, v);
    geometry.planeX[tile] = X;
    geometry.planeY[tile] = Y;
    const [px, py] = map.fromPlane(patch.cx + patch.scale * X, patch.cy + patch.scale * Y);
    const jacobian = patchJacobian(
      patch,
      (px - patch.cx) / patch.scale,
      (py - patch.cy) / patch.scale,
    );
    for (let k = 0; k < 4; k++) geometry.planeFromPixel[4 * tile + k] = jacobian[k] / patch.scale;
  }
}

/** Brings the line of sight up to date with the state; false where the map shows the board's back. */
export function followBend(
  geometry: PatternGeometry,
  state: PatternState,
  patch: StraightPatch,
  { lens }: PlaneMap,
): boolean {
  const sight = lens && sightOf(state.gridFromPlane, patch, lens, geometry.sight);
  if (!sight) return false;
  geometry.sight = sight;
  geometry.planeFromGrid = invertHomography(state.gridFromPlane);
  return true;
}

/** Brings blur, light and local scales of all tiles up to date with the state. */
export function updateGeometry(geometry: PatternGeometry, state: PatternState): void {
  const m = state.gridFromPlane;
  const xx = state.blur[0] + pixelVariance;
  const xy = state.blur[1];
  const yy = state.blur[2] + pixelVariance;
  const a = geometry.gridFromPixel;
  const { gain: g, offset: o } = state;
  const tone = { grey: 0, slope: 0 };
  const [rimX, rimY] = geometry.towardsRim;
  const middle = tileCount >> 1;
  const atCentre = m[6] * geometry.planeX[middle] + m[7] * geometry.planeY[middle] + 1;
  for (const tile of geometry.crossings) {
    const X = geometry.planeX[tile];
    const Y = geometry.planeY[tile];
    const w = 1 / (m[6] * X + m[7] * Y + 1);
    const u = (m[0] * X + m[1] * Y + m[2]) * w;
    const v = (m[3] * X + m[4] * Y + m[5]) * w;
    const j = geometry.planeFromPixel;
    const k = 4 * tile;
    for (let axis = 0; axis < 2; axis++) {
      const value = axis === 0 ? u : v;
      const dX = (m[3 * axis] - value * m[6]) * w;
      const dY = (m[3 * axis + 1] - value * m[7]) * w;
      a[k + 2 * axis] = dX * j[k] + dY * j[k + 2];
      a[k + 2 * axis + 1] = dX * j[k + 1] + dY * j[k + 3];
    }
    if (geometry.sight) bendScale(geometry, tile);
    const [ux, uy, vx, vy] = [a[k], a[k + 1], a[k + 2], a[k + 3]];
    const varU = ux * ux * xx + 2 * ux * uy * xy + uy * uy * yy;
    const varV = vx * vx * xx + 2 * vx * vy * xy + vy * vy * yy;
    const cov = ux * vx * xx + (ux * vy + uy * vx) * xy + uy * vy * yy;
    geometry.blurU[tile] = Math.sqrt(varU);
    geometry.blurV[tile] = Math.sqrt(varV);
    geometry.correlation[tile] = cov / Math.sqrt(varU * varV);
    geometry.nearness[tile] = 1 / (w * atCentre) - 1;
    geometry.rimU[tile] = (ux * rimX + uy * rimY) / Math.sqrt(varU);
    geometry.rimV[tile] = (vx * rimX + vy * rimY) / Math.sqrt(varV);
    const soft = state.softRadiusPx ** 2;
    const softU = Math.sqrt(varU + soft * (ux * ux + uy * uy));
    const softV = Math.sqrt(varV + soft * (vx * vx + vy * vy));
    geometry.softU[tile] = softU;
    geometry.softV[tile] = softV;
    geometry.softCorrelation[tile] = (cov + soft * (ux * vx + uy * vy)) / (softU * softV);
    const det = Math.abs(ux * vy - uy * vx);
    geometry.cellPxU[tile] = Math.hypot(vx, vy) / det;
    geometry.cellPxV[tile] = Math.hypot(ux, uy) / det;
    const col = tile % crossingsPerSide;
    const p = (col - gridCentre) / gridCentre;
    const q = ((tile - col) / crossingsPerSide - gridCentre) / gridCentre;
    const l = geometry.light;
    const t = 6 * tile;
    l[t] = o[0] + o[1] * p + o[2] * q;
    l[t + 1] = o[1] / gridCentre;
    l[t + 2] = o[2] / gridCentre;
    l[t + 3] = g[0] + g[1] * p + g[2] * q + g[3] * p * p + g[4] * p * q + g[5] * q * q;
    l[t + 4] = (g[1] + 2 * g[3] * p + g[4] * q) / gridCentre;
    l[t + 5] = (g[2] + g[4] * p + 2 * g[5] * q) / gridCentre;
    toneByTable(l[t], tone);
    geometry.dark[tile] = tone.grey;
    geometry.darkSlope[tile] = tone.slope;
    toneByTable(l[t] + l[t + 3], tone);
    geometry.contrast[tile] = tone.grey - geometry.dark[tile];
    geometry.whiteSlope[tile] = tone.slope;
  }
}

/** From the plane's grid to the print's. */
function bendScale({ bend, sight, gridFromPixel: a }: PatternGeometry, tile: number): void {
  if (!sight) return;
  const col = tile % crossingsPerSide;
  const [uu, uv, vu, vv] = printByPlane(bend, sight, col, (tile - col) / crossingsPerSide);
  for (let k = 4 * tile; k < 4 * tile + 2; k++) {
    const [du, dv] = [a[k], a[k + 2]];
    a[k] = uu * du + uv * dv;
    a[k + 2] = vu * du + vv * dv;
  }
}

/** Keeps the blur a covariance with a least width. */
export function limitBlur(blur: Float64Array): void {
  const least = minBlurPx * minBlurPx;
  blur[0] = Math.max(least, blur[0]);
  blur[2] = Math.max(least, blur[2]);
  const most = 0.95 * Math.sqrt(blur[0] * blur[2]);
  blur[1] = Math.max(-most, Math.min(most, blur[1]));
}

/** Grey difference between white and black at the board's centre. */
export const greyContrast = ({ offset, gain }: PatternState): number =>
  greyOfLight(offset[0] + gain[0]) - greyOfLight(offset[0]);

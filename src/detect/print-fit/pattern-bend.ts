import type { Lens } from "../../lens/lens.ts";
import { applyHomography, invertHomography } from "../../maths/homography.ts";
import { add, cross, dot, norm, scale, sub, unit, type Vec3 } from "../../maths/pose.ts";
import type { StraightPatch } from "../picture/straight-patch.ts";
import { gridCentre } from "./print/pattern-cells.ts";

/**
 * Bend of a board inside its fit. Over the plane that touches the board at its centre the face has
 * the height z = ((m + d) p^2 + 2 e p q + (m - d) q^2) / 4 towards the camera, in cells, at p cells
 * right and q cells down; the curvatures m, d, e (1/cell) are those of src/adjust/problem/board-shape.ts. A
 * pixel's line of sight that meets the plane at P meets the face above P + z S, with the slope
 * S = (foot of the camera - P) / (height of the camera); paper does not stretch, so that the print
 * there is the one at p (1 + K z / 3) of the flat board.
 */
export type BoardBend = Float64Array;

/** Height of the middle over the line between the edges, in board widths, of the strongest curve. */
export const sagittaShare = ([m, d, e]: BoardBend): number =>
  (gridCentre / 8) * (Math.abs(m) + Math.hypot(d, e));

/** Camera centre over the board: cells right and down from the board's centre, and its height. */
export interface Sight {
  readonly right: number;
  readonly down: number;
  readonly height: number;
}

/**
 * Camera centre from the map of a board and the lens. The map's slope at the board's centre, seen
 * along the ray to it, is a rotation's upper left block over the distance (Collins and Bartoli 2014,
 * "Infinitesimal plane-based pose estimation"); it leaves two mirrored places for the camera, of which
 * the one is taken that is on the side of `like` or, without it, that the map's perspective favours.
 * The perspective itself is weak evidence, far weaker than what a bend does to a map; but it is all
 * there is where the board is seen face on, and the slope says nothing.
 * Null where the map shows the board's back.
 */
export function sightOf(
  gridFromPlane: Float64Array,
  patch: StraightPatch,
  lens: Lens,
  like: Sight | null,
): Sight | null {
  const { right, down, centre } = sidesOfCell(gridFromPlane, patch, lens);
  const away = unit(centre);
  // Steps of one cell across the ray, at distance 1.
  const across = (side: Vec3): Vec3 =>
    scale(sub(side, scale(away, dot(away, side))), 1 / norm(centre));
  const [a, b] = [across(right), across(down)];
  const [aa, ab, bb] = [dot(a, a), dot(a, b), dot(b, b)];
  const perDistance = Math.sqrt(0.5 * (aa + bb + Math.hypot(aa - bb, 2 * ab)));
  const facing = dot(away, cross(a, b)) / (perDistance * perDistance);
  if (!(facing > 0)) return null;
  // How far the sides of a cell go along the ray: from the perspective, and from their length.
  const view = [right, down].map((side) => dot(away, side) / (norm(centre) * perDistance));
  const length = [aa, bb].map((square) => Math.sqrt(Math.max(0, 1 - square / perDistance ** 2)));
  if (ab > 0) length[1] *= -1;
  const evidence = like
    ? -(length[0] * like.right + length[1] * like.down)
    : length[0] * view[0] + length[1] * view[1];
  const side = evidence < 0 ? -1 : 1;
  const slanted = Math.min(1, Math.max(0, Math.hypot(...length) / faceOn - 1));
  const [alongRight, alongDown] = length.map(
    (l, k) => slanted * side * l + (1 - slanted) * view[k],
  );
  return {
    right: -alongRight / perDistance,
    down: -alongDown / perDistance,
    height: facing / perDistance,
  };
}

/** Two sides of a cell and the way to the board's centre, camera frame, in one common unit. */
function sidesOfCell(gridFromPlane: Float64Array, patch: StraightPatch, lens: Lens) {
  const g = invertHomography(gridFromPlane);
  const ray = (X: number, Y: number, w: number): Vec3 => [
    (patch.scale * X + (patch.cx - lens.cx) * w) / lens.fx,
    (patch.scale * Y + (patch.cy - lens.cy) * w) / lens.fy,
    w,
  ];
  const right = ray(g[0], g[3], g[6]);
  const down = ray(g[1], g[4], g[7]);
  const centre = add(ray(g[2], g[5], g[8]), scale(add(right, down), gridCentre));
  return { right, down, centre };
}

/** Sine of a slant up to which lengths say little about it; from twice that they say all. */
const faceOn = 0.1;

/**
 * Rates at which the print (u, v) passes a pixel when m, d and e change: u and v by m, by d, by e, to
 * `out` from `at`. With the height's rate h = (p^T dK p) / 2 / (1 - p^T K S) and p' = h S:
 * p' + (dK p z + K p' z + K p h) / 3.
 */
export function bendRates(
  [m, d, e]: BoardBend,
  sight: Sight,
  u: number,
  v: number,
  out: Float64Array,
  at: number,
): void {
  const p = u - gridCentre;
  const q = v - gridCentre;
  const s = (sight.right - p) / sight.height;
  const t = (sight.down - q) / sight.height;
  const [ka, kb, kc] = [0.5 * (m + d), 0.5 * e, 0.5 * (m - d)];
  const [x, y] = [ka * p + kb * q, kb * p + kc * q];
  const z = 0.5 * (p * x + q * y);
  const steep = 1 / (1 - (x * s + y * t));
  for (let k = 0; k < 3; k++) {
    const dx = k < 2 ? 0.5 * p : 0.5 * q;
    const dy = k === 0 ? 0.5 * q : k === 1 ? -0.5 * q : 0.5 * p;
    const rise = 0.5 * (p * dx + q * dy) * steep;
    out[at + 2 * k] = rise * s + (dx * z + (ka * s + kb * t) * rise * z + x * rise) / 3;
    out[at + 2 * k + 1] = rise * t + (dy * z + (kb * s + kc * t) * rise * z + y * rise) / 3;
  }
}

/**
 * How the print moves at a pixel when the point P of the plane that is seen there moves: d(u, v)/dP,
 * row-major, = (I + S p^T K / (1 - p^T K S)) (1 - z / height), at the print (u, v) seen over P.
 */
export function printByPlane(
  [m, d, e]: BoardBend,
  sight: Sight,
  u: number,
  v: number,
): [number, number, number, number] {
  const p = u - gridCentre;
  const q = v - gridCentre;
  const s = (sight.right - p) / sight.height;
  const t = (sight.down - q) / sight.height;
  const x = 0.5 * ((m + d) * p + e * q);
  const y = 0.5 * (e * p + (m - d) * q);
  const nearer = 1 - (0.5 * (p * x + q * y)) / sight.height;
  const steep = nearer / (1 - (x * s + y * t));
  return [nearer + s * x * steep, s * y * steep, t * x * steep, nearer + t * y * steep];
}

/**
 * Rates at which the print (u, v) passes a pixel when the map's eight numbers change, to `out` from
 * `at`, u and v by each number. `planeFromGrid` is the inverse of the map.
 */
export function mapRates(
  bend: BoardBend,
  sight: Sight,
  gridFromPlane: Float64Array,
  planeFromGrid: Float64Array,
  u: number,
  v: number,
  out: Float64Array,
  at: number,
): void {
  const m = gridFromPlane;
  const [P, Q] = seenAtPrint(bend, sight, u, v);
  const [X, Y] = applyHomography(planeFromGrid, P, Q);
  const w = 1 / (m[6] * X + m[7] * Y + 1);
  const [uu, uv, vu, vv] = printByPlane(bend, sight, u, v);
  for (let k = 0; k < 3; k++) {
    const by = k === 0 ? X * w : k === 1 ? Y * w : w;
    out[at + 2 * k] = uu * by;
    out[at + 2 * k + 1] = vu * by;
    out[at + 2 * k + 6] = uv * by;
    out[at + 2 * k + 7] = vv * by;
    if (k === 2) continue;
    out[at + 2 * k + 12] = -(uu * P + uv * Q) * by;
    out[at + 2 * k + 13] = -(vu * P + vv * Q) * by;
  }
}

/**
 * Print that is seen where the flat board would show (u, v), grid units; assembly/bent-print.ts does
 * the same for every pixel. The height is a root of a
 * quadratic equation: z = (P + z S)^T K (P + z S) / 2.
 */
export function printSeenAt(
  [m, d, e]: BoardBend,
  sight: Sight,
  u: number,
  v: number,
): [number, number] {
  const P = u - gridCentre;
  const Q = v - gridCentre;
  const s = (sight.right - P) / sight.height;
  const t = (sight.down - Q) / sight.height;
  const [ka, kb, kc] = [0.5 * (m + d), 0.5 * e, 0.5 * (m - d)];
  const linear = 1 - (P * (ka * s + kb * t) + Q * (kb * s + kc * t));
  const flat = 0.5 * (ka * P * P + 2 * kb * P * Q + kc * Q * Q);
  const square = 0.5 * (ka * s * s + 2 * kb * s * t + kc * t * t);
  const z = (2 * flat) / (linear + Math.sqrt(Math.max(0, linear * linear - 4 * square * flat)));
  const p = P + z * s;
  const q = Q + z * t;
  return [
    p + (z / 3) * (ka * p + kb * q) + gridCentre,
    q + (z / 3) * (kb * p + kc * q) + gridCentre,
  ];
}

/** The other way round: where the flat board would show what is printed at (u, v), grid units. */
export function seenAtPrint(
  [m, d, e]: BoardBend,
  sight: Sight,
  u: number,
  v: number,
): [number, number] {
  const [ka, kb, kc] = [0.5 * (m + d), 0.5 * e, 0.5 * (m - d)];
  const p = u - gridCentre;
  const q = v - gridCentre;
  const z = 0.5 * (ka * p * p + 2 * kb * p * q + kc * q * q);
  const x = p - (z / 3) * (ka * p + kb * q);
  const y = q - (z / 3) * (kb * p + kc * q);
  const share = z / sight.height;
  return [
    (x - share * sight.right) / (1 - share) + gridCentre,
    (y - share * sight.down) / (1 - share) + gridCentre,
  ];
}

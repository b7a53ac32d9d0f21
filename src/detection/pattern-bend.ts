import type { Lens } from "../camera/lens.ts";
import { invertHomography } from "../geometry/homography.ts";
import { cross, dot, type Vec3 } from "../geometry/pose.ts";
import { gridCentre } from "./pattern-cells.ts";
import { fitPatch, type StraightPatch } from "./straight-patch.ts";

/**
 * Bend of a board inside its fit. Over the plane that touches the board at its centre the face has
 * the height z = ((m + d) p^2 + 2 e p q + (m - d) q^2) / 4 towards the camera, in cells, at p cells
 * right and q cells down; the curvatures m, d, e (1/cell) are those of network/board-shape.ts. A
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
 * Camera centre from the map of a flat board and the lens: the columns of (lens)^-1 x (map) are two
 * sides of a cell and the way to the board's centre, in the camera's frame and one common unit
 * (Zhang 2000). Null where the map shows the board's back.
 */
export function sightOf(
  gridFromPlane: Float64Array,
  patch: StraightPatch,
  lens: Lens,
): Sight | null {
  const g = invertHomography(gridFromPlane);
  const ray = (X: number, Y: number, w: number): Vec3 => [
    (patch.scale * X + (patch.cx - lens.cx) * w) / lens.fx,
    (patch.scale * Y + (patch.cy - lens.cy) * w) / lens.fy,
    w,
  ];
  const right = ray(g[0], g[3], g[6]);
  const down = ray(g[1], g[4], g[7]);
  const centre = ray(
    gridCentre * (g[0] + g[1]) + g[2],
    gridCentre * (g[3] + g[4]) + g[5],
    gridCentre * (g[6] + g[7]) + g[8],
  );
  const away = cross(right, down);
  const unit = Math.sqrt(Math.hypot(...right) * Math.hypot(...down));
  const height = (unit * dot(away, centre)) / dot(away, away);
  const acrossDown = cross(down, away);
  const acrossRight = cross(right, away);
  const sight = {
    right: -dot(centre, acrossDown) / dot(right, acrossDown),
    down: -dot(centre, acrossRight) / dot(down, acrossRight),
    height,
  };
  return height > 1 && Number.isFinite(sight.right + sight.down) ? sight : null;
}

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
 * Print that is seen where the flat board would show (u, v), grid units. The height is a root of a
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

/**
 * Makes the patch lead from pixels to where the flat board would have the same print, so that the
 * bend costs the loop over pixels nothing.
 */
export function bendPatch(
  patch: StraightPatch,
  gridFromPlane: Float64Array,
  bend: BoardBend,
  sight: Sight,
): void {
  const m = gridFromPlane;
  const g = invertHomography(m);
  const plane = patch.flat.slice();
  for (let k = 0; k < plane.length; k += 2) {
    const w = 1 / (m[6] * plane[k] + m[7] * plane[k + 1] + 1);
    const [u, v] = printSeenAt(
      bend,
      sight,
      (m[0] * plane[k] + m[1] * plane[k + 1] + m[2]) * w,
      (m[3] * plane[k] + m[4] * plane[k + 1] + m[5]) * w,
    );
    const back = 1 / (g[6] * u + g[7] * v + g[8]);
    plane[k] = (g[0] * u + g[1] * v + g[2]) * back;
    plane[k + 1] = (g[3] * u + g[4] * v + g[5]) * back;
  }
  fitPatch(patch, plane);
}

import { solveSquare } from "../numerics/dense.ts";

/**
 * Plane-to-picture homography of one sheet photo, for a start lens only: direct linear transform
 * with both point sets centred and scaled (Hartley 1997), h33 = 1 fixed. The last is safe because
 * after centring the plane's origin lies amid the points, in front of the camera.
 */

type Centring = { readonly x: number; readonly y: number; readonly scale: number };

const centre = (points: ArrayLike<number>): Centring => {
  const n = points.length / 2;
  let x = 0;
  let y = 0;
  for (let i = 0; i < n; i++) {
    x += points[2 * i] / n;
    y += points[2 * i + 1] / n;
  }
  let spread = 0;
  for (let i = 0; i < n; i++)
    spread += Math.hypot(points[2 * i] - x, points[2 * i + 1] - y) / n / Math.SQRT2;
  return { x, y, scale: spread > 0 ? 1 / spread : 0 };
};

/**
 * Homography (3 x 3 row-major) that takes plane points x0 y0 .. to pixels; null for fewer than four
 * points or points on a line.
 */
export const planeHomography = (
  plane: ArrayLike<number>,
  pixels: ArrayLike<number>,
): number[] | null => {
  const n = Math.min(plane.length, pixels.length) / 2;
  if (n < 4) return null;
  const a = centre(plane);
  const b = centre(pixels);
  const normal = new Float64Array(64);
  const right = new Float64Array(8);
  const gather = (row: readonly number[], value: number) => {
    for (let i = 0; i < 8; i++) {
      right[i] += row[i] * value;
      for (let j = 0; j < 8; j++) normal[8 * i + j] += row[i] * row[j];
    }
  };
  for (let i = 0; i < n; i++) {
    const x = (plane[2 * i] - a.x) * a.scale;
    const y = (plane[2 * i + 1] - a.y) * a.scale;
    const u = (pixels[2 * i] - b.x) * b.scale;
    const v = (pixels[2 * i + 1] - b.y) * b.scale;
    gather([x, y, 1, 0, 0, 0, -u * x, -u * y], u);
    gather([0, 0, 0, x, y, 1, -v * x, -v * y], v);
  }
  const h = solveSquare(normal, right, 8);
  if (!h?.every(Number.isFinite) || b.scale === 0 || isDegenerate(h)) return null;
  return withoutCentring([...h, 1], a, b);
};

/** Points on a line leave the system singular; rounding then gives huge, meaningless numbers. */
const isDegenerate = (h: ArrayLike<number>): boolean => Math.max(...Array.from(h, Math.abs)) > 1e5;

/** H = B^-1 h A for the two centrings A, B. */
const withoutCentring = (h: readonly number[], a: Centring, b: Centring): number[] => {
  const columns = [0, 1, 2].map((k) => {
    const [u, v, w] = [h[k], h[3 + k], h[6 + k]];
    return [u / b.scale + b.x * w, v / b.scale + b.y * w, w];
  });
  return [0, 1, 2].flatMap((r) => [
    columns[0][r] * a.scale,
    columns[1][r] * a.scale,
    columns[2][r] - a.scale * (a.x * columns[0][r] + a.y * columns[1][r]),
  ]);
};

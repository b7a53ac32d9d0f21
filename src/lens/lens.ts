import type { Vec3 } from "../maths/pose.ts";
import type { Pixels } from "../maths/units.ts";

/**
 * Pinhole lens with Brown distortion, in the order and sign of OpenCV: k1 k2 p1 p2 k3.
 * Pixels: x right, y down, the centre of the top-left pixel is (0, 0). Camera frame: x right,
 * y down, z into the scene.
 */
export interface Lens {
  readonly fx: Pixels;
  readonly fy: Pixels;
  readonly cx: Pixels;
  readonly cy: Pixels;
  readonly k1: number;
  readonly k2: number;
  readonly p1: number;
  readonly p2: number;
  readonly k3: number;
}

/** Order of the lens parameters in every vector and covariance. */
export const lensOrder = ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2", "k3"] as const;
export const lensSize = lensOrder.length;

/**
 * What autofocus and image stabilisation changed in one photo: both focal lengths are multiplied
 * by (1 + focal), the principal point moves by (shiftX, shiftY) pixels.
 */
export interface PhotoChange {
  readonly focal: number;
  readonly shiftX: Pixels;
  readonly shiftY: Pixels;
}

const noPhotoChange: PhotoChange = { focal: 0, shiftX: 0, shiftY: 0 };

/** The nine lens numbers in `lensOrder`. */
export const lensToVector = (lens: Lens): Float64Array =>
  Float64Array.from(lensOrder, (name) => lens[name]);

/** A lens from nine numbers in `lensOrder`. */
export const lensFromVector = (v: ArrayLike<number>, at = 0): Lens => ({
  fx: v[at],
  fy: v[at + 1],
  cx: v[at + 2],
  cy: v[at + 3],
  k1: v[at + 4],
  k2: v[at + 5],
  p1: v[at + 6],
  p2: v[at + 7],
  k3: v[at + 8],
});

/** Brown distortion of a normalised image point (x, y) = (X/Z, Y/Z). */
export const distort = (lens: Lens, x: number, y: number): [number, number] => {
  const r2 = x * x + y * y;
  const radial = 1 + r2 * (lens.k1 + r2 * (lens.k2 + r2 * lens.k3));
  return [
    x * radial + 2 * lens.p1 * x * y + lens.p2 * (r2 + 2 * x * x),
    y * radial + lens.p1 * (r2 + 2 * y * y) + 2 * lens.p2 * x * y,
  ];
};

/**
 * Undoes the distortion of a normalised point by Newton steps on both coordinates.
 * Returns null where the model folds back and no inverse exists.
 */
export const undistort = (lens: Lens, xd: number, yd: number): [number, number] | null => {
  let x = xd;
  let y = yd;
  for (let i = 0; i < 30; i++) {
    const { value, jacobian: j } = distortWithJacobian(lens, x, y);
    const ex = value[0] - xd;
    const ey = value[1] - yd;
    const det = j[0] * j[3] - j[1] * j[2];
    if (!(det > 1e-6)) return null;
    x -= (j[3] * ex - j[1] * ey) / det;
    y -= (j[0] * ey - j[2] * ex) / det;
    if (Math.abs(ex) + Math.abs(ey) < 1e-14) return [x, y];
  }
  const [cx, cy] = distort(lens, x, y);
  return Math.hypot(cx - xd, cy - yd) < 1e-9 ? [x, y] : null;
};

/** distort() with its 2 x 2 Jacobian with respect to (x, y), row-major. */
const distortWithJacobian = (
  lens: Lens,
  x: number,
  y: number,
): { value: [number, number]; jacobian: [number, number, number, number] } => {
  const { k1, k2, k3, p1, p2 } = lens;
  const r2 = x * x + y * y;
  const radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
  const slope = 2 * (k1 + r2 * (2 * k2 + 3 * r2 * k3)); // d(radial)/d(r2) times 2
  const crossTerm = slope * x * y + 2 * p1 * x + 2 * p2 * y;
  return {
    value: [
      x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x),
      y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y,
    ],
    jacobian: [
      radial + slope * x * x + 2 * p1 * y + 6 * p2 * x,
      crossTerm,
      crossTerm,
      radial + slope * y * y + 6 * p1 * y + 2 * p2 * x,
    ],
  };
};

/** Pixel of a point in the camera frame; null where the point is not in front of the camera. */
export const project = (
  lens: Lens,
  point: Vec3,
  change: PhotoChange = noPhotoChange,
): [Pixels, Pixels] | null => {
  if (!(point[2] > 0)) return null;
  const [xd, yd] = distort(lens, point[0] / point[2], point[1] / point[2]);
  return [
    lens.fx * (1 + change.focal) * xd + lens.cx + change.shiftX,
    lens.fy * (1 + change.focal) * yd + lens.cy + change.shiftY,
  ];
};

/** Normalised, undistorted image point (X/Z, Y/Z) of a pixel; null where no inverse exists. */
export const unproject = (
  lens: Lens,
  u: Pixels,
  v: Pixels,
  change: PhotoChange = noPhotoChange,
): [number, number] | null =>
  undistort(
    lens,
    (u - lens.cx - change.shiftX) / (lens.fx * (1 + change.focal)),
    (v - lens.cy - change.shiftY) / (lens.fy * (1 + change.focal)),
  );

import { add, type Mat3, matVec, type Pose, scale, sub, type Vec3 } from "../geometry/pose.ts";
import { symmetricEigen } from "../numerics/dense.ts";

/**
 * Absolute orientation: the rigid motion (or similarity) that takes points a to points b with the
 * least sum of squares. Rotation from the largest eigenvector of Horn's 4 x 4 matrix (B. K. P.
 * Horn, J. Opt. Soc. Am. A 4, 1987, 629); the scale is the one that minimises the squares in b:
 * s = sum b'.(R a') / sum a'.a'.
 */
export interface Alignment {
  /** b = scale R a + t. */
  readonly bFromA: Pose;
  readonly scale: number;
  /** Sum of squared distances left. */
  readonly squares: number;
}

export const alignPoints = (
  a: readonly Vec3[],
  b: readonly Vec3[],
  withScale = false,
): Alignment => {
  if (a.length !== b.length || a.length < 3) {
    throw new RangeError("An alignment needs at least three points in both sets.");
  }
  const [ca, cb] = [centroid(a), centroid(b)];
  const pa = a.map((p) => sub(p, ca));
  const pb = b.map((p) => sub(p, cb));
  const R = hornRotation(pa, pb);
  const factor = withScale ? bestScale(pa, pb, R) : 1;
  const t = sub(cb, scale(matVec(R, ca), factor));
  const squares = a.reduce((sum, p, i) => {
    const left = sub(b[i], add(scale(matVec(R, p), factor), t));
    return sum + left[0] ** 2 + left[1] ** 2 + left[2] ** 2;
  }, 0);
  return { bFromA: { R, t }, scale: factor, squares };
};

const centroid = (points: readonly Vec3[]): Vec3 =>
  scale(points.reduce<Vec3>(add, [0, 0, 0]), 1 / points.length);

const bestScale = (pa: readonly Vec3[], pb: readonly Vec3[], R: Mat3): number => {
  let [cross, own] = [0, 0];
  pa.forEach((p, i) => {
    const turned = matVec(R, p);
    for (let k = 0; k < 3; k++) {
      cross += turned[k] * pb[i][k];
      own += p[k] * p[k];
    }
  });
  return cross / own;
};

const hornRotation = (pa: readonly Vec3[], pb: readonly Vec3[]): Mat3 => {
  const s = new Float64Array(9);
  pa.forEach((p, i) => {
    for (let r = 0; r < 3; r++) for (let c = 0; c < 3; c++) s[3 * r + c] += p[r] * pb[i][c];
  });
  const [xx, xy, xz, yx, yy, yz, zx, zy, zz] = s;
  const n = Float64Array.of(
    xx + yy + zz,
    yz - zy,
    zx - xz,
    xy - yx,
    yz - zy,
    xx - yy - zz,
    xy + yx,
    zx + xz,
    zx - xz,
    xy + yx,
    -xx + yy - zz,
    yz + zy,
    xy - yx,
    zx + xz,
    yz + zy,
    -xx - yy + zz,
  );
  const { values, vectors } = symmetricEigen(n, 4);
  const k = values.indexOf(Math.max(...values));
  const [w, x, y, z] = [0, 1, 2, 3].map((i) => vectors[4 * i + k]);
  return [
    w * w + x * x - y * y - z * z,
    2 * (x * y - w * z),
    2 * (x * z + w * y),
    2 * (x * y + w * z),
    w * w - x * x + y * y - z * z,
    2 * (y * z - w * x),
    2 * (x * z - w * y),
    2 * (y * z + w * x),
    w * w - x * x - y * y + z * z,
  ];
};

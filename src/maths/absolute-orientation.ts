import { symmetricEigen } from "./dense.ts";
import { add, type Mat3, matVec, type Pose, scale, sub, type Vec3 } from "./pose.ts";

/**
 * Rigid motion bFromA that takes points a_i to points b_i with the smallest sum of squares.
 * Closed form by the unit quaternion (Horn 1987, J. Opt. Soc. Am. A 4, 629): the quaternion is the
 * eigenvector of the largest eigenvalue of a symmetric 4 x 4 matrix of the cross products.
 * Needs at least three points that are not on one line; with fewer the rotation is arbitrary.
 */
export const absoluteOrientation = (a: readonly Vec3[], b: readonly Vec3[]): Pose => {
  if (a.length !== b.length || a.length === 0)
    throw new RangeError(`absoluteOrientation: ${a.length} and ${b.length} points`);
  const centreA = mean(a);
  const centreB = mean(b);
  const R = rotationOf(horn(a, b, centreA, centreB));
  return { R, t: sub(centreB, matVec(R, centreA)) };
};

const mean = (points: readonly Vec3[]): Vec3 =>
  scale(
    points.reduce<Vec3>((sum, p) => add(sum, p), [0, 0, 0]),
    1 / points.length,
  );

/** Horn's symmetric 4 x 4 matrix, row-major; order of the quaternion w x y z. */
const horn = (
  a: readonly Vec3[],
  b: readonly Vec3[],
  centreA: Vec3,
  centreB: Vec3,
): Float64Array => {
  const s = new Float64Array(9);
  for (const [i, point] of a.entries()) {
    const p = sub(point, centreA);
    const q = sub(b[i], centreB);
    for (let r = 0; r < 3; r++) for (let c = 0; c < 3; c++) s[3 * r + c] += p[r] * q[c];
  }
  const [xx, xy, xz, yx, yy, yz, zx, zy, zz] = s;
  return Float64Array.of(
    ...[xx + yy + zz, yz - zy, zx - xz, xy - yx],
    ...[yz - zy, xx - yy - zz, xy + yx, zx + xz],
    ...[zx - xz, xy + yx, yy - xx - zz, yz + zy],
    ...[xy - yx, zx + xz, yz + zy, zz - xx - yy],
  );
};

const rotationOf = (matrix: Float64Array): Mat3 => {
  const { values, vectors } = symmetricEigen(matrix, 4);
  let best = 0;
  for (let k = 1; k < 4; k++) if (values[k] > values[best]) best = k;
  const [w, x, y, z] = [0, 1, 2, 3].map((i) => vectors[4 * i + best]);
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

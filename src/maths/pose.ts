import type { Degrees, Radians } from "./units.ts";

/**
 * Rigid motions and rotations.
 *
 * A pose is named for what it does: `bayFromBoard` takes board coordinates to bay coordinates,
 * x_bay = R x_board + t. Lengths are millimetres, angles radians. Matrices are 3 x 3 row-major.
 *
 * Tangent space of a pose (used by every Jacobian and covariance in the project), six numbers:
 * [wx, wy, wz, tx, ty, tz] with R <- R Exp(w) (turn about the moving frame's own axes) and
 * t <- t + (tx, ty, tz) (shift along the fixed frame's axes).
 */

export type Vec3 = readonly [number, number, number];
/** Row-major 3 x 3. */
export type Mat3 = readonly [
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
  number,
];

export interface Pose {
  readonly R: Mat3;
  readonly t: Vec3;
}

export const identity3: Mat3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];
export const identityPose: Pose = { R: identity3, t: [0, 0, 0] };

export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const scale = (a: Vec3, s: number): Vec3 => [a[0] * s, a[1] * s, a[2] * s];
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
/** Plainly, not by `Math.hypot`, which is several times slower: lengths here are nowhere near overflow. */
export const norm = ([x, y, z]: Vec3): number => Math.sqrt(x * x + y * y + z * z);
export const unit = (a: Vec3): Vec3 => scale(a, 1 / norm(a));
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

export const matVec = (m: Mat3, v: Vec3): Vec3 => [
  m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
  m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
  m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
];

export const transpose = (m: Mat3): Mat3 => [m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8]];

export const matMul = (a: Mat3, b: Mat3): Mat3 => [
  a[0] * b[0] + a[1] * b[3] + a[2] * b[6],
  a[0] * b[1] + a[1] * b[4] + a[2] * b[7],
  a[0] * b[2] + a[1] * b[5] + a[2] * b[8],
  a[3] * b[0] + a[4] * b[3] + a[5] * b[6],
  a[3] * b[1] + a[4] * b[4] + a[5] * b[7],
  a[3] * b[2] + a[4] * b[5] + a[5] * b[8],
  a[6] * b[0] + a[7] * b[3] + a[8] * b[6],
  a[6] * b[1] + a[7] * b[4] + a[8] * b[7],
  a[6] * b[2] + a[7] * b[5] + a[8] * b[8],
];

/** Column k (0, 1, 2) of a matrix: the moving frame's axis k seen in the fixed frame. */
export const column = (m: Mat3, k: 0 | 1 | 2): Vec3 => [m[k], m[k + 3], m[k + 6]];

/** Cross-product matrix: skew(a) b = a x b. */
export const skew = (a: Vec3): Mat3 => [0, -a[2], a[1], a[2], 0, -a[0], -a[1], a[0], 0];

/** x_b = transform(bFromA, x_a). */
export const transform = (bFromA: Pose, x: Vec3): Vec3 => add(matVec(bFromA.R, x), bFromA.t);

/** compose(aFromB, bFromC) = aFromC. */
export const compose = (aFromB: Pose, bFromC: Pose): Pose => ({
  R: matMul(aFromB.R, bFromC.R),
  t: transform(aFromB, bFromC.t),
});

/** invert(bFromA) = aFromB. */
export const invert = (bFromA: Pose): Pose => {
  const R = transpose(bFromA.R);
  return { R, t: scale(matVec(R, bFromA.t), -1) };
};

/**
 * Exponential map: rotation vector (axis times angle, rad) to matrix, by Rodrigues' formula,
 * with series for the two coefficients near zero so that no accuracy is lost.
 */
export const expRotation = (w: Vec3): Mat3 => {
  const theta2 = dot(w, w);
  const theta = Math.sqrt(theta2);
  const small = theta2 < 1e-8;
  const a = small ? 1 - theta2 / 6 : Math.sin(theta) / theta;
  const b = small ? 0.5 - theta2 / 24 : (1 - Math.cos(theta)) / theta2;
  const [x, y, z] = w;
  return [
    1 - b * (y * y + z * z),
    b * x * y - a * z,
    b * x * z + a * y,
    b * x * y + a * z,
    1 - b * (x * x + z * z),
    b * y * z - a * x,
    b * x * z - a * y,
    b * y * z + a * x,
    1 - b * (x * x + y * y),
  ];
};

/**
 * Logarithm of a rotation: rotation vector of length at most pi. Goes through the unit quaternion
 * (Shepperd's choice of the largest component), so it stays accurate near zero and near pi.
 */
export const logRotation = (R: Mat3): Vec3 => {
  const trace = R[0] + R[4] + R[8];
  const largest = Math.max(trace, R[0], R[4], R[8]);
  let q: [number, number, number, number];
  if (largest === trace) q = [1 + trace, R[7] - R[5], R[2] - R[6], R[3] - R[1]];
  else if (largest === R[0]) q = [R[7] - R[5], 1 + R[0] - R[4] - R[8], R[1] + R[3], R[2] + R[6]];
  else if (largest === R[4]) q = [R[2] - R[6], R[1] + R[3], 1 - R[0] + R[4] - R[8], R[5] + R[7]];
  else q = [R[3] - R[1], R[2] + R[6], R[5] + R[7], 1 - R[0] - R[4] + R[8]];
  const length = Math.hypot(...q) * (q[0] < 0 ? -1 : 1);
  const [w, x, y, z] = [q[0] / length, q[1] / length, q[2] / length, q[3] / length];
  const s = Math.hypot(x, y, z);
  const factor = s < 1e-12 ? 2 : (2 * Math.atan2(s, w)) / s;
  return [x * factor, y * factor, z * factor];
};

/** Moves a pose by six tangent numbers (see the head of this file), read from `delta[at..at+5]`. */
export const retract = (pose: Pose, delta: ArrayLike<number>, at = 0): Pose => ({
  R: matMul(pose.R, expRotation([delta[at], delta[at + 1], delta[at + 2]])),
  t: [pose.t[0] + delta[at + 3], pose.t[1] + delta[at + 4], pose.t[2] + delta[at + 5]],
});

/** Tangent numbers d with retract(from, d) = to. */
export const localCoordinates = (from: Pose, to: Pose): number[] => [
  ...logRotation(matMul(transpose(from.R), to.R)),
  ...sub(to.t, from.t),
];

export const degrees = (radians: Radians): Degrees => (radians * 180) / Math.PI;
export const radians = (deg: Degrees): Radians => (deg * Math.PI) / 180;

/**
 * Rotation from yaw, pitch, roll: R = Rz(yaw) Ry(pitch) Rx(roll), right-handed (ISO 8855 order).
 */
export const rotationFromYawPitchRoll = (yaw: Radians, pitch: Radians, roll: Radians): Mat3 =>
  matMul(matMul(expRotation([0, 0, yaw]), expRotation([0, pitch, 0])), expRotation([roll, 0, 0]));

/** Inverse of rotationFromYawPitchRoll; pitch in [-pi/2, pi/2]. */
export const yawPitchRoll = (R: Mat3): { yaw: Radians; pitch: Radians; roll: Radians } => ({
  yaw: Math.atan2(R[3], R[0]),
  pitch: Math.atan2(-R[6], Math.hypot(R[0], R[3])),
  roll: Math.atan2(R[7], R[8]),
});

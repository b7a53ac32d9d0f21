import { solveSquare } from "./dense.ts";
import { fitHomography, type Homography } from "./homography.ts";
import {
  cross,
  dot,
  expRotation,
  type Mat3,
  matMul,
  norm,
  type Pose,
  retract,
  scale,
  unit,
  type Vec3,
} from "./pose.ts";

/** One of the at most two poses of a plane that explain its image. */
export interface PlanarPose {
  /** cameraFromPlane. */
  readonly pose: Pose;
  /** Root mean square distance in the normalised image (X/Z, Y/Z). */
  readonly rms: number;
}

/**
 * Poses of a plane from the normalised, undistorted image points (X/Z, Y/Z) of n >= 4 points on
 * it: first the better, then, where it exists, the second local minimum. Far away the two fit
 * almost equally well (planar ambiguity: Schweighofer & Pinz 2006; Collins & Bartoli 2014), so a
 * caller must keep both until other photos decide. The first comes from the homography and is
 * refined; the second starts from the plane's normal mirrored about the line of sight.
 * `plane` holds x0 y0 x1 y1 .. in mm, `image` the same points' image.
 */
export const planarPoses = (
  plane: ArrayLike<number>,
  image: ArrayLike<number>,
): readonly PlanarPose[] => {
  const h = fitHomography(plane, image);
  const start = h && poseFromHomography(h);
  if (!start) return [];
  const found: PlanarPose[] = [];
  for (const candidate of [start, mirrorPlane(start)]) {
    const refined = refinePlanarPose(plane, image, candidate);
    if (refined && !found.some((other) => samePose(other.pose, refined.pose))) found.push(refined);
  }
  // The mirror image of what came out of the first may lead on where the homography was poor.
  if (found.length === 1) {
    const again = refinePlanarPose(plane, image, mirrorPlane(found[0].pose));
    if (again && !samePose(again.pose, found[0].pose)) found.push(again);
  }
  return found.sort((a, b) => a.rms - b.rms);
};

/** Zhang 2000, section 3.1: columns of H are r1, r2, t up to a scale; the rotation is then made exact. */
const poseFromHomography = (h: Homography): Pose | null => {
  const size = Math.sqrt(norm([h[0], h[3], h[6]]) * norm([h[1], h[4], h[7]]));
  if (!(size > 0)) return null;
  const s = (h[8] < 0 ? -1 : 1) / size;
  const a: Vec3 = [h[0] * s, h[3] * s, h[6] * s];
  const b: Vec3 = [h[1] * s, h[4] * s, h[7] * s];
  const t: Vec3 = [h[2] * s, h[5] * s, h[8] * s];
  // Symmetric orthogonalisation of the two columns: half angles about their bisectors.
  const sum = unit([
    a[0] / norm(a) + b[0] / norm(b),
    a[1] / norm(a) + b[1] / norm(b),
    a[2] / norm(a) + b[2] / norm(b),
  ]);
  const difference = unit([
    a[0] / norm(a) - b[0] / norm(b),
    a[1] / norm(a) - b[1] / norm(b),
    a[2] / norm(a) - b[2] / norm(b),
  ]);
  const r1 = scale(
    [sum[0] + difference[0], sum[1] + difference[1], sum[2] + difference[2]],
    Math.SQRT1_2,
  );
  const r2 = scale(
    [sum[0] - difference[0], sum[1] - difference[1], sum[2] - difference[2]],
    Math.SQRT1_2,
  );
  const r3 = cross(r1, r2);
  const R: Mat3 = [r1[0], r2[0], r3[0], r1[1], r2[1], r3[1], r1[2], r2[2], r3[2]];
  return R.every(Number.isFinite) && t[2] > 0 ? { R, t } : null;
};

/**
 * The pose whose plane normal is mirrored about the line of sight to the plane's origin. Up to
 * perspective effects of the plane's own size it has the same image.
 */
export const mirrorPlane = (pose: Pose): Pose => {
  const sight = unit(pose.t);
  const normal: Vec3 = [pose.R[2], pose.R[5], pose.R[8]];
  const axis = cross(sight, normal);
  const sine = norm(axis);
  if (sine < 1e-9) return pose;
  const angle = -2 * Math.atan2(sine, dot(sight, normal));
  return { R: matMul(expRotation(scale(axis, angle / sine)), pose.R), t: pose.t };
};

const samePose = (a: Pose, b: Pose): boolean => {
  let trace = 0;
  for (let i = 0; i < 9; i++) trace += a.R[i] * b.R[i];
  return trace > 3 - 1e-5;
};

/** Gauss-Newton with step control on the six numbers of the pose; null where it leaves the front. */
const refinePlanarPose = (
  plane: ArrayLike<number>,
  image: ArrayLike<number>,
  start: Pose,
): PlanarPose | null => {
  let pose = start;
  let current = normals(plane, image, pose);
  if (!current) return null;
  let lambda = 1e-6;
  for (let i = 0; i < 60; i++) {
    const damped = Float64Array.from(current.n);
    for (let k = 0; k < 6; k++) damped[k * 7] *= 1 + lambda;
    const step = solveSquare(
      damped,
      current.g.map((v) => -v),
      6,
    );
    if (!step) return null;
    const trial = retract(pose, step);
    const next = normals(plane, image, trial);
    if (next && next.cost <= current.cost) {
      const gain = current.cost - next.cost;
      pose = trial;
      current = next;
      lambda = Math.max(lambda * 0.1, 1e-12);
      if (gain <= 1e-13 * next.cost + 1e-26) break;
    } else {
      lambda *= 20;
      if (lambda > 1e8) break;
    }
  }
  return { pose, rms: Math.sqrt((current.cost / plane.length) * 2) };
};

const normals = (
  plane: ArrayLike<number>,
  image: ArrayLike<number>,
  pose: Pose,
): { n: Float64Array; g: Float64Array; cost: number } | null => {
  const n = new Float64Array(36);
  const g = new Float64Array(6);
  const row = new Float64Array(6);
  const { R, t } = pose;
  let cost = 0;
  for (let i = 0; i < plane.length; i += 2) {
    const px = plane[i];
    const py = plane[i + 1];
    const z = R[6] * px + R[7] * py + t[2];
    if (!(z > 0)) return null;
    const x = (R[0] * px + R[1] * py + t[0]) / z;
    const y = (R[3] * px + R[4] * py + t[1]) / z;
    for (let axis = 0; axis < 2; axis++) {
      // Derivative of the image coordinate along the fixed axes, then through R [p]x.
      row[3] = axis === 0 ? 1 / z : 0;
      row[4] = axis === 1 ? 1 / z : 0;
      row[5] = -(axis === 0 ? x : y) / z;
      const mz = row[3] * R[2] + row[4] * R[5] + row[5] * R[8];
      row[0] = py * mz;
      row[1] = -px * mz;
      row[2] =
        px * (row[3] * R[1] + row[4] * R[4] + row[5] * R[7]) -
        py * (row[3] * R[0] + row[4] * R[3] + row[5] * R[6]);
      const r = axis === 0 ? x - image[i] : y - image[i + 1];
      cost += r * r;
      for (let a = 0; a < 6; a++) {
        g[a] += row[a] * r;
        for (let b = 0; b < 6; b++) n[a * 6 + b] += row[a] * row[b];
      }
    }
  }
  return { n, g, cost };
};

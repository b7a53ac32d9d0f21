import { type Lens, lensFromVector, lensSize, lensToVector, project } from "../../lens/lens.ts";
import { cholesky, choleskySolve } from "../../maths/dense.ts";
import { type Pose, retract, transform } from "../../maths/pose.ts";

/**
 * Information about the lens in one sheet photo, taken or only planned: the 9 x 9 information matrix
 * that is left after the photo's own pose, focal change and shift are eliminated (Schur
 * complement of its normal equations). Informations of several photos of a flat sheet add up, and
 * the inverse of the sum plus the prior's is the covariance that an adjustment of them would give.
 * This is planning, for guidance while photos come in; results come from the adjustment.
 */

export interface ImaginedView {
  /** Camera from sheet, mm; sheet x right, y up, z out of the face. */
  readonly cameraFromSheet: Pose;
  /** Features x0 y0 .., mm on the sheet. */
  readonly pointsMm: ArrayLike<number>;
  readonly noisePx: number;
}

/** Standard deviations of what changes from photo to photo. */
export interface Spread {
  /** Of the relative change of the focal length (1 = 100 %). */
  readonly focalSd: number;
  /** Of the principal point's shift, px in each direction. */
  readonly shiftSdPx: number;
}

/** Nine lens numbers, six of the pose, three of the photo's change. */
const unknowns = lensSize + 9;
const ownUnknowns = 9;

/**
 * Information about the lens in one view: 9 x 9, row-major, lensOrder, in 1 / (unit of the number)^2.
 * Points behind the camera are left out; a view that does not determine its own pose gives zeros.
 */
export const viewInformation = (lens: Lens, view: ImaginedView, spread: Spread): Float64Array => {
  const normal = new Float64Array(unknowns * unknowns);
  const row = new Float64Array(unknowns);
  for (let i = 0; i + 1 < view.pointsMm.length; i += 2) {
    const derivative = pointDerivative(lens, view.cameraFromSheet, [
      view.pointsMm[i],
      view.pointsMm[i + 1],
    ]);
    if (!derivative) continue;
    for (const side of [0, 1]) {
      for (let a = 0; a < unknowns; a++) row[a] = derivative[2 * a + side] / view.noisePx;
      for (let a = 0; a < unknowns; a++)
        for (let b = 0; b <= a; b++) normal[a * unknowns + b] += row[a] * row[b];
    }
  }
  const priors = [spread.focalSd, spread.shiftSdPx, spread.shiftSdPx];
  for (const [k, sd] of priors.entries())
    normal[(lensSize + 6 + k) * (unknowns + 1)] += 1 / sd ** 2;
  for (let a = 0; a < unknowns; a++)
    for (let b = 0; b < a; b++) normal[b * unknowns + a] = normal[a * unknowns + b];
  return eliminateOwn(normal);
};

/** N_ll - N_lo N_oo^-1 N_ol. */
const eliminateOwn = (normal: Float64Array): Float64Array => {
  const n = ownUnknowns;
  const own = new Float64Array(n * n);
  for (let a = 0; a < n; a++)
    for (let b = 0; b < n; b++) own[a * n + b] = normal[(lensSize + a) * unknowns + lensSize + b];
  const information = new Float64Array(lensSize * lensSize);
  if (cholesky(own, n).failedAt >= 0) return information;
  for (let j = 0; j < lensSize; j++) {
    const column = Float64Array.from(
      { length: n },
      (_, a) => normal[(lensSize + a) * unknowns + j],
    );
    choleskySolve(own, n, column);
    for (let i = 0; i < lensSize; i++) {
      let sum = normal[i * unknowns + j];
      for (let a = 0; a < n; a++) sum -= normal[i * unknowns + lensSize + a] * column[a];
      information[i * lensSize + j] = sum;
    }
  }
  return information;
};

/** Step sizes of the central differences: lens, then pose (rad, mm), then change. */
const steps = [1, 1, 1, 1, 1e-4, 1e-4, 1e-5, 1e-5, 1e-4, 1e-5, 1e-5, 1e-5, 1e-2, 1e-2, 1e-2];

/** du/d., dv/d. for every unknown, interleaved; null behind the camera. */
const pointDerivative = (
  lens: Lens,
  cameraFromSheet: Pose,
  [x, y]: readonly [number, number],
): Float64Array | null => {
  const out = new Float64Array(2 * unknowns);
  const base = lensToVector(lens);
  for (let a = 0; a < lensSize + 6; a++) {
    const at = (sign: number) => {
      const lensMoved = base.slice();
      const delta = new Float64Array(6);
      if (a < lensSize) lensMoved[a] += sign * steps[a];
      else delta[a - lensSize] = sign * steps[a];
      const pose = a < lensSize ? cameraFromSheet : retract(cameraFromSheet, delta);
      return project(lensFromVector(lensMoved), transform(pose, [x, y, 0]));
    };
    const forward = at(1);
    const backward = at(-1);
    if (!forward || !backward) return null;
    for (const side of [0, 1])
      out[2 * a + side] = (forward[side] - backward[side]) / (2 * steps[a]);
  }
  const focal = lensSize + 6;
  out[2 * focal] = lens.fx * out[0];
  out[2 * focal + 1] = lens.fy * out[3];
  out[2 * (focal + 1)] = 1;
  out[2 * (focal + 2) + 1] = 1;
  return out;
};

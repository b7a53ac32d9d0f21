import type { Lens } from "../../lens/lens.ts";
import { compose, type Mat3, type Vec3 } from "../../maths/pose.ts";
import { type Bend, bentPoint, bentPointDerivatives } from "../problem/board-shape.ts";
import type { Layout } from "../problem/layout.ts";
import { type LineTimes, motionSize } from "../problem/motion.ts";
import type { BoardObservation } from "../problem/problem.ts";
import { cellOf, changeOf, lensOf, type State } from "../problem/state.ts";
import { scratch } from "./factor.ts";

/**
 * How a photo's pixels of a board follow from its inner numbers, in this order: turn of
 * cameraFromBoard (3, rad), shift (3, mm), lens as it was in that photo (9, lensOrder), logarithm of
 * the board's size (1), its stretch (1), bend (3, 1/mm), and the motion during the read-out (turn,
 * shift, sway; 9). See pose.ts for the tangent space and motion.ts for the motion.
 */
export const lensAt = 6;
export const sizeAt = 15;
export const stretchAt = 16;
export const bendAt = 17;
export const motionAt = 20;
export const innerSize = 29;

/** cameraFromBoard, the lens as it was in this photo, and the board as printed (mm). */
interface ViewGeometry {
  readonly R: Mat3;
  readonly t: Vec3;
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly lens: Lens;
  readonly cell: { readonly width: number; readonly height: number };
  readonly bend: Bend;
  /** Turn, shift and sway of all photos, and where this one's begin. */
  readonly motion: Float64Array;
  readonly own: number;
}

const viewGeometry = (layout: Layout, state: State, photo: number, board: number): ViewGeometry => {
  const lens = lensOf(state, layout.photoPlaces[photo].camera);
  const change = changeOf(state, photo);
  const { R, t } = compose(state.photoPose[photo], state.boardPose[board]);
  return {
    R,
    t,
    fx: lens.fx * (1 + change.focal),
    fy: lens.fy * (1 + change.focal),
    cx: lens.cx + change.shiftX,
    cy: lens.cy + change.shiftY,
    lens,
    cell: cellOf(layout, state, board),
    bend: bendOf(state, board),
    motion: state.photoMotion,
    own: motionSize * photo,
  };
};

const bendOf = (state: State, board: number): Bend => ({
  m: state.bend[3 * board],
  d: state.bend[3 * board + 1],
  e: state.bend[3 * board + 2],
});

/**
 * Predicted minus observed pixels, 2n; false where a point is not in front of the camera. The Brown
 * formulas of src/lens/lens.ts are repeated here and once more below: this is the innermost loop.
 */
export const projectionResiduals = (
  layout: Layout,
  state: State,
  photo: number,
  board: number,
  observation: BoardObservation,
  times: LineTimes | null,
  out: Float64Array,
): boolean => {
  const geometry = viewGeometry(layout, state, photo, board);
  const { R, t, fx, fy, cx, cy, lens, cell, bend, motion, own: m } = geometry;
  const { k1, k2, k3, p1, p2 } = lens;
  const { boardPoints, pixels } = observation;
  const p = scratch("point of a board", 3);
  for (let i = 0; i < pixels.length; i += 2) {
    bentPoint(bend, boardPoints[i] * cell.width, boardPoints[i + 1] * cell.height, p);
    const px = p[0];
    const py = p[1];
    const pz = p[2];
    let X = R[0] * px + R[1] * py + R[2] * pz + t[0];
    let Y = R[3] * px + R[4] * py + R[5] * pz + t[1];
    let z = R[6] * px + R[7] * py + R[8] * pz + t[2];
    if (times) {
      const a = times.linear[i >> 1];
      const q = times.bent[i >> 1];
      const wx = a * motion[m] + q * motion[m + 6];
      const wy = a * motion[m + 1] + q * motion[m + 7];
      const wz = a * motion[m + 2] + q * motion[m + 8];
      const x0 = X;
      const y0 = Y;
      const z0 = z;
      X += wy * z0 - wz * y0 + a * motion[m + 3];
      Y += wz * x0 - wx * z0 + a * motion[m + 4];
      z += wx * y0 - wy * x0 + a * motion[m + 5];
    }
    if (!(z > 1e-3)) return false;
    const x = X / z;
    const y = Y / z;
    const r2 = x * x + y * y;
    const radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
    out[i] = fx * (x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x)) + cx - pixels[i];
    out[i + 1] = fy * (y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y) + cy - pixels[i + 1];
  }
  return true;
};

/**
 * Residuals (px) and their derivatives (2n x stride, row-major, the first innerSize of a row) by all
 * inner numbers; false where a point is not in front of the camera.
 */
export const lineariseProjection = (
  layout: Layout,
  state: State,
  photo: number,
  board: number,
  observation: BoardObservation,
  times: LineTimes | null,
  r: Float64Array,
  b: Float64Array,
  stride: number = innerSize,
): boolean => {
  const geometry = viewGeometry(layout, state, photo, board);
  const { R, t, fx, fy, cx, cy, lens, cell, bend, motion, own: m } = geometry;
  const { k1, k2, k3, p1, p2 } = lens;
  const { boardPoints, pixels } = observation;
  const bent = bend.m !== 0 || bend.d !== 0 || bend.e !== 0 || layout.boardPlaces[board].bend >= 0;
  const p = scratch("point of a board", 3);
  const shape = scratch("shape of a board", 15).fill(0, 0, 15);
  let [a, q, wx, wy, wz] = [0, 0, 0, 0, 0];
  for (let i = 0; i < pixels.length; i += 2) {
    let px = boardPoints[i] * cell.width;
    let py = boardPoints[i + 1] * cell.height;
    let pz = 0;
    if (bent) {
      bentPointDerivatives(bend, px, py, shape);
      bentPoint(bend, px, py, p);
      px = p[0];
      py = p[1];
      pz = p[2];
    } else {
      shape[0] = shape[3] = px;
      shape[1] = py;
      shape[4] = -py;
    }
    const x0 = R[0] * px + R[1] * py + R[2] * pz + t[0];
    const y0 = R[3] * px + R[4] * py + R[5] * pz + t[1];
    const z0 = R[6] * px + R[7] * py + R[8] * pz + t[2];
    let X = x0;
    let Y = y0;
    let z = z0;
    if (times) {
      a = times.linear[i >> 1];
      q = times.bent[i >> 1];
      wx = a * motion[m] + q * motion[m + 6];
      wy = a * motion[m + 1] + q * motion[m + 7];
      wz = a * motion[m + 2] + q * motion[m + 8];
      X += wy * z0 - wz * y0 + a * motion[m + 3];
      Y += wz * x0 - wx * z0 + a * motion[m + 4];
      z += wx * y0 - wy * x0 + a * motion[m + 5];
    }
    if (!(z > 1e-3)) return false;
    const x = X / z;
    const y = Y / z;
    const r2 = x * x + y * y;
    const radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
    const slope = 2 * (k1 + r2 * (2 * k2 + 3 * r2 * k3));
    const dx = x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x);
    const dy = y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y;
    const mixed = slope * x * y + 2 * p1 * x + 2 * p2 * y;
    r[i] = fx * dx + cx - pixels[i];
    r[i + 1] = fy * dy + cy - pixels[i + 1];
    for (let axis = 0; axis < 2; axis++) {
      const at = (i + axis) * stride;
      const first = axis === 0;
      const f = first ? fx : fy;
      const own = first ? x : y;
      // Derivative by the point in the camera frame of its own line, then of the middle line, then
      // in the board frame.
      const direct =
        radial + slope * own * own + (first ? 2 * p1 * y + 6 * p2 * x : 6 * p1 * y + 2 * p2 * x);
      let gx = (f * (first ? direct : mixed)) / z;
      let gy = (f * (first ? mixed : direct)) / z;
      let gz = -(gx * x + gy * y);
      if (times) {
        const mx = y0 * gz - z0 * gy;
        const my = z0 * gx - x0 * gz;
        const mz = x0 * gy - y0 * gx;
        b[at + motionAt] = a * mx;
        b[at + motionAt + 1] = a * my;
        b[at + motionAt + 2] = a * mz;
        b[at + motionAt + 3] = a * gx;
        b[at + motionAt + 4] = a * gy;
        b[at + motionAt + 5] = a * gz;
        b[at + motionAt + 6] = q * mx;
        b[at + motionAt + 7] = q * my;
        b[at + motionAt + 8] = q * mz;
        const ux = gx;
        const uy = gy;
        const uz = gz;
        gx -= wy * uz - wz * uy;
        gy -= wz * ux - wx * uz;
        gz -= wx * uy - wy * ux;
      }
      const bx = gx * R[0] + gy * R[3] + gz * R[6];
      const by = gx * R[1] + gy * R[4] + gz * R[7];
      const bz = gx * R[2] + gy * R[5] + gz * R[8];
      b[at] = py * bz - pz * by;
      b[at + 1] = pz * bx - px * bz;
      b[at + 2] = px * by - py * bx;
      b[at + 3] = gx;
      b[at + 4] = gy;
      b[at + 5] = gz;
      b[at + lensAt] = first ? dx : 0;
      b[at + lensAt + 1] = first ? 0 : dy;
      b[at + lensAt + 2] = first ? 1 : 0;
      b[at + lensAt + 3] = first ? 0 : 1;
      b[at + lensAt + 4] = f * own * r2;
      b[at + lensAt + 5] = f * own * r2 * r2;
      b[at + lensAt + 6] = f * (first ? 2 * x * y : r2 + 2 * y * y);
      b[at + lensAt + 7] = f * (first ? r2 + 2 * x * x : 2 * x * y);
      b[at + lensAt + 8] = f * own * r2 * r2 * r2;
      b[at + sizeAt] = bx * shape[0] + by * shape[1] + bz * shape[2];
      b[at + stretchAt] = bx * shape[3] + by * shape[4] + bz * shape[5];
      if (!bent) continue;
      for (let k = 2; k < 5; k++)
        b[at + sizeAt + k] = bx * shape[3 * k] + by * shape[3 * k + 1] + bz * shape[3 * k + 2];
    }
  }
  return true;
};

import { type Pose, sub, transpose, type Vec3 } from "../../maths/pose.ts";
import type { Internals } from "../adjust.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import type { State } from "../problem/state.ts";
import { controlledForm } from "./controlled-form.ts";

/** How a view's board moves with six numbers that are asked for: 6 x 6, row-major. */
export type Along = (view: ImageFactor) => Float64Array;

/** Each board by its own tangent numbers. */
export const byItself: Along = () => identity;
const identity = Float64Array.from({ length: 36 }, (_, i) => (i % 7 === 0 ? 1 : 0));

/**
 * All boards as one rigid body: turned by w (radians) about `centre` and shifted by t (mm), both in
 * the bay's frame. A board at (R, p) then turns by R^T w in its own axes and shifts by
 * t + w x (p - centre); see `retract`.
 */
export const asOneBody = (state: State, centre: Vec3): Along => {
  const known = new Map<number, Float64Array>();
  return ({ board }) => {
    const made = known.get(board) ?? bodyDirection(state.boardPose[board], centre);
    known.set(board, made);
    return made;
  };
};

const bodyDirection = ({ R, t }: Pose, centre: Vec3): Float64Array => {
  const [x, y, z] = sub(t, centre);
  const turned = transpose(R);
  const carried = [0, z, -y, -z, 0, x, y, -x, 0];
  const out = new Float64Array(36);
  for (let i = 0; i < 3; i++)
    for (let k = 0; k < 3; k++) {
      out[i * 6 + k] = turned[i * 3 + k];
      out[(i + 3) * 6 + k] = carried[i * 3 + k];
      out[(i + 3) * 6 + k + 3] = i === k ? 1 : 0;
    }
  return out;
};

/**
 * Gain in the sum of squares if some views may show their boards displaced by the same six numbers
 * (linear test): g^T C^-1 g with g the gradient of those views by the six numbers and C their normal
 * matrix less what the rest of the network explains.
 */
export const displacementGain = (
  { model, state, factorisation, weights }: Internals,
  views: readonly ImageFactor[],
  along: Along = byItself,
): number => {
  const { layout } = model;
  const columns = Array.from({ length: 6 }, () => new Float64Array(layout.size));
  const own = new Float64Array(36);
  const gradient = new Float64Array(6);
  for (const view of views) {
    const weight = weights[model.views.indexOf(view)];
    const { width, boardAt: at } = view;
    const n = new Float64Array(width * width);
    const g = new Float64Array(width);
    if (!Number.isFinite(view.normals(state, n, g))) continue;
    const a = along(view);
    /** Row of the view's normal matrix by the k-th number. */
    const row = (k: number, column: number): number => {
      let sum = 0;
      for (let i = 0; i < 6; i++) sum += a[i * 6 + k] * n[(at + i) * width + column];
      return weight * sum;
    };
    for (let k = 0; k < 6; k++) {
      for (let i = 0; i < 6; i++) {
        gradient[k] += weight * a[i * 6 + k] * g[at + i];
        const coupled = row(k, at + i);
        for (let j = 0; j < 6; j++) own[k * 6 + j] += coupled * a[i * 6 + j];
      }
      let column = 0;
      for (const b of view.blocks) {
        const { offset, size } = layout.blocks[b];
        for (let i = 0; i < size; i++, column++) columns[k][offset + i] += row(k, column);
      }
    }
  }
  const control = own.slice();
  columns.forEach((column, i) => {
    const x = column.slice();
    factorisation.solve(x);
    columns.forEach((other, k) => {
      for (let p = 0; p < x.length; p++) control[i * 6 + k] -= x[p] * other[p];
    });
  });
  const ownDiagonal = [0, 1, 2, 3, 4, 5].map((k) => own[k * 7]);
  return controlledForm(control, ownDiagonal, gradient).value;
};

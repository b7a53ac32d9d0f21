import { symmetricEigen } from "../../maths/dense.ts";
import { matVec, type Vec3 } from "../../maths/pose.ts";
import type { SmallFactor } from "../factors/factor.ts";
import type { Block, Layout } from "../problem/layout.ts";
import type { State } from "../problem/state.ts";

/**
 * Datum. Photos fix the bay up to a rigid motion; floor statements take part of that freedom away.
 * What is left is found, not assumed: the motions of the whole bay that no statement feels. They
 * are fixed by inner constraints over all boards (minimum trace: Meissl 1962; Koch, Parameter
 * Estimation and Hypothesis Testing, 3.5), so that no board is special.
 */
export interface Datum {
  /** Free motions of the whole bay as full parameter vectors (derivatives of every unknown). */
  readonly motions: readonly Float64Array[];
  /** Inner constraints over the boards: c^T d = 0. Same number as motions. */
  readonly constraints: readonly Float64Array[];
}

/** A turn of a board counts as the shift of a point this far from its centre, mm. */
const turnArmMm = 100;
/** Motions about which all statements together know less than this standard deviation are free. */
const freeSdMm = 3e4;
const leverMm = 1000;

/** Six unit motions of the bay: turns about the axes through `centre` (per 1 / lever), shifts. */
const unitMotions = (centre: Vec3): { w: Vec3; t: Vec3; centre: Vec3 }[] => {
  const axes: Vec3[] = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  return [
    ...axes.map((a) => ({
      w: a.map((v) => v / leverMm) as unknown as Vec3,
      t: [0, 0, 0] as Vec3,
      centre,
    })),
    ...axes.map((a) => ({ w: [0, 0, 0] as Vec3, t: a, centre })),
  ];
};

/** Tangent numbers of one block when the bay moves by x -> x + w x (x - centre) + t. */
const motionOfBlock = (
  state: State,
  block: Block,
  motion: { w: Vec3; t: Vec3; centre: Vec3 },
): number[] | null => {
  const { w, t, centre } = motion;
  const shiftAt = (x: Vec3): Vec3 => [
    w[1] * (x[2] - centre[2]) - w[2] * (x[1] - centre[1]) + t[0],
    w[2] * (x[0] - centre[0]) - w[0] * (x[2] - centre[2]) + t[1],
    w[0] * (x[1] - centre[1]) - w[1] * (x[0] - centre[0]) + t[2],
  ];
  if (block.kind === "photo") {
    // cameraFromBay after the motion is P G^-1.
    const { R } = state.photoPose[block.index];
    const moved = matVec(R, shiftAt([0, 0, 0]));
    return [-w[0], -w[1], -w[2], -moved[0], -moved[1], -moved[2]];
  }
  if (block.kind !== "board" && block.kind !== "frame") return null;
  const { R, t: position } =
    block.kind === "board" ? state.boardPose[block.index] : state.framePose[block.index];
  const turn: Vec3 = [
    R[0] * w[0] + R[3] * w[1] + R[6] * w[2],
    R[1] * w[0] + R[4] * w[1] + R[7] * w[2],
    R[2] * w[0] + R[5] * w[1] + R[8] * w[2],
  ];
  return [...turn, ...shiftAt(position)];
};

export const findDatum = (
  layout: Layout,
  state: State,
  statements: readonly SmallFactor[],
  overPhotos = false,
): Datum => {
  const { blocks, size } = layout;
  const basis = unitMotions(centreOfBoards(state));
  const motions = basis.map((motion) => {
    const out = new Float64Array(size);
    for (const block of blocks) {
      const own = motionOfBlock(state, block, motion);
      if (own) out.set(own, block.offset);
    }
    return out;
  });
  const free = freeCombinations(layout, state, statements, motions);
  const combined = free.map((weights) => {
    const out = new Float64Array(size);
    weights.forEach((weight, k) => {
      for (let i = 0; i < size; i++) out[i] += weight * motions[k][i];
    });
    return out;
  });
  return {
    motions: combined,
    constraints: combined.map((m) => constraintOf(layout, m, overPhotos)),
  };
};

/** The motion restricted to boards (or photos), turns weighted by the square of their arm. */
const constraintOf = (layout: Layout, motion: Float64Array, overPhotos: boolean): Float64Array => {
  const out = new Float64Array(motion.length);
  for (const block of overPhotos ? layout.photoBlock : layout.boardBlock)
    for (let k = 0; k < 6; k++)
      out[block.offset + k] = motion[block.offset + k] * (k < 3 ? turnArmMm ** 2 : 1);
  return out;
};

/** Combinations of the six motions that no floor statement or chain feels. */
const freeCombinations = (
  layout: Layout,
  state: State,
  statements: readonly SmallFactor[],
  motions: readonly Float64Array[],
): number[][] => {
  const felt = new Float64Array(36);
  for (const factor of statements) {
    const blocks = factor.blocks.map((i) => layout.blocks[i]);
    if (!blocks.some((b) => b.kind === "board" || b.kind === "frame")) continue;
    const r = new Float64Array(factor.rows);
    const j = new Float64Array(factor.rows * factor.width);
    factor.residuals(state, r, j);
    for (let row = 0; row < factor.rows; row++) {
      const effect = motions.map((motion) => {
        let sum = 0;
        let at = row * factor.width;
        for (const block of blocks)
          for (let k = 0; k < block.size; k++, at++) sum += j[at] * motion[block.offset + k];
        return sum;
      });
      for (let a = 0; a < 6; a++)
        for (let b = 0; b < 6; b++) felt[a * 6 + b] += effect[a] * effect[b];
    }
  }
  const { values, vectors } = symmetricEigen(felt, 6);
  const free: number[][] = [];
  for (let k = 0; k < 6; k++)
    if (values[k] < freeSdMm ** -2)
      free.push(Array.from({ length: 6 }, (_, i) => vectors[i * 6 + k]));
  return free;
};

const centreOfBoards = (state: State): Vec3 => {
  const n = Math.max(state.boardPose.length, 1);
  const sum = [0, 0, 0];
  for (const { t } of state.boardPose) for (let k = 0; k < 3; k++) sum[k] += t[k] / n;
  return [sum[0], sum[1], sum[2]];
};

/**
 * Moves a derivative row into the datum of the inner constraints over the boards (S-transformation:
 * Baarda 1973): j - (j M) (C^T M)^-1 C^T. Rows of quantities that the datum does not change stay
 * as they are; for others (a board's pose in the bay frame) the covariance becomes that of the
 * inner datum, whatever was used for the solution. `inverse` is (C^T M)^-1, k x k row-major.
 */
export const toInnerDatum = (row: Float64Array, datum: Datum, inverse: Float64Array): void => {
  const k = datum.motions.length;
  const effect = datum.motions.map((motion) => {
    let sum = 0;
    for (let i = 0; i < row.length; i++) sum += row[i] * motion[i];
    return sum;
  });
  for (let b = 0; b < k; b++) {
    let f = 0;
    for (let a = 0; a < k; a++) f += effect[a] * inverse[a * k + b];
    if (f === 0) continue;
    const c = datum.constraints[b];
    for (let i = 0; i < row.length; i++) row[i] -= f * c[i];
  }
};

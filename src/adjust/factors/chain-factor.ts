import {
  compose,
  expRotation,
  identityPose,
  invert,
  logRotation,
  type Mat3,
  matMul,
  norm,
  type Pose,
  skew,
  transpose,
  type Vec3,
} from "../../maths/pose.ts";
import type { Block, Layout } from "../problem/layout.ts";
import type { ChainStatement, Link } from "../problem/problem.ts";
import type { State } from "../problem/state.ts";
import { type SmallFactor, smallFactor } from "./factor.ts";

/** Pose of a link as it enters the product (inverse already taken). */
export const linkPose = (layout: Layout, state: State, link: Link): Pose => {
  switch (link.kind) {
    case "fixed":
      return link.pose;
    case "pose": {
      const board = layout.boardIndex.get(link.key);
      const pose =
        board === undefined
          ? state.framePose[layout.frameIndex.get(link.key)!]
          : state.boardPose[board];
      return link.inverse ? invert(pose) : pose;
    }
    case "turn": {
      const w: [number, number, number] = [0, 0, 0];
      w[link.axis] =
        (link.sign ?? 1) * state.scalars[layout.scalarIndex.get(link.key)!][link.index];
      return { R: expRotation(w), t: [0, 0, 0] };
    }
    case "small": {
      const v = state.scalars[layout.scalarIndex.get(link.key)!];
      const pose: Pose = { R: expRotation([v[0], v[1], v[2]]), t: [v[3], v[4], v[5]] };
      return link.inverse ? invert(pose) : pose;
    }
  }
};

/** Product of all links. */
const chainProduct = (layout: Layout, state: State, links: readonly Link[]): Pose =>
  links.reduce((product, link) => compose(product, linkPose(layout, state, link)), identityPose);

const blockOfLink = (layout: Layout, link: Link): Block | null => {
  if (link.kind === "fixed") return null;
  if (link.kind === "pose") {
    const board = layout.boardIndex.get(link.key);
    return board === undefined
      ? layout.frameBlock[layout.frameIndex.get(link.key)!]
      : layout.boardBlock[board];
  }
  const block = layout.scalarBlock[layout.scalarIndex.get(link.key)!];
  return block.size > 0 ? block : null;
};

/**
 * Inverse right Jacobian of the rotation group at rotation vector v:
 * log(R Exp(d)) = v + J(v) d + O(d^2). Chirikjian, Stochastic Models, Information Theory, and Lie
 * Groups, vol. 2, section 10.8; Sola et al. 2018, eq. 144.
 */
export const inverseRightJacobian = (v: Vec3): Mat3 => {
  const angle = norm(v);
  const k = skew(v);
  const k2 = matMul(k, k);
  const c =
    angle < 1e-4
      ? 1 / 12 + angle ** 2 / 720
      : 1 / angle ** 2 - (1 + Math.cos(angle)) / (2 * angle * Math.sin(angle));
  return combine(k, 0.5, k2, c);
};

/** Right Jacobian: Exp(v + d) = Exp(v) Exp(J(v) d + O(d^2)). */
export const rightJacobian = (v: Vec3): Mat3 => {
  const angle = norm(v);
  const k = skew(v);
  const k2 = matMul(k, k);
  const small = angle < 1e-4;
  const a = small ? 0.5 - angle ** 2 / 24 : (1 - Math.cos(angle)) / angle ** 2;
  const b = small ? 1 / 6 - angle ** 2 / 120 : (angle - Math.sin(angle)) / angle ** 3;
  return combine(k, -a, k2, b);
};

const combine = (k: Mat3, a: number, k2: Mat3, b: number): Mat3 =>
  k.map((value, i) => a * value + b * k2[i] + (i % 4 === 0 ? 1 : 0)) as unknown as Mat3;

/** Turn and shift of the product A X B per unit change of X (right turn w, shift t). */
interface Sensitivity {
  readonly turnByTurn: Mat3;
  readonly shiftByTurn: Mat3;
  readonly shiftByShift: Mat3;
}

/** X is the link's pose before inversion; `before` and `after` are the products around it. */
const sensitivity = (before: Pose, X: Pose, after: Pose, inverse: boolean): Sensitivity => {
  if (!inverse) {
    const RX = matMul(before.R, X.R);
    return {
      turnByTurn: transpose(after.R),
      shiftByTurn: negative(matMul(RX, skew(after.t))),
      shiftByShift: before.R,
    };
  }
  // X^-1 turns by Exp(-w) on its left: d(R^T) = -[w] R^T.
  const Xi = invert(X);
  const inner = compose(Xi, after);
  return {
    turnByTurn: negative(transpose(inner.R)),
    shiftByTurn: matMul(before.R, skew(inner.t)),
    shiftByShift: negative(matMul(before.R, Xi.R)),
  };
};

const negative = (m: Mat3): Mat3 => m.map((v) => -v) as unknown as Mat3;

/** Chain statement as a factor: residual [log R; t] of the product over the stated deviations. */
export const chainFactor = (
  layout: Layout,
  indexOfBlock: (block: Block) => number,
  chain: ChainStatement,
): SmallFactor => {
  const blocks: Block[] = [];
  for (const link of chain.links) {
    const block = blockOfLink(layout, link);
    if (block && !blocks.includes(block)) blocks.push(block);
  }
  const starts = new Map<Block, number>();
  let width = 0;
  for (const block of blocks) {
    starts.set(block, width);
    width += block.size;
  }
  const stated = chain.sd.map((sd, i) => ({ sd, i })).filter(({ sd }) => Number.isFinite(sd));
  const full = new Float64Array(6 * width);
  return smallFactor({
    label: chain.key,
    source: chain.source,
    blocks: blocks.map(indexOfBlock),
    width,
    rows: stated.length,
    residuals(state, r, j) {
      const product = chainProduct(layout, state, chain.links);
      const v = logRotation(product.R);
      const residual = [...v, ...product.t];
      stated.forEach(({ sd, i }, row) => {
        r[row] = residual[i] / sd;
      });
      if (!j) return;
      full.fill(0);
      chainJacobian(layout, state, chain.links, v, starts, width, full);
      stated.forEach(({ sd, i }, row) => {
        for (let c = 0; c < width; c++) j[row * width + c] = full[i * width + c] / sd;
      });
    },
  });
};

const chainJacobian = (
  layout: Layout,
  state: State,
  links: readonly Link[],
  v: Vec3,
  starts: ReadonlyMap<Block, number>,
  width: number,
  out: Float64Array,
): void => {
  const log = inverseRightJacobian(v);
  const poses = links.map((link) => linkPose(layout, state, link));
  const after: Pose[] = [];
  after[links.length - 1] = identityPose;
  for (let i = links.length - 2; i >= 0; i--) after[i] = compose(poses[i + 1], after[i + 1]);
  let before = identityPose;
  links.forEach((link, i) => {
    const block = blockOfLink(layout, link);
    if (block) {
      const at = starts.get(block)!;
      const inverse = (link.kind === "pose" || link.kind === "small") && link.inverse === true;
      const own = inverse ? invert(poses[i]) : poses[i];
      const s = sensitivity(before, own, after[i], inverse);
      const turn = matMul(log, s.turnByTurn);
      if (link.kind === "pose") {
        addColumns(out, width, at, turn, s.shiftByTurn);
        addColumns(out, width, at + 3, null, s.shiftByShift);
      } else if (link.kind === "turn") {
        const place = layout.scalarFree[block.index].indexOf(link.index);
        if (place >= 0)
          addAxis(out, width, at + place, link.axis, link.sign ?? 1, turn, s.shiftByTurn);
      } else if (link.kind === "small") {
        const values = state.scalars[block.index];
        const right = rightJacobian([values[0], values[1], values[2]]);
        const turnBySmall = matMul(turn, right);
        const shiftBySmall = matMul(s.shiftByTurn, right);
        layout.scalarFree[block.index].forEach((element, place) => {
          if (element < 3)
            addAxis(out, width, at + place, element as 0 | 1 | 2, 1, turnBySmall, shiftBySmall);
          else if (element < 6)
            addAxis(out, width, at + place, (element - 3) as 0 | 1 | 2, 1, null, s.shiftByShift);
        });
      }
    }
    before = compose(before, poses[i]);
  });
};

const addColumns = (
  out: Float64Array,
  width: number,
  at: number,
  turn: Mat3 | null,
  shift: Mat3,
): void => {
  for (let k = 0 as 0 | 1 | 2; k < 3; k++)
    addAxis(out, width, at + k, k as 0 | 1 | 2, 1, turn, shift);
};

const addAxis = (
  out: Float64Array,
  width: number,
  at: number,
  axis: 0 | 1 | 2,
  sign: number,
  turn: Mat3 | null,
  shift: Mat3,
): void => {
  for (let row = 0; row < 3; row++) {
    if (turn) out[row * width + at] += sign * turn[3 * row + axis];
    out[(3 + row) * width + at] += sign * shift[3 * row + axis];
  }
};

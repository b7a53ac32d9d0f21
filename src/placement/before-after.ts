import { matVec, transform, type Vec3 } from "../geometry/pose.ts";
import type { Propagated, Quantity, StateView } from "../network/problem.ts";
import type { Remark } from "../photo/remark.ts";
import { alignPoints } from "./align.ts";
import { type CongruencyResult, congruencyTest } from "./congruency.ts";

/**
 * Did car, floor boards and stand keep still while the scan tool ran? Two photo sets, each adjusted
 * by itself; the boards that both saw are compared by the congruency test. Both sets carry the
 * same print and the same long lengths, so the scale between them is left free: a test of shape.
 */
export interface Epoch {
  readonly state: StateView;
  propagate(quantities: readonly Quantity[]): Propagated;
}

export interface BeforeAfter {
  readonly result: CongruencyResult;
  readonly sentences: readonly string[];
  readonly remarks: readonly Remark[];
}

/** Fewest boards in both sets: below, a moved board cannot be told from the moved rest. */
const leastBoards = 4;

export const compareBeforeAfter = (
  before: Epoch,
  after: Epoch,
  boards: readonly string[],
  nameOf: (board: string) => string = (board) => `board ${board}`,
): BeforeAfter | { readonly result: null; readonly remarks: readonly Remark[] } => {
  if (boards.length < leastBoards) return { result: null, remarks: [tooFew(boards.length)] };
  const first = boards.map((board) => before.state.pose(board).t);
  const second = boards.map((board) => after.state.pose(board).t);
  const { bFromA: firstFromSecond } = alignPoints(second, first);
  const moved = second.map((p) => transform(firstFromSecond, p));
  const result = congruencyTest({
    keys: boards,
    dimension: 3,
    differences: moved.flatMap((p, i) => [0, 1, 2].map((k) => p[k] - first[i][k])),
    cofactor: sum(
      covarianceOf(before, boards, (v) => v),
      covarianceOf(after, boards, (v) => matVec(firstFromSecond.R, v)),
    ),
    motions: rigidMotions(first),
    varianceFactor: 1,
    dof: Number.POSITIVE_INFINITY,
    level: 0.01,
  });
  return { result, ...report(result, nameOf) };
};

const covarianceOf = (epoch: Epoch, boards: readonly string[], turn: (v: Vec3) => Vec3) => {
  const quantities = boards.flatMap((board) =>
    [0, 1, 2].map((k) => ({
      key: `place:${board}:${k}`,
      evaluate: (state: StateView) => turn(state.pose(board).t)[k],
    })),
  );
  return epoch.propagate(quantities).covariance;
};

const sum = (a: Float64Array, b: Float64Array): Float64Array => a.map((v, i) => v + b[i]);

/** Three shifts, three turns and one scale about the middle, per coordinate. */
const rigidMotions = (points: readonly Vec3[]): number[][] => {
  const middle = [0, 1, 2].map((k) => points.reduce((s, p) => s + p[k], 0) / points.length);
  const about = points.map((p) => p.map((v, k) => (v - middle[k]) / 1000));
  return [
    points.flatMap(() => [1, 0, 0]),
    points.flatMap(() => [0, 1, 0]),
    points.flatMap(() => [0, 0, 1]),
    about.flatMap(([, y, z]) => [0, -z, y]),
    about.flatMap(([x, , z]) => [z, 0, -x]),
    about.flatMap(([x, y]) => [-y, x, 0]),
    about.flat(),
  ];
};

const report = (
  result: CongruencyResult,
  nameOf: (board: string) => string,
): { sentences: string[]; remarks: Remark[] } => {
  const seen = Math.max(...result.displacements.map((d) => d.expanded));
  if (result.congruent) {
    const sentence =
      `Nothing moved: all ${result.displacements.length} boards keep their shape. ` +
      `A shift of more than about ${(2 * seen).toFixed(1)} mm would have shown.`;
    return { sentences: [sentence], remarks: [] };
  }
  if (result.stable.length === 0) {
    const message = "The two photo sets do not agree, and no group of boards stayed in shape.";
    return {
      sentences: [message],
      remarks: [
        {
          code: "before-after-no-stable",
          severity: "error",
          message,
          remedy: "Take both photo sets again; nothing can be said about what moved.",
        },
      ],
    };
  }
  const sentences = result.displacements
    .filter((d) => d.moved)
    .map(
      (d) =>
        `${capital(nameOf(d.key))} moved by ${d.length.toFixed(1)} mm ` +
        `(sure to ${d.expanded.toFixed(1)} mm).`,
    );
  return {
    sentences,
    remarks: sentences.map((message) => ({
      code: "moved-during-run",
      severity: "warning",
      message,
      remedy: "Check the stand, place it again and repeat the run if the stand or the car moved.",
    })),
  };
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const tooFew = (count: number): Remark => ({
  code: "before-after-few",
  severity: "error",
  message: `Only ${count} boards are in both photo sets; at least ${leastBoards} are needed.`,
  remedy: "Photograph the same floor boards, wheel boards and stand boards again.",
});

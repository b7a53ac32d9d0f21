import { type Adjusted, type AdjustOutcome, adjust } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { withHonestNoise } from "../../adjust/test/honest-noise.ts";
import { boardWords } from "../../boards/kit.ts";
import { absoluteOrientation } from "../../maths/absolute-orientation.ts";
import { cross, sub, transform, type Vec3 } from "../../maths/pose.ts";
import { type CongruencyResult, congruencyTest } from "../../placement/decide/congruency.ts";
import type { Said } from "../../say/remark.ts";
import type { BayOutcome, BayProblem } from "../problem/build-problem.ts";
import { croppedPhotos } from "../problem/cropped-photos.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";

type Kept = NonNullable<Result["stability"]>;
export type Stability = Kept & { readonly said: Said<StabilityCode> };
export type StabilityCode =
  | "stability-few"
  | "stability-cannot"
  | "stability-moved"
  | "stability-board"
  | "stability-differ"
  | "stability-still"
  | "stability-unseen";

/**
 * Did anything move between the photos before and after the calibration run? Both sets are adjusted
 * by themselves, from the photos alone: what both share (floor, measured lengths, print scale) says
 * nothing about movement and would only hide it. The after set is laid on the before set by a rigid
 * motion, and the congruency test decides which boards kept their places. A common scale is left
 * free, since the lens and the print carry it alike in both.
 *
 * `standBoards` are the boards of the target that was checked: without one of them, or without two
 * wheel boards, in the later photos "nothing moved" would say nothing about target or car.
 */
export const testStability = (
  before: BayProblem,
  later: BayOutcome,
  standBoards: readonly string[],
): Stability => {
  if (!later.ok) return cannotCompare("after", later.remarks.find(isError) ?? later.remarks[0]);
  const after = later.bay;
  const first = adjustAlone(before.problem);
  if (!first.ok) return impossible(first, "before");
  const second = adjustAlone(after.problem);
  if (!second.ok) return impossible(second, "after");
  const cropped = croppedPhotos(after.problem, second);
  if (cropped) return cannotCompare("after", cropped);
  const keys = [...before.boards.keys()].filter((key) => after.boards.has(key));
  if (keys.length < fewestBoards)
    return {
      verdict: "not proven",
      sentence:
        `Only ${keys.length} boards are in both photo sets; ${fewestBoards} are needed to tell ` +
        "whether something moved.",
      said: { code: "stability-few", values: { count: keys.length, fewest: fewestBoards } },
      boards: [],
    };
  const lacking = unwatched(before, keys, standBoards);
  return describe(compare(first, second, keys), keys, lacking);
};

const isError = ({ severity }: Remark): boolean => severity === "error";

/** What of stand and car the boards in both sets leave out; null where both are watched. */
const unwatched = (
  { boards }: BayProblem,
  keys: readonly string[],
  standBoards: readonly string[],
): "stand" | "car" | null => {
  if (!standBoards.some((board) => keys.includes(board))) return "stand";
  const isWheel = (key: string): boolean =>
    boards.get(key)?.role === "wheel plate" && !key.includes("@");
  const before = [...boards.keys()].filter(isWheel).length;
  return keys.filter(isWheel).length < Math.min(2, before) ? "car" : null;
};

/** What the verdict must hear of it. */
export const movedAfterRun = ({ verdict, sentence, said }: Stability): Remark[] =>
  verdict !== "moved"
    ? []
    : [
        {
          code: "moved-after-run",
          values: { what: [said] },
          severity: "error",
          message: sentence,
          remedy:
            "Measure the placement again, and do the calibration run again if the procedure asks for it.",
        },
      ];

const fewestBoards = 4;

/** One photo set from its photos alone, with its noise as large as they show it to be. */
const adjustAlone = (problem: NetworkProblem): AdjustOutcome => {
  const alone: NetworkProblem = {
    ...problem,
    boards: problem.boards.map((board) => ({ ...board, cellSd: 0, print: null })),
    prints: [],
    lengths: [],
    floor: [],
    frames: [],
    scalars: [],
    chains: [],
  };
  const outcome = adjust(alone);
  if (!outcome.ok) return outcome;
  const honest = withHonestNoise(alone, outcome);
  return honest.ok ? honest.adjusted : honest;
};

const impossible = (outcome: AdjustOutcome & { ok: false }, which: string): Stability =>
  cannotCompare(which, outcome.remarks[0], outcome.reason);

const cannotCompare = (which: string, reason: Remark | undefined, words = ""): Stability => ({
  verdict: "not proven",
  sentence: `The photos ${which} the run cannot be compared: ${reason?.message ?? words}`,
  said: { code: "stability-cannot", values: { which, reason: reason ? [reason] : [] } },
  boards: [],
});

interface Points {
  readonly at: readonly Vec3[];
  readonly covariance: Float64Array;
}

const centres = (adjusted: Adjusted, keys: readonly string[]): Points => {
  const quantities = keys.flatMap((key) =>
    ([0, 1, 2] as const).map((k) => ({
      key: `${key}:${k}`,
      evaluate: (state: Adjusted["state"]) => state.pose(key).t[k],
    })),
  );
  return {
    at: keys.map((key) => adjusted.state.pose(key).t),
    covariance: adjusted.propagate(quantities).covariance,
  };
};

const compare = (first: Adjusted, second: Adjusted, keys: readonly string[]): CongruencyResult => {
  const a = centres(first, keys);
  const b = centres(second, keys);
  const beforeFromAfter = absoluteOrientation(b.at, a.at);
  const laid = b.at.map((p) => transform(beforeFromAfter, p));
  const turned = turnCovariance(b.covariance, beforeFromAfter.R, keys.length);
  return congruencyTest({
    keys,
    dimension: 3,
    differences: laid.flatMap((p, i) => [...sub(p, a.at[i])]),
    cofactor: a.covariance.map((value, i) => value + turned[i]),
    motions: motions(a.at),
    varianceFactor: 1,
    dof: Number.POSITIVE_INFINITY,
  });
};

/** R Q R^T with the same 3 x 3 rotation for every point. */
const turnCovariance = (q: Float64Array, R: ArrayLike<number>, points: number): Float64Array => {
  const n = 3 * points;
  const half = new Float64Array(n * n);
  const out = new Float64Array(n * n);
  const row = (i: number): number => i - (i % 3);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      for (let k = 0; k < 3; k++) half[i * n + j] += R[3 * (i % 3) + k] * q[(row(i) + k) * n + j];
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      for (let k = 0; k < 3; k++) out[i * n + j] += half[i * n + row(j) + k] * R[3 * (j % 3) + k];
  return out;
};

/** Shift, turn and common scale of all points: what carries no movement of one against another. */
const motions = (points: readonly Vec3[]): number[][] => {
  const axes: Vec3[] = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  return [
    ...axes.map((axis) => points.flatMap(() => [...axis])),
    // Per metre, so that all motions are of like size.
    ...axes.map((axis) => points.flatMap((p) => cross(axis, p).map((v) => v / 1000))),
    points.flatMap((p) => p.map((v) => v / 1000)),
  ];
};

const describe = (
  test: CongruencyResult,
  keys: readonly string[],
  lacking: "stand" | "car" | null,
): Stability => {
  const boards = test.displacements.map(({ key, moved, length, expanded }) => ({
    key,
    moved,
    shiftMm: length,
    expandedMm: expanded,
  }));
  const moved = boards.filter((board) => board.moved);
  // A board that is called still may have moved by what was seen and by its doubt on top.
  const most = Math.max(...boards.map(({ shiftMm, expandedMm }) => shiftMm + expandedMm));
  const names = moved.map(
    (board) =>
      `${boardWords(Number.parseInt(board.key, 10))} by ${board.shiftMm.toFixed(1)} mm ` +
      `(+- ${board.expandedMm.toFixed(1)})`,
  );
  if (moved.length > 0)
    return {
      verdict: "moved",
      sentence: `Moved since the first photos: ${names.join(", ")}.`,
      said: {
        code: "stability-moved",
        values: {
          boards: moved.map(({ key, shiftMm, expandedMm }) => ({
            code: "stability-board",
            values: { board: key, shift: shiftMm, expanded: expandedMm },
          })),
        },
      },
      boards,
    };
  if (!test.congruent)
    return {
      verdict: "not proven",
      sentence:
        "The two photo sets differ, but not in a way that points to single boards. Take the photos " +
        "after the run again, with more boards in each.",
      said: { code: "stability-differ" },
      boards,
    };
  if (lacking)
    return {
      verdict: "not proven",
      sentence:
        "None of the boards in both photo sets moved, but the photos after the run show " +
        `${lacking === "stand" ? "no board of the stand" : "fewer than two wheel boards"}: ` +
        `that the ${lacking} kept its place is not proven.`,
      said: { code: "stability-unseen", values: { what: lacking } },
      boards,
    };
  return {
    verdict: "nothing moved",
    sentence: `None of the ${keys.length} boards moved by more than ${most.toFixed(1)} mm (95 %).`,
    said: { code: "stability-still", values: { count: keys.length, least: most } },
    boards,
  };
};

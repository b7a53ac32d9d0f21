import { type Adjusted, type AdjustOutcome, adjust } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { type Settled, settleSpreads } from "../../adjust/spreads/settle.ts";
import { boardWords } from "../../boards/kit.ts";
import { cross, type Vec3 } from "../../maths/pose.ts";
import type { Said } from "../../say/remark.ts";
import type { BayOutcome, BayProblem } from "../problem/build-problem.ts";
import { croppedPhotos } from "../problem/cropped-photos.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { Result } from "../result/result.ts";
import { afterKey, jointProblem, jointStart, type Tie, ties } from "./joint.ts";
import { findMovements, type Movements } from "./movements.ts";

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
 * Did anything move between the photos before and after the calibration run? One adjustment of both
 * sets, from the photos alone, in which lens, prints and the hand are common and every board has a
 * place before and one after; see joint.ts. What differs beyond a motion of everything is sought in
 * single boards, in the stand as a whole and in the car as a whole; see movements.ts.
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
  const first = adjust(photosAlone(before.problem));
  if (!first.ok) return impossible(first, "before");
  const second = adjust(photosAlone(after.problem));
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
  const solve = (tie: Tie): Settled | (AdjustOutcome & { ok: false }) => {
    const joint = jointProblem(before.problem, after.problem, keys, tie);
    const both = adjust(joint, { startState: jointStart(joint, first, second, keys) });
    return both.ok ? settleSpreads(joint, both) : both;
  };
  let settled = solve(ties[0]);
  for (const tie of ties.slice(1)) if (!settled.ok) settled = solve(tie);
  if (!settled.ok) return impossible(settled, "before and after");
  const found = compare(settled.adjusted, keys, [
    keys.filter((key) => standBoards.includes(key)),
    keys.filter((key) => isWheelPlate(before, key)),
  ]);
  return describe(found, keys, unwatched(before, keys, standBoards));
};

const isError = ({ severity }: Remark): boolean => severity === "error";

/** What of stand and car the boards in both sets leave out; null where both are watched. */
const unwatched = (
  { boards }: BayProblem,
  keys: readonly string[],
  standBoards: readonly string[],
): "stand" | "car" | null => {
  if (!standBoards.some((board) => keys.includes(board))) return "stand";
  const isWheel = (key: string): boolean => isWheelPlate({ boards }, key);
  const before = [...boards.keys()].filter(isWheel).length;
  return keys.filter(isWheel).length < Math.min(2, before) ? "car" : null;
};

const isWheelPlate = ({ boards }: Pick<BayProblem, "boards">, key: string): boolean =>
  boards.get(key)?.role === "wheel plate" && !key.includes("@");

/** The remark that holds the verdict back where something moved; none otherwise. */
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

/** One photo set without what both sets share. */
const photosAlone = (problem: NetworkProblem): NetworkProblem => ({
  ...problem,
  lengths: [],
  floor: [],
  frames: [],
  scalars: [],
  chains: [],
});

const impossible = (outcome: AdjustOutcome & { ok: false }, which: string): Stability =>
  cannotCompare(which, outcome.remarks[0], outcome.reason);

const cannotCompare = (which: string, reason: Remark | undefined, words = ""): Stability => ({
  verdict: "not proven",
  sentence: `The photos ${which} the run cannot be compared: ${reason?.message ?? words}`,
  said: { code: "stability-cannot", values: { which, reason: reason ? [reason] : [] } },
  boards: [],
});

/** Differences of the boards' centres, after less before, and what moved by them. */
const compare = (
  both: Adjusted,
  keys: readonly string[],
  bodies: readonly (readonly string[])[],
): Movements => {
  const quantities = keys.flatMap((key) =>
    ([0, 1, 2] as const).map((k) => ({
      key: `${key}:${k}`,
      evaluate: (state: Adjusted["state"]) => state.pose(afterKey(key)).t[k] - state.pose(key).t[k],
    })),
  );
  const { values, covariance } = both.propagate(quantities);
  return findMovements({
    keys,
    differences: values,
    covariance,
    motions: motions(keys.map((key) => both.state.pose(key).t)),
    bodies: bodies
      .filter((body) => body.length > 1)
      .map((body) => body.map((key) => keys.indexOf(key))),
  });
};

/** Shift and turn of all points: what carries no movement of one against another. */
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
  ];
};

const describe = (
  test: Movements,
  keys: readonly string[],
  lacking: "stand" | "car" | null,
): Stability => {
  const boards = test.movements.map(({ key, moved, length, expanded }) => ({
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
  if (!test.explained)
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

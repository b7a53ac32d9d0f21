import { chiSquareCdf, chiSquareSurvival, normalSurvival } from "../../maths/statistics.ts";
import { type Adjusted, type AdjustOptions, type Internals, readjustWithout } from "../adjust.ts";
import { cellSizeKey } from "../factors/prior-factors.ts";
import type { Remark } from "../problem/codes.ts";
import type { NetworkProblem } from "../problem/problem.ts";
import { fullCost } from "../solve/optimise.ts";
import { generalRemarks, type Suspect, suspectsOf } from "./describe.ts";
import { type ElementTest, elementTests } from "./element-tests.ts";
import { type MovedBoard, splitOneMovedBoard } from "./moved-boards.ts";
import { type ScaleTest, scaleTests } from "./print-scale.ts";
import { type SharedMisfit, sharedMisfit, typicalFactor } from "./shared-misfit.ts";
import { tapeAgainstRuler, tapeSuspect } from "./tape-against-ruler.ts";
import { boardsInTwoPlaces, isTwoPlaces, type TwoPlaces, twoPlacesOf } from "./two-places.ts";

/** What the statements say about each other: global test, data snooping, moved and scaled boards. */
export interface Diagnosis {
  readonly global: GlobalTest;
  /** Every view and statement, with redundancy, test value and smallest detectable error. */
  readonly tests: readonly ElementTest[];
  /** Those that do not fit, worst first. */
  readonly misfits: readonly ElementTest[];
  readonly scales: readonly ScaleTest[];
  readonly scaled: readonly ScaleTest[];
  readonly moved: readonly MovedBoard[];
  /** Boards of one number seen at two places. */
  readonly twice: readonly TwoPlaces[];
  /** Why most views misfit, where they do. */
  readonly shared: SharedMisfit | null;
  /** Single things that contradict the rest; their remarks stand in `remarks`, too. */
  readonly suspects: readonly Suspect[];
  readonly remarks: readonly Remark[];
}

export interface GlobalTest {
  /** Weighted sum of squares, full weights. */
  readonly statistic: number;
  readonly redundancy: number;
  /** Probability of so large a sum, and of so small a one, if all statements are right. */
  readonly tooLarge: number;
  readonly tooSmall: number;
  readonly passes: boolean;
}

/**
 * Significance of all tests of one job together, shared out among them (Bonferroni): about one false
 * alarm in 100 clean jobs. The level is our own, no source.
 */
const familyAlarm = 0.01;
/** A job with fewer tests than this is tested as strictly as one with so many. Our own, no source. */
const smallestFamily = 10;
/** Probability below which the global test fails: one clean job in 1000. Our own, no source. */
const globalAlarm = 0.001;
/** More boards than this do not move in one job; something else is wrong then. Our own, no source. */
const mostMoves = 4;
/** Boards that are tried for a move, the worst ones; each costs several solutions. Our own. */
const mostSuspects = 6;
/** Misfits that are looked into one after the other; the rest is only counted. Our own, no source. */
const mostMisfits = 6;

/** Diagnoses an adjustment as it stands (without looking for moved boards). */
export const diagnose = (adjusted: Adjusted): Diagnosis => examine(adjusted, []);

/**
 * Diagnoses and, where a board moved between photos, splits it and adjusts again. Returns the
 * adjustment to use from here on and the problem that belongs to it.
 */
export const adjustedAndDiagnosed = (
  problem: NetworkProblem,
  adjusted: Adjusted,
  options: AdjustOptions = {},
): { problem: NetworkProblem; adjusted: Adjusted; diagnosis: Diagnosis } => {
  let current = { problem, adjusted };
  const moved: MovedBoard[] = [];
  while (moved.length < mostMoves) {
    const tests = elementTests(current.adjusted.internals);
    const typical = typicalFactor(current.adjusted);
    const misfits = misfitsAmong(tests, tests.length, typical);
    const suspects = suspectBoards(misfits, current.adjusted);
    const rivals = (board: string): number =>
      misfits.reduce(
        (m, t) =>
          t.kind === "statement" && t.boards.includes(board) ? Math.max(m, t.statistic ** 2) : m,
        0,
      );
    const plain = plainInternals(current.adjusted);
    const doubtful = withoutDoubtful(current.adjusted, misfits);
    const split = splitOneMovedBoard(
      current.problem,
      current.adjusted,
      { plain, doubtful },
      suspects,
      rivals,
      options,
    );
    if (!split) break;
    moved.push(split.moved);
    current = split;
  }
  return { ...current, diagnosis: examine(current.adjusted, moved) };
};

/**
 * Without the statement that misfits worst, where that is what misfits worst of all: a wrong one (a
 * board on a cable, a length misread) pulls at everything, and boards far from it seem to have moved.
 * Where a photo misfits as a whole (turned, cropped), others may do so unnoticed: the changes of all
 * are free then, and a board moved only if it did so against what else its photos show.
 */
const withoutDoubtful = (adjusted: Adjusted, misfits: readonly ElementTest[]): Internals | null => {
  const { model, state } = adjusted.internals;
  const at = model.views.length;
  const silenced = new Set<number>();
  if (misfits[0]?.kind === "statement") silenced.add(at + misfits[0].index);
  if (misfits.some(({ ofPhoto }) => ofPhoto !== undefined))
    model.statements.forEach(({ ofPhoto }, i) => {
      if (ofPhoto !== undefined) silenced.add(at + i);
    });
  return silenced.size > 0 ? readjustWithout(adjusted, silenced, state) : null;
};

/** Least squares without robust weights, in which a move shows with its full strength. */
const plainInternals = (adjusted: Adjusted): Internals => {
  const { internals, downWeighted } = adjusted;
  if (downWeighted.length === 0) return internals;
  return readjustWithout(adjusted, new Set(), internals.state) ?? internals;
};

/**
 * Tests that stand out, worst first. Where the typical view misfits by a variance factor `typical`,
 * all have a fault in common: single ones count only by how far they stand out from that.
 */
const misfitsAmong = (
  tests: readonly ElementTest[],
  family: number,
  typical: number,
): ElementTest[] =>
  tests
    .filter(
      (t) => t.dof > 0 && chanceOf(t, typical) < familyAlarm / Math.max(family, smallestFamily),
    )
    .sort((a, b) => severity(b) - severity(a));

const chanceOf = (t: ElementTest, typical: number): number => {
  if (typical === 1) return t.probability;
  return t.dof === 1
    ? 2 * normalSurvival(t.statistic / Math.sqrt(typical))
    : chiSquareSurvival(t.statistic ** 2 / typical, t.dof);
};

/** Orders misfits of different kinds: how unlikely they are, also where probabilities underflow. */
const severity = (t: ElementTest): number => t.statistic ** 2 - t.dof;

const examine = (adjusted: Adjusted, moved: readonly MovedBoard[]): Diagnosis => {
  const { internals } = adjusted;
  const tests = elementTests(internals);
  const scales = sizeTests(adjusted);
  const family = tests.length + scales.length;
  const typical = typicalFactor(adjusted);
  const among = (some: readonly ElementTest[]) => misfitsAmong(some, family, typical);
  const { misfits, further } = independentMisfits(adjusted, among(tests), among);
  // Where single views do not fit, a size that does not fit follows from them and is no second fault.
  const scaled = independentScales(adjusted, scales, misfits, family, typical);
  const global = globalTest(adjusted);
  const twice = [
    ...moved.filter((m) => isTwoPlaces(adjusted, m)).map((m) => twoPlacesOf(adjusted, m)),
    // A wrong statement (a length read wrongly) displaces its board, and its views misfit, too.
    ...boardsInTwoPlaces(adjusted).filter(
      ({ board }) => !misfits.some((t) => t.kind === "statement" && t.boards.includes(board)),
    ),
  ];
  const shared = sharedMisfit(adjusted, typical);
  const { passes } = global;
  const found = { misfits, further, scaled, moved, twice, shared, passes, adjusted };
  // Where anything else misfits, the scale may follow from it.
  const calm = misfits.length + moved.length + twice.length === 0 && shared === null;
  const tape = calm ? tapeAgainstRuler(adjusted) : null;
  const suspects = [...suspectsOf(found), ...(tape ? [tapeSuspect(tape, adjusted)] : [])];
  const general = generalRemarks(found, suspects.length);
  const remarks = [...general, ...suspects.map(({ remark }) => remark)];
  return { global, tests, misfits, scales, scaled, moved, twice, shared, suspects, remarks };
};

/** A board that counts in fewer of its photos than this share is outvoted. Our own, no source. */
const outvotedShare = 0.5;

/**
 * Size tests of all boards. A board of another size fits in no photo and is outvoted by its neighbours:
 * with its views down-weighted nothing is left that tells its size, so it is tested with full weights.
 */
const sizeTests = (adjusted: Adjusted): ScaleTest[] => {
  const { internals, downWeighted } = adjusted;
  const tests = scaleTests(internals);
  const outvoted = (board: string): boolean => {
    const index = internals.model.layout.boardIndex.get(board);
    const views = internals.model.views.filter((view) => view.board === index).length;
    const light = downWeighted.filter((d) => d.board === board).length;
    return light > outvotedShare * views;
  };
  if (!tests.some(({ board }) => outvoted(board))) return tests;
  const plain = new Map(scaleTests(plainInternals(adjusted)).map((test) => [test.board, test]));
  return tests.map((test) => (outvoted(test.board) ? (plain.get(test.board) ?? test) : test));
};

const scalesAmong = (
  scales: readonly ScaleTest[],
  misfits: readonly ElementTest[],
  family: number,
  typical: number,
): ScaleTest[] =>
  scales
    .filter(
      (s) =>
        2 * normalSurvival(Math.abs(s.w) / Math.sqrt(typical)) <
          familyAlarm / Math.max(family, smallestFamily) &&
        Math.abs(s.w) > largestViewStatistic(misfits, s.board) &&
        Math.abs(s.w) > largestPhotoStatistic(misfits),
    )
    .sort((a, b) => Math.abs(b.w) - Math.abs(a.w));

/** Print sizes that do not fit, worst first: each is set free before the remaining ones are tested. */
const independentScales = (
  adjusted: Adjusted,
  scales: readonly ScaleTest[],
  misfits: readonly ElementTest[],
  family: number,
  typical: number,
): ScaleTest[] => {
  const { model, state } = adjusted.internals;
  const found: ScaleTest[] = [];
  let remaining = scalesAmong(scales, misfits, family, typical);
  while (remaining.length > 0 && found.length < mostMisfits) {
    found.push(remaining[0]);
    if (remaining.length === 1) break;
    const names = new Set(found.map((s) => s.board));
    const silenced = new Set<number>();
    model.statements.forEach((statement, i) => {
      for (const board of names)
        if (statement.key === cellSizeKey(board)) silenced.add(model.views.length + i);
    });
    // A size that is no unknown cannot be set free: its views get almost no weight instead.
    model.views.forEach((view, i) => {
      const fixed = model.layout.boardPlaces[view.board].cell < 0;
      if (fixed && names.has(view.observation.board)) silenced.add(i);
    });
    const again = readjustWithout(adjusted, silenced, state);
    if (!again) return [...found, ...remaining.slice(1)];
    remaining = scalesAmong(scaleTests(again), misfits, family, typical).filter(
      (s) => !names.has(s.board),
    );
  }
  return found;
};

/**
 * One gross error makes the statements near it misfit, too. The worst misfit is given almost no weight, the
 * adjustment repeated, and only what still does not fit then counts beside it. `further` counts the
 * misfits that are left after `mostMisfits`.
 */
const independentMisfits = (
  adjusted: Adjusted,
  misfits: readonly ElementTest[],
  among: (tests: readonly ElementTest[]) => ElementTest[],
): { misfits: ElementTest[]; further: number } => {
  const found: ElementTest[] = [];
  let remaining = misfits;
  const { model, state } = adjusted.internals;
  const statementsAt = model.views.length;
  while (remaining.length > 0 && found.length < mostMisfits) {
    found.push(remaining[0]);
    remaining = remaining.slice(1);
    if (remaining.length === 0) break;
    const silenced = new Set(
      found.map((t) => (t.kind === "view" ? t.index : statementsAt + t.index)),
    );
    const again = readjustWithout(adjusted, silenced, state);
    if (!again) {
      const named = [...found, ...remaining].slice(0, mostMisfits);
      return { misfits: named, further: found.length + remaining.length - named.length };
    }
    remaining = among(elementTests(again)).filter(
      (t) => !silenced.has(t.kind === "view" ? t.index : statementsAt + t.index),
    );
  }
  return { misfits: found, further: remaining.length };
};

const largestViewStatistic = (misfits: readonly ElementTest[], board: string): number =>
  misfits.reduce((m, t) => (t.board === board ? Math.max(m, t.statistic) : m), 0);

/** A photo that misfits as a whole makes boards in it seem larger or smaller. */
const largestPhotoStatistic = (misfits: readonly ElementTest[]): number =>
  misfits.reduce((m, t) => (t.ofPhoto === undefined ? m : Math.max(m, t.statistic)), 0);

const globalTest = (adjusted: Adjusted): GlobalTest => {
  const { model, state } = adjusted.internals;
  const { redundancy } = adjusted;
  const statistic = fullCost(model, state);
  if (redundancy < 1) return { statistic, redundancy, tooLarge: 1, tooSmall: 1, passes: true };
  const tooLarge = chiSquareSurvival(statistic, redundancy);
  const tooSmall = chiSquareCdf(statistic, redundancy);
  return { statistic, redundancy, tooLarge, tooSmall, passes: tooLarge > globalAlarm };
};

/** Boards with a view that does not fit or was down-weighted, worst first. */
const suspectBoards = (misfits: readonly ElementTest[], adjusted: Adjusted): string[] => {
  const suspects = new Map<string, number>();
  const add = (board: string, value: number) =>
    suspects.set(board, Math.max(suspects.get(board) ?? 0, value));
  for (const t of misfits) for (const board of t.boards) add(board, t.statistic);
  for (const d of adjusted.downWeighted) add(d.board, 1 / Math.sqrt(d.weight));
  return [...suspects.keys()]
    .sort((a, b) => suspects.get(b)! - suspects.get(a)!)
    .slice(0, mostSuspects);
};

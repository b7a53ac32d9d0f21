import { chiSquareCdf, chiSquareSurvival } from "../../maths/statistics.ts";
import { type Adjusted, type AdjustOptions, type Internals, readjustWithout } from "../adjust.ts";
import type { Remark } from "../codes.ts";
import type { NetworkProblem } from "../problem/problem.ts";
import { fullCost } from "../solve/optimise.ts";
import { type ElementTest, elementTests } from "./element-tests.ts";
import { type MovedBoard, splitOneMovedBoard } from "./moved-boards.ts";
import { type ScaleTest, scaleTests } from "./print-scale.ts";
import {
  boardsInTwoPlaces,
  isTwoPlaces,
  type TwoPlaces,
  twoPlacesOf,
  twoPlacesRemark,
} from "./two-places.ts";
import { viewpointRemark } from "./viewpoints.ts";

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
  /** One number seen at two places. */
  readonly twice: readonly TwoPlaces[];
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

/** Significance of one test in the family of all: about one false alarm in 100 clean jobs. */
const familyAlarm = 0.01;

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
    const misfits = misfitsAmong(tests, tests.length);
    const suspects = suspectBoards(misfits, current.adjusted);
    const rivals = (board: string): number =>
      misfits.reduce(
        (m, t) =>
          t.kind === "statement" && t.boards.includes(board) ? Math.max(m, t.statistic ** 2) : m,
        0,
      );
    const plain = plainInternals(current.adjusted);
    const split = splitOneMovedBoard(
      current.problem,
      current.adjusted,
      plain,
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

/** Least squares without robust weights, in which a move shows with its full strength. */
const plainInternals = (adjusted: Adjusted): Internals => {
  const { internals, downWeighted } = adjusted;
  if (downWeighted.length === 0) return internals;
  return readjustWithout(adjusted, new Set(), internals.state) ?? internals;
};

/** More boards than this do not move in one job; something else is wrong then. */
const mostMoves = 4;

const misfitsAmong = (tests: readonly ElementTest[], family: number): ElementTest[] =>
  tests
    .filter((t) => t.dof > 0 && t.probability < familyAlarm / Math.max(family, 10))
    .sort((a, b) => severity(b) - severity(a));

/** Orders misfits of different kinds: how unlikely they are, also where probabilities underflow. */
const severity = (t: ElementTest): number => t.statistic ** 2 - t.dof;

const examine = (adjusted: Adjusted, moved: readonly MovedBoard[]): Diagnosis => {
  const { internals } = adjusted;
  const tests = elementTests(internals);
  const scales = scaleTests(internals);
  const family = tests.length + scales.length;
  const misfits = independentMisfits(adjusted, misfitsAmong(tests, family), family);
  // Where single views do not fit, a size that does not fit is their shadow, not a second fault.
  const scaled = independentScales(adjusted, scales, misfits, family);
  const global = globalTest(adjusted);
  const twice = [
    ...moved.filter((m) => isTwoPlaces(adjusted, m)).map((m) => twoPlacesOf(adjusted, m)),
    ...boardsInTwoPlaces(adjusted),
  ];
  const remarks = describe({ global, misfits, scaled, moved, twice, adjusted });
  return { global, tests, misfits, scales, scaled, moved, twice, remarks };
};

const scalesAmong = (
  scales: readonly ScaleTest[],
  misfits: readonly ElementTest[],
  family: number,
): ScaleTest[] =>
  scales
    .filter(
      (s) =>
        s.probability < familyAlarm / Math.max(family, 10) &&
        Math.abs(s.w) > largestViewStatistic(misfits, s.board),
    )
    .sort((a, b) => Math.abs(b.w) - Math.abs(a.w));

/** The same for sizes: the worst board's size is set free before the others are judged. */
const independentScales = (
  adjusted: Adjusted,
  scales: readonly ScaleTest[],
  misfits: readonly ElementTest[],
  family: number,
): ScaleTest[] => {
  const { model, state } = adjusted.internals;
  const found: ScaleTest[] = [];
  let remaining = scalesAmong(scales, misfits, family);
  while (remaining.length > 0 && found.length < mostMisfits) {
    found.push(remaining[0]);
    if (remaining.length === 1) break;
    const names = new Set(found.map((s) => s.board));
    const silenced = new Set<number>();
    model.statements.forEach((statement, i) => {
      for (const board of names)
        if (statement.label === `cell size of board ${board}`) silenced.add(model.views.length + i);
    });
    // A size that is no unknown cannot be set free: its views step back instead.
    model.views.forEach((view, i) => {
      const fixed = model.layout.boardPlaces[view.board].cell < 0;
      if (fixed && names.has(view.observation.board)) silenced.add(i);
    });
    const again = readjustWithout(adjusted, silenced, state);
    if (!again) return [...found, ...remaining.slice(1)];
    remaining = scalesAmong(scaleTests(again), misfits, family).filter((s) => !names.has(s.board));
  }
  return found;
};

/**
 * One gross error throws shadows on its neighbours. The worst misfit is given almost no weight,
 * the adjustment repeated, and only what still does not fit then counts beside it.
 */
const independentMisfits = (
  adjusted: Adjusted,
  misfits: readonly ElementTest[],
  family: number,
): ElementTest[] => {
  const found: ElementTest[] = [];
  let remaining = misfits;
  const { model, state } = adjusted.internals;
  const statementsAt = model.views.length;
  while (remaining.length > 0 && found.length < mostMisfits) {
    found.push(remaining[0]);
    if (remaining.length === 1) break;
    const silenced = new Set(
      found.map((t) => (t.kind === "view" ? t.index : statementsAt + t.index)),
    );
    const again = readjustWithout(adjusted, silenced, state);
    if (!again) return [...found, ...remaining.slice(1)];
    remaining = misfitsAmong(elementTests(again), family).filter(
      (t) => !silenced.has(t.kind === "view" ? t.index : statementsAt + t.index),
    );
  }
  return found;
};

const mostMisfits = 12;

const largestViewStatistic = (misfits: readonly ElementTest[], board: string): number =>
  misfits.reduce((m, t) => (t.board === board ? Math.max(m, t.statistic) : m), 0);

const globalTest = (adjusted: Adjusted): GlobalTest => {
  const { model, state } = adjusted.internals;
  const { redundancy } = adjusted;
  const statistic = fullCost(model, state);
  if (redundancy < 1) return { statistic, redundancy, tooLarge: 1, tooSmall: 1, passes: true };
  const tooLarge = chiSquareSurvival(statistic, redundancy);
  const tooSmall = chiSquareCdf(statistic, redundancy);
  return { statistic, redundancy, tooLarge, tooSmall, passes: tooLarge > 0.001 };
};

/** Boards with a view that does not fit or was down-weighted, worst first. */
const suspectBoards = (misfits: readonly ElementTest[], adjusted: Adjusted): string[] => {
  const suspects = new Map<string, number>();
  const add = (board: string, value: number) =>
    suspects.set(board, Math.max(suspects.get(board) ?? 0, value));
  for (const t of misfits) for (const board of t.boards) add(board, t.statistic);
  for (const d of adjusted.downWeighted) add(d.board, 1 / Math.sqrt(d.weight));
  return [...suspects.keys()].sort((a, b) => suspects.get(b)! - suspects.get(a)!).slice(0, 6);
};

interface Found {
  readonly global: GlobalTest;
  readonly misfits: readonly ElementTest[];
  readonly scaled: readonly ScaleTest[];
  readonly moved: readonly MovedBoard[];
  readonly twice: readonly TwoPlaces[];
  readonly adjusted: Adjusted;
}

const describe = ({ global, misfits, scaled, moved, twice, adjusted }: Found): Remark[] => {
  const elsewhere = (photo?: string, board?: string): boolean =>
    twice.some((t) => t.board === board && t.photos.includes(photo ?? ""));
  const shifted = moved.filter((m) => !isTwoPlaces(adjusted, m));
  const remarks: Remark[] = twice.map(twoPlacesRemark);
  const movedRemarks: Remark[] = shifted.map((m) => ({
    code: "board-moved",
    values: {
      board: m.board,
      shift: m.shiftMm,
      turn: m.turnDeg,
      before: m.lastBefore,
      after: m.firstAfter,
    },
    severity: "warning",
    message: `Board ${m.board} moved by ${m.shiftMm.toFixed(1)} mm and ${m.turnDeg.toFixed(2)} degrees between photo ${m.lastBefore} and photo ${m.firstAfter}.`,
    remedy:
      "Its place before and its place after are kept apart. Fix the board and take the photos again if both are needed.",
    about: m.board,
  }));
  remarks.push(...movedRemarks);
  for (const s of scaled)
    remarks.push({
      code: "board-scaled",
      values: { board: s.board, scale: s.scale, doubt: 2 * s.scaleSd },
      severity: "warning",
      message: `Board ${s.board} seems to be printed at ${(100 * s.scale).toFixed(2)} % of its stated size (uncertain by ${(200 * s.scaleSd).toFixed(2)} %).`,
      remedy: "Measure the check bar on this board again and enter its length.",
      about: s.board,
    });
  for (const t of misfits) {
    if (elsewhere(t.photo, t.board)) continue;
    if (scaled.some((s) => s.board === t.board || t.label === `cell size of board ${s.board}`))
      continue;
    remarks.push({
      code: "does-not-fit",
      values: {
        photo: t.photo ?? "",
        board: t.board ?? "",
        source: t.source,
        boards: t.boards,
        off: t.biasSds === undefined ? 0 : Math.abs(t.biasSds),
      },
      severity: "warning",
      message: `${capital(t.label)} does not fit the rest${t.biasSds === undefined ? "" : ` (off by ${Math.abs(t.biasSds).toFixed(1)} of its stated standard deviations)`}.`,
      remedy: t.photo
        ? `Look at photo ${t.photo}: is board ${t.board} hidden in part, bent, or was it touched?`
        : "Measure it again, or state a larger uncertainty.",
      about: t.photo ?? t.label,
    });
  }
  for (const d of adjusted.downWeighted)
    if (
      !elsewhere(d.photo, d.board) &&
      !misfits.some((t) => t.photo === d.photo && t.board === d.board)
    )
      remarks.push({
        code: "given-less-weight",
        values: { board: d.board, photo: d.photo, px: d.residualPx, share: d.weight },
        severity: "warning",
        message: `Board ${d.board} in photo ${d.photo} fits badly (${d.residualPx.toFixed(2)} px) and counts for only ${Math.round(100 * d.weight)} %.`,
        remedy: `Look at photo ${d.photo}.`,
        about: d.photo,
      });
  if (!global.passes && remarks.length === 0)
    remarks.push({
      code: "misfit-overall",
      values: { factor: Math.sqrt(adjusted.sigma0Squared) },
      severity: "warning",
      message: `On the whole the photos fit ${Math.sqrt(adjusted.sigma0Squared).toFixed(1)} times worse than stated, with no single cause.`,
      remedy: "Check that the camera profile belongs to this phone and that the boards are flat.",
    });
  const onePlace = viewpointRemark(adjusted.internals);
  return [...remarks, ...(onePlace ? [onePlace] : []), ...adjusted.remarks];
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

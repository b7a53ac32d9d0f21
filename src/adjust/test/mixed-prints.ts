import { invertPositive } from "../../maths/dense.ts";
import { chiSquareQuantile } from "../../maths/statistics.ts";
import { type Adjusted, adjust } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";
import { boardNumber } from "../problem/names.ts";
import type { BoardStatement, NetworkProblem } from "../problem/problem.ts";
import { copyState, type State } from "../problem/state.ts";
import { settleSpreads } from "../spreads/settle.ts";
import { falseAlarm, plainCost } from "./moved-boards.ts";
import { scaleTests } from "./print-scale.ts";

/**
 * Boards that came from another printer, or from an older print, among boards that the job takes for
 * one print. Their common size is one number beside that of the rest. Tested one by one, each of them
 * is held to its size by the others of its own kind, and the contradiction shows as views that do not
 * fit and as boards that seem to have moved.
 */
export interface MixedPrints {
  /** Keys of the boards of the smaller part. */
  readonly boards: readonly string[];
  /** Their size over that of the other boards, and its standard uncertainty. */
  readonly scale: number;
  readonly scaleSd: number;
}

export interface PrintsApart {
  readonly problem: NetworkProblem;
  readonly adjusted: Adjusted;
  readonly prints: MixedPrints;
}

/** One board of another size is that board's own affair (print-scale.ts). */
const fewestBoards = 2;
/** Test value of a board's own size (standard normal) from which all sizes are looked at. Our own. */
const sizeStandsOut = 3.5;
/** Boards with so many outvoted views may have a wrong size, too. Our own, no source. */
const outvotedViews = 2;
/** Relative spread of a size that is set free: any printer. Our own, no source. */
const freeSd = 0.05;
/** Relative spread of width against height of an unknown printer. Our own, no source. */
const freeStretchSd = 0.002;
/** Paper alone differs by less between two pages. Our own, no source. */
const leastDifference = 5e-4;
/**
 * Sizes in their order always part somewhere: the best cut of 22 sizes of one print, however far they
 * scatter beyond chance, has a test value squared beyond this in 1 of 10,000 (simulated).
 */
const chanceValue = 155;
/** A board is named where leaving it out costs so much of the test value squared: 2.4 sds. Our own. */
const boardCounts = 6;

/**
 * The boards of one print in two parts of different size, where the photos demand it, and the
 * adjustment with a print of its own for the smaller part; null otherwise.
 */
export const splitMixedPrints = (
  problem: NetworkProblem,
  adjusted: Adjusted,
): PrintsApart | null => {
  if (!somethingHasAnotherSize(adjusted)) return null;
  const free = withFreeSizes(problem, adjusted);
  if (!free) return null;
  const found = printsOf(problem)
    .flatMap((boards) => partOf(free, boards) ?? [])
    .sort((a, b) => b.value - a.value)[0];
  return found ? apart(problem, adjusted, found) : null;
};

const somethingHasAnotherSize = ({ internals, downWeighted }: Adjusted): boolean => {
  const light = new Map<string, number>();
  for (const { board } of downWeighted) light.set(board, (light.get(board) ?? 0) + 1);
  return (
    [...light.values()].some((views) => views >= outvotedViews) ||
    scaleTests(internals).some(({ w }) => Math.abs(w) > sizeStandsOut)
  );
};

/**
 * Every board with a size of its own: then only what has another cause is outvoted, and hand and noise
 * are as the photos show them. A hand that moves more than stated makes sizes seem to differ.
 */
const withFreeSizes = (problem: NetworkProblem, { internals }: Adjusted): Adjusted | null => {
  const boards = problem.boards.map((board) => ({ ...board, cellSd: freeSd }));
  const own = { ...problem, boards };
  const free = adjust(own, { startState: internals.state });
  if (!free.ok) return null;
  const settled = settleSpreads(own, free);
  return settled.ok ? settled.adjusted : null;
};

/** Boards by print, those only whose size is an unknown. */
const printsOf = ({ boards, samePrints = [] }: NetworkProblem): BoardStatement[][] => {
  const repeated = new Set(samePrints.map(({ boards: [, second] }) => second));
  const prints = new Map<string, BoardStatement[]>();
  for (const board of boards) {
    if (board.print === null || !(board.cellSd > 0) || repeated.has(board.key)) continue;
    prints.set(board.print, [...(prints.get(board.print) ?? []), board]);
  }
  return [...prints.values()].filter((some) => some.length > 2 * fewestBoards);
};

interface Part extends MixedPrints {
  /** Square of the test value, chi-square with 1 if all boards are of one size. */
  readonly value: number;
}

const partOf = (free: Adjusted, boards: readonly BoardStatement[]): Part | null => {
  const { values, covariance } = free.propagate(
    boards.map(({ key, cellMm }) => ({
      key,
      evaluate: (state) => Math.log(state.cellMm(key) / cellMm),
    })),
  );
  const v = Float64Array.from(covariance);
  boards.forEach(({ cellSd }, i) => {
    v[i * (boards.length + 1)] += cellSd ** 2;
  });
  const found = partOfSizes(values, v);
  if (!found) return null;
  const { members, value, difference, sd } = found;
  const scale = Math.exp(difference);
  return { boards: members.map((i) => boards[i].key), scale, scaleSd: scale * sd, value };
};

/**
 * The part that stands out most, as indices; null where none does. The logarithms y of the sizes have
 * the covariance V of the adjustment plus each board's own spread; y = a + d g, with g = 1 on the
 * part, is solved by generalised least squares, and d over its uncertainty is the test value. What is
 * left of the sizes beyond chance widens it. Parts are cut from the boards in the order of their sizes.
 */
export const partOfSizes = (y: Float64Array, covariance: Float64Array): Contrast | null => {
  const weight = invertPositive(covariance, y.length);
  if (!weight) return null;
  const sizes = { y, weight };
  const order = Array.from(y, (_, i) => i).sort((a, b) => y[a] - y[b]);
  const cuts = order
    .slice(1)
    .map((_, i) => smallerOf(order.slice(0, i + 1), order.slice(i + 1)))
    .map((members) => contrastOf(sizes, members));
  const best = onlyThoseThatCount(
    sizes,
    cuts.reduce((a, b) => (b.value > a.value ? b : a)),
  );
  if (best.members.length < fewestBoards || best.value < chanceValue) return null;
  return Math.abs(best.difference) < leastDifference ? null : best;
};

const smallerOf = (low: readonly number[], high: readonly number[]): readonly number[] =>
  low.length <= high.length ? low : high;

interface Sizes {
  readonly y: Float64Array;
  /** Inverse of V, n x n. */
  readonly weight: Float64Array;
}

/** A part against the rest: d, its standard uncertainty, and the square of their ratio. */
export interface Contrast {
  readonly members: readonly number[];
  readonly difference: number;
  readonly sd: number;
  readonly value: number;
}

const contrastOf = ({ y, weight }: Sizes, members: readonly number[]): Contrast => {
  const n = y.length;
  const one = new Float64Array(n).fill(1);
  const g = new Float64Array(n);
  for (const i of members) g[i] = 1;
  const product = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    for (let i = 0; i < n; i++) for (let k = 0; k < n; k++) sum += a[i] * weight[i * n + k] * b[k];
    return sum;
  };
  const [oo, og, gg] = [product(one, one), product(one, g), product(g, g)];
  const [oy, gy, yy] = [product(one, y), product(g, y), product(y, y)];
  const information = gg - og ** 2 / oo;
  const difference = (gy - (og * oy) / oo) / information;
  const left = yy - oy ** 2 / oo - difference ** 2 * information;
  const variance = Math.max(1, left / (n - 2)) / information;
  return { members, difference, sd: Math.sqrt(variance), value: difference ** 2 / variance };
};

/** Without boards whose size is so badly known that they may belong to either part. */
const onlyThoseThatCount = (sizes: Sizes, found: Contrast): Contrast => {
  let best = found;
  for (const member of found.members) {
    if (best.members.length <= 1) break;
    const without = contrastOf(
      sizes,
      best.members.filter((i) => i !== member),
    );
    if (without.value > best.value - boardCounts) best = without;
  }
  return best;
};

/** The adjustment with a print of its own for the part; null where it does not fit better for it. */
const apart = (
  problem: NetworkProblem,
  adjusted: Adjusted,
  { boards, scale, scaleSd }: Part,
): PrintsApart | null => {
  const statement = problem.boards.find(({ key }) => key === boards[0])!;
  const old = problem.prints.findIndex(({ key }) => key === statement.print);
  if (old < 0) return null;
  const { width = 1, height = 1 } = problem.prints[old];
  const key = `${statement.print} apart`;
  const own = {
    key,
    scaleSd: freeSd,
    width: width * scale,
    height: height * scale,
    widthSd: freeStretchSd,
    heightSd: freeStretchSd,
  };
  const numbers = new Set(boards.map(boardNumber));
  const trial: NetworkProblem = {
    ...problem,
    prints: [...problem.prints, own],
    boards: problem.boards.map((board) =>
      numbers.has(boardNumber(board.key)) ? { ...board, print: key } : board,
    ),
  };
  const startState = withOnePrintMore(adjusted.internals.state, own.width, own.height);
  const outcome = adjust(trial, { startState });
  if (!outcome.ok) return null;
  const demanded = chiSquareQuantile(1 - falseAlarm, 1) * Math.max(1, outcome.sigma0Squared);
  if (plainCost(adjusted) - plainCost(outcome) < demanded) return null;
  return { problem: trial, adjusted: outcome, prints: { boards, scale, scaleSd } };
};

const withOnePrintMore = (from: State, width: number, height: number): State => {
  const state = copyState(from);
  return { ...state, printChange: Float64Array.of(...state.printChange, width - 1, height - 1) };
};

/** Coverage factor of the uncertainty in the sentence: about 95 %. */
const coverageFactor = 2;

export const mixedPrintsRemark = ({ boards: keys, scale, scaleSd }: MixedPrints): Remark => {
  const boards = [...new Set(keys.map(boardNumber))].sort((a, b) => Number(a) - Number(b));
  const doubt = coverageFactor * scaleSd;
  return {
    code: "boards-of-two-prints",
    values: { boards, count: boards.length, scale, doubt },
    severity: "error",
    message:
      `Boards ${boards.join(", ")} are printed at ${(100 * scale).toFixed(2)} % of the size of the ` +
      `other boards (uncertain by ${(100 * doubt).toFixed(2)} %): they come from another printer or print.`,
    remedy:
      "Check these pages with the ruler: name them as a print of their own with its two bars, or " +
      "print all boards again on one printer.",
    about: boards.join(", "),
  };
};

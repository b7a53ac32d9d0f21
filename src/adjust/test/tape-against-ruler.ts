import { type Adjusted, readjustWithout } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";
import type { Quantity } from "../problem/problem.ts";
import { propagate } from "../propagate/propagate.ts";
import type { Suspect } from "./describe.ts";

/**
 * The size of everything rests on two statements alone: the ruler on the print and the measured
 * lengths. One contradicts the other with a single number, which a test shared among hundreds of views
 * does not notice, while the surer one drags all distances along: a tape whose hook was counted in.
 */
export interface TapeAgainstRuler {
  /** How much larger the lengths make everything than the print does, relative. */
  readonly larger: number;
  /** The same in its standard uncertainty, normal if both are right. */
  readonly w: number;
  /** Indices of the lengths among the statements of the model. */
  readonly lengths: readonly number[];
}

/**
 * Standard normal value from which the two are called contradictory, in 1 % of the jobs where both are
 * right: it is one test in a job, and only where a check hangs on it does it hold anything back. Our own,
 * no source.
 */
const alarmAt = 2.576;

/**
 * The scale with and without the lengths. With them it has the smaller variance D, without them C, and
 * the difference has C - D (Koch, Parameter Estimation and Hypothesis Testing, 3.2.7). Null where there
 * are no lengths, no print whose size is stated, or no contradiction (1 %).
 */
export const tapeAgainstRuler = (adjusted: Adjusted): TapeAgainstRuler | null => {
  const { model, state } = adjusted.internals;
  const { problem } = model.layout;
  const board = problem.boards.find(({ print }) => print !== null);
  const lengths = model.statements.flatMap(({ source }, i) =>
    source === "length reference" ? [i] : [],
  );
  const stated = problem.prints.some(
    ({ key, scaleSd }) => key === board?.print && Number.isFinite(scaleSd),
  );
  if (!board || !stated || lengths.length === 0) return null;
  const silenced = new Set(lengths.map((i) => model.views.length + i));
  const without = readjustWithout(adjusted, silenced, state);
  if (!without) return null;
  const size: Quantity[] = [{ key: "size", evaluate: (at) => Math.log(at.cellMm(board.key)) }];
  const both = adjusted.propagate(size);
  const print = propagate(without.propagator, size);
  const variance = print.covariance[0] - both.covariance[0];
  if (!(variance > 0)) return null;
  const difference = both.values[0] - print.values[0];
  const w = difference / Math.sqrt(variance);
  if (Math.abs(w) < alarmAt) return null;
  return { larger: Math.expm1(difference), w, lengths };
};

export const tapeSuspect = (
  { larger, w, lengths }: TapeAgainstRuler,
  { internals: { model } }: Adjusted,
): Suspect => {
  const percent = 100 * Math.abs(larger);
  const way = larger > 0 ? "larger" : "smaller";
  const remark: Remark = {
    code: "lengths-against-print",
    values: { percent, way, off: Math.abs(w) },
    severity: "warning",
    message:
      `The measured lengths make everything ${percent.toFixed(2)} % ${way} than the ruler on the print ` +
      `does: ${Math.abs(w).toFixed(1)} times what both allow.`,
    remedy:
      "Measure the lengths again (is the tape's hook or the laser's end counted in?) and read the " +
      "check bars again.",
    about: "lengths",
  };
  return { remark, factors: lengths.map((i) => model.views.length + i), residualPx: null };
};

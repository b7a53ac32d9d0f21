import { normalSurvival } from "../../maths/statistics.ts";
import type { Internals } from "../adjust.ts";
import { scratch } from "../factors/factor.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import { sizeAt } from "../factors/view-projection.ts";
import { delta0 } from "./element-tests.ts";

/**
 * Whether a board is printed to another scale than stated: the alternative is a size of its own
 * beyond what its prior allows (a bias on the size column of all its views).
 */
export interface ScaleTest {
  readonly board: string;
  /** Estimated size over stated size. */
  readonly scale: number;
  /** Standard uncertainty of `scale`, no unit. */
  readonly scaleSd: number;
  /** Test value, standard normal if the stated size is right. */
  readonly w: number;
  /** Probability of a |w| as large as this or larger if the stated size is right. */
  readonly probability: number;
  /** Smallest relative size error that would be found. */
  readonly mdb: number;
}

/** Share of the size's own information below which nothing else controls it. Our own, no source. */
const uncontrolled = 1e-9;

/** Scale tests of all boards whose printed size the rest of the network controls. */
export const scaleTests = (internals: Internals): ScaleTest[] =>
  internals.model.layout.problem.boards.flatMap((board, index) => {
    const test = scaleTest(internals, index);
    return test ? [{ board: board.key, ...test }] : [];
  });

const scaleTest = (
  { model, state, weights, factorisation }: Internals,
  board: number,
): Omit<ScaleTest, "board"> | null => {
  const { layout } = model;
  const views = model.views
    .map((view, i) => ({ view, weight: weights[i] }))
    .filter(({ view }) => view.board === board);
  if (views.length === 0) return null;
  const a = new Float64Array(layout.size);
  let own = 0;
  let gradient = 0;
  for (const { view, weight } of views) {
    const parts = sizeColumn(view, state);
    own += weight * parts.own;
    gradient += weight * parts.gradient;
    let at = 0;
    for (const b of view.blocks) {
      const { offset, size } = layout.blocks[b];
      for (let k = 0; k < size; k++, at++) a[offset + k] += weight * parts.coupling[at];
    }
  }
  const x = a.slice();
  factorisation.solve(x);
  let control = own;
  for (let i = 0; i < a.length; i++) control -= a[i] * x[i];
  if (!(control > uncontrolled * own)) return null;
  const bias = -gradient / control;
  const w = bias * Math.sqrt(control);
  // With the bias free, a size of the board's own returns to its prior mean: all is in the bias.
  return {
    scale: 1 + bias,
    scaleSd: 1 / Math.sqrt(control),
    w,
    probability: 2 * normalSurvival(Math.abs(w)),
    mdb: delta0 / Math.sqrt(control),
  };
};

/** The size column b of a view: b^T b, b^T r and J^T b over the view's unknowns. */
const sizeColumn = (view: ImageFactor, state: Internals["state"]) => {
  const { rows, width } = view;
  const c = view.innerColumns.length;
  const at = view.innerColumns.indexOf(sizeAt);
  const r = scratch("residuals", rows);
  const b = scratch("derivatives", rows * c);
  view.inner(state, r, b);
  const spread = view.spread(state);
  const inner = new Float64Array(c);
  let own = 0;
  let gradient = 0;
  for (let i = 0; i < rows; i++) {
    const f = b[i * c + at];
    own += f * f;
    gradient += f * r[i];
    for (let k = 0; k < c; k++) inner[k] += f * b[i * c + k];
  }
  const coupling = new Float64Array(width);
  for (let k = 0; k < c; k++)
    for (let i = 0; i < width; i++) coupling[i] += inner[k] * spread[k * width + i];
  return { own, gradient, coupling };
};

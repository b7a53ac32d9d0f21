import { multiply, solveSquare, symmetricEigen } from "../../maths/dense.ts";
import { degrees } from "../../maths/pose.ts";
import { chiSquareSurvival, normalSurvival } from "../../maths/statistics.ts";
import type { Internals } from "../adjust.ts";
import { type SmallFactor, scratch } from "../factors/factor.ts";
import type { ImageFactor } from "../factors/image-factor.ts";
import type { Source } from "../problem/problem.ts";
import { localCovariance } from "../propagate/local-covariance.ts";
import { controlledForm } from "./controlled-form.ts";

/**
 * Data snooping (Baarda 1968; Teunissen, Testing Theory): for each statement, how much of an error
 * in it the others would reveal (redundancy number), whether it fits (test value against its
 * distribution), and the smallest error that would be found with 80 % power at a significance of
 * 0.1 % (minimal detectable bias, MDB = sd * 4.132 / sqrt(r)).
 */
export interface ElementTest {
  readonly kind: "view" | "statement";
  readonly label: string;
  readonly source: Source;
  readonly photo?: string;
  readonly board?: string;
  /** Photo that a statement is about: its own focal length or picture centre. */
  readonly ofPhoto?: string;
  /** Boards that the statement is about. */
  readonly boards: readonly string[];
  /** Index among views or statements of the model. */
  readonly index: number;
  /** Share of the statement's observations that others control, 0 (unchecked) .. 1. */
  readonly redundancy: number;
  /** |w| (standard normal) for one observation; sqrt of the chi-square value for several. */
  readonly statistic: number;
  readonly dof: number;
  /** Probability of a value as large as this or larger if the statement is right. */
  readonly probability: number;
  /** Smallest detectable errors. Lengths mm, angles degrees, otherwise in units of the prior's sd. */
  readonly mdb: { readonly shiftMm?: number; readonly turnDeg?: number; readonly sds?: number };
  /** Estimated error in units of the statement's sd (single observations). */
  readonly biasSds?: number;
}

type BareTest = Omit<ElementTest, "boards" | "index">;

/** Non-centrality root for significance 0.1 % and power 80 % (Baarda's B-method). */
export const delta0 = 4.132147965064809;

/** Redundancy number (0 to 1) below which nothing checks the statement. Our own, no source. */
const unchecked = 1e-6;
/** The same for a direction of a statement with several observations: rounding is larger there. */
const uncheckedDirection = 1e-4;

/** Tests of every view and statement of a solution, views first; worked out once per solution. */
export const elementTests = (internals: Internals): readonly ElementTest[] => {
  let tests = known.get(internals);
  if (!tests) {
    tests = testAll(internals);
    known.set(internals, tests);
  }
  return tests;
};

/** Results by solution: the search for moved boards and the report after it need the same tests. */
const known = new WeakMap<Internals, readonly ElementTest[]>();

const testAll = (internals: Internals): ElementTest[] => {
  const { model, state, weights, factorisation } = internals;
  const covarianceOf = localCovariance(model.equations, factorisation);
  return [
    ...model.views.map((view, i) => ({
      ...viewTest(internals, view, weights[i], covarianceOf(view)),
      boards: [view.observation.board],
      index: i,
    })),
    ...model.statements.flatMap((s, index) => {
      const about = s.blocks.map((b) => model.layout.blocks[b]).filter((b) => b.kind === "board");
      const boards = about.map((b) => b.key);
      return statementTests(state, s, covarianceOf(s)).map((t) => ({ ...t, boards, index }));
    }),
  ];
};

/**
 * Whether the whole board sits in this photo where the rest of the network says it should: the
 * alternative is any displacement of the board in this photo (six numbers). Where the view was
 * down-weighted, the test is taken as if it had full weight.
 */
const viewTest = (
  { state }: Internals,
  view: ImageFactor,
  weight: number,
  covariance: Float64Array,
): BareTest => {
  const { width, rows } = view;
  const c = view.innerColumns.length;
  const r = scratch("residuals", rows);
  const b = scratch("derivatives", rows * c);
  if (!view.inner(state, r, b)) return impossibleView(view);
  const spread = view.spread(state);
  const { n, g } = innerNormals(r, b, rows, c);
  // In the inner numbers: covariance of the view's inner numbers from the network.
  let inner = multiply(
    multiply(spread, covariance, c, width, width),
    transposed(spread, c, width),
    c,
    width,
    c,
  );
  let gradient: Float64Array = g;
  if (weight < 1) ({ inner, gradient } = atFullWeight(inner, n, g, weight, c));
  const nCov = multiply(n, inner, c, c, c);
  let trace = 0;
  for (let k = 0; k < c; k++) trace += nCov[k * c + k];
  const nCovN = multiply(nCov, n, c, c, c);
  const control = new Float64Array(36);
  for (let i = 0; i < 6; i++)
    for (let k = 0; k < 6; k++) control[i * 6 + k] = n[i * c + k] - nCovN[i * c + k];
  const ownDiagonal = [0, 1, 2, 3, 4, 5].map((k) => n[k * c + k]);
  const { value, dof } = controlledForm(control, ownDiagonal, gradient);
  const { photo, board } = view.observation;
  return {
    kind: "view",
    label: view.label,
    source: view.source,
    photo,
    board,
    redundancy: 1 - trace / rows,
    statistic: Math.sqrt(value),
    dof,
    probability: dof > 0 ? chiSquareSurvival(value, dof) : 1,
    mdb: { shiftMm: detectable(control, 3), turnDeg: degrees(detectable(control, 0)) },
  };
};

/** A view that the adjustment left out, since its board would lie behind the camera: no test applies. */
const impossibleView = (view: ImageFactor): BareTest => ({
  kind: "view",
  label: view.label,
  source: view.source,
  photo: view.observation.photo,
  board: view.observation.board,
  redundancy: 0,
  statistic: 0,
  dof: 0,
  probability: 1,
  mdb: { shiftMm: Number.POSITIVE_INFINITY, turnDeg: Number.POSITIVE_INFINITY },
});

/** Covariance and gradient of a down-weighted view's inner numbers had it kept its weight. */
const atFullWeight = (
  inner: Float64Array,
  n: Float64Array,
  g: Float64Array,
  weight: number,
  c: number,
): { inner: Float64Array; gradient: Float64Array } => {
  // C1 = C (I + (1 - w) N C)^-1, solved row by row; gradient moves by N C1 (1 - w) g.
  const m = multiply(n, inner, c, c, c);
  for (let i = 0; i < m.length; i++) m[i] *= 1 - weight;
  for (let k = 0; k < c; k++) m[k * c + k] += 1;
  const updated = divideRight(inner, m, c);
  const step = multiply(updated, g, c, c, 1);
  const change = multiply(n, step, c, c, 1);
  return { inner: updated, gradient: g.map((v, i) => v - (1 - weight) * change[i]) };
};

/** C M^-1 for square C and M, row by row: M^T y = c. */
const divideRight = (c: Float64Array, m: Float64Array, n: number): Float64Array => {
  const mt = transposed(m, n, n);
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const row = solveSquare(mt, c.subarray(i * n, (i + 1) * n), n);
    if (row) out.set(row, i * n);
  }
  return out;
};

/** Largest of the smallest detectable errors over all directions of three numbers from `at`. */
const detectable = (control: Float64Array, at: number): number => {
  const part = new Float64Array(9);
  for (let i = 0; i < 3; i++)
    for (let k = 0; k < 3; k++) part[i * 3 + k] = control[(at + i) * 6 + at + k];
  const least = symmetricEigen(part, 3).values[0];
  return least > 0 ? delta0 / Math.sqrt(least) : Number.POSITIVE_INFINITY;
};

const innerNormals = (r: Float64Array, b: Float64Array, rows: number, c: number) => {
  const n = new Float64Array(c * c);
  const g = new Float64Array(c);
  for (let i = 0; i < rows; i++)
    for (let a = 0; a < c; a++) {
      const f = b[i * c + a];
      if (f === 0) continue;
      g[a] += f * r[i];
      for (let k = 0; k < c; k++) n[a * c + k] += f * b[i * c + k];
    }
  return { n, g };
};

const transposed = (m: Float64Array, rows: number, columns: number): Float64Array => {
  const out = new Float64Array(rows * columns);
  for (let i = 0; i < rows; i++)
    for (let k = 0; k < columns; k++) out[k * rows + i] = m[i * columns + k];
  return out;
};

/** One w-test per observation of a statement; a lens prior is tested as a whole as well. */
const statementTests = (
  state: Internals["state"],
  factor: SmallFactor,
  covariance: Float64Array,
): BareTest[] => {
  const { rows, width } = factor;
  const r = new Float64Array(rows);
  const j = new Float64Array(rows * width);
  factor.residuals(state, r, j);
  const spread = multiply(
    multiply(j, covariance, rows, width, width),
    transposed(j, rows, width),
    rows,
    width,
    rows,
  );
  const q = spread.map((v, i) => (i % (rows + 1) === 0 ? 1 - v : -v));
  if (factor.source === "lens") return [wholeTest(factor, q, r)];
  return Array.from(r, (value, i) => {
    const redundancy = q[i * rows + i];
    const checked = redundancy > unchecked;
    const w = checked ? value / Math.sqrt(redundancy) : 0;
    return {
      kind: "statement" as const,
      label: rows > 1 ? `${factor.label} (${i + 1} of ${rows})` : factor.label,
      source: factor.source,
      ...(factor.ofPhoto === undefined ? {} : { ofPhoto: factor.ofPhoto }),
      redundancy: checked ? redundancy : 0,
      statistic: Math.abs(w),
      dof: checked ? 1 : 0,
      probability: 2 * normalSurvival(Math.abs(w)),
      mdb: { sds: checked ? delta0 / Math.sqrt(redundancy) : Number.POSITIVE_INFINITY },
      biasSds: checked ? value / redundancy : 0,
    };
  });
};

const wholeTest = (factor: SmallFactor, q: Float64Array, r: Float64Array): BareTest => {
  const { rows } = factor;
  let trace = 0;
  for (let i = 0; i < rows; i++) trace += q[i * rows + i];
  const { values, vectors } = symmetricEigen(q, rows);
  let value = 0;
  let dof = 0;
  for (let k = 0; k < rows; k++) {
    if (values[k] < uncheckedDirection) continue;
    let along = 0;
    for (let i = 0; i < rows; i++) along += vectors[i * rows + k] * r[i];
    value += along ** 2 / values[k];
    dof++;
  }
  return {
    kind: "statement",
    label: factor.label,
    source: factor.source,
    redundancy: trace / rows,
    statistic: Math.sqrt(value),
    dof,
    probability: dof > 0 ? chiSquareSurvival(value, dof) : 1,
    mdb: {
      sds: trace / rows > unchecked ? delta0 / Math.sqrt(trace / rows) : Number.POSITIVE_INFINITY,
    },
  };
};

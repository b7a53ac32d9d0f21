import { lensSize } from "../../lens/lens.ts";
import { solveSquare } from "../../maths/dense.ts";
import type { SmallFactor } from "../factors/factor.ts";
import type { Block, Layout } from "../problem/layout.ts";
import type { Propagated, Quantity, Source, StateView } from "../problem/problem.ts";
import { copyState, moveBlock, type State, viewOf } from "../problem/state.ts";
import { type Datum, toInnerDatum } from "../solve/datum.ts";
import type { Solve } from "../solve/normal-equations.ts";

/**
 * Propagation of the adjustment's covariance to any functions of the unknowns: C = J H^-1 J^T
 * (JCGM 102:2011, 6.2), J by central differences in the tangent space of the blocks that each
 * function reads. The share of a source s in one variance is J H^-1 (A_s^T W_s A_s) H^-1 J^T:
 * what that source's errors alone would cause; the shares add up to the variance.
 */
export interface Propagator {
  readonly layout: Layout;
  readonly state: State;
  readonly solve: Solve;
  readonly datum: Datum;
  readonly statements: readonly SmallFactor[];
  /** True where `solve` already applies the inner constraints over the boards. */
  readonly innerSolution: boolean;
}

/** Nonzero elements of a derivative row: a quantity touches few of the unknowns. */
interface Sparse {
  readonly places: Int32Array;
  readonly values: Float64Array;
}

const sparse = (row: Float64Array): Sparse => {
  const places: number[] = [];
  for (let i = 0; i < row.length; i++) if (row[i] !== 0) places.push(i);
  return { places: Int32Array.from(places), values: Float64Array.from(places, (i) => row[i]) };
};

const sparseProduct = ({ places, values }: Sparse, x: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < places.length; i++) sum += values[i] * x[places[i]];
  return sum;
};

export const propagate = (p: Propagator, quantities: readonly Quantity[]): Propagated => {
  const m = quantities.length;
  const values = new Float64Array(m);
  const rows: Sparse[] = [];
  const solutions: Float64Array[] = [];
  const inverse = datumInverse(p.datum);
  const neighbours = neighbourStates(p.layout, p.state);
  quantities.forEach((quantity, i) => {
    const { value, row } = differentiate(p.layout, p.state, quantity, neighbours);
    values[i] = value;
    // Where the solution itself stands in the inner datum, C^T x = 0 and the plain row serves.
    const plain = sparse(row);
    toInnerDatum(row, p.datum, inverse);
    const x = row.slice();
    p.solve(x);
    rows.push(p.innerSolution ? plain : sparse(row));
    solutions.push(x);
  });
  const covariance = new Float64Array(m * m);
  for (let i = 0; i < m; i++)
    for (let k = 0; k <= i; k++) {
      const c = sparseProduct(rows[i], solutions[k]);
      covariance[i * m + k] = c;
      covariance[k * m + i] = c;
    }
  const linear = p.statements.map((factor) => linearise(p.state, factor));
  const budget = solutions.map((x, i) => shares(p, linear, x, covariance[i * m + i]));
  const lenses = solutions.map((x) => lensShares(p, linear, x));
  return { keys: quantities.map((q) => q.key), values, covariance, budget, lenses };
};

/** (C^T M)^-1 of the datum, k x k. */
const datumInverse = (datum: Datum): Float64Array => {
  const k = datum.motions.length;
  const matrix = new Float64Array(k * k);
  for (let a = 0; a < k; a++)
    for (let b = 0; b < k; b++) matrix[a * k + b] = product(datum.constraints[a], datum.motions[b]);
  const out = new Float64Array(k * k);
  for (let c = 0; c < k; c++) {
    const e = new Float64Array(k);
    e[c] = 1;
    const column = solveSquare(matrix, e, k);
    if (column) for (let r = 0; r < k; r++) out[r * k + c] = column[r];
  }
  return out;
};

const product = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
};

/** The state moved ahead and back along each unknown of a block, with the step. */
interface Neighbour {
  readonly ahead: StateView;
  readonly back: StateView;
  readonly step: number;
}
type Neighbours = (block: Block) => readonly Neighbour[];

/** Moved states, made once: all quantities are differentiated over the same ones. */
const neighbourStates = (layout: Layout, state: State): Neighbours => {
  const known = new Map<Block, readonly Neighbour[]>();
  const moved = (block: Block, k: number, by: number): StateView => {
    const copy = copyState(state);
    const delta = new Float64Array(block.size);
    delta[k] = by;
    moveBlock(layout, copy, block, delta, 0);
    return viewOf(layout, copy);
  };
  return (block) => {
    const found = known.get(block);
    if (found) return found;
    const made = Array.from({ length: block.size }, (_, k) => {
      const step = stepOf(layout, state, block, k);
      return { ahead: moved(block, k, step), back: moved(block, k, -step), step };
    });
    known.set(block, made);
    return made;
  };
};

/** Value and derivative row of a quantity. Angles near a jump of the function are not unwrapped. */
const differentiate = (
  layout: Layout,
  state: State,
  quantity: Quantity,
  neighbours: Neighbours,
): { value: number; row: Float64Array } => {
  const touched = new Set<Block>();
  const value = quantity.evaluate(viewOf(layout, state, touched));
  const row = new Float64Array(layout.size);
  for (const block of touched)
    neighbours(block).forEach(({ ahead, back, step }, k) => {
      row[block.offset + k] = (quantity.evaluate(ahead) - quantity.evaluate(back)) / (2 * step);
    });
  return { value, row };
};

/** Step for central differences: small against curvature, large against rounding. */
const stepOf = (layout: Layout, state: State, block: Block, k: number): number => {
  if (block.kind === "camera") {
    const spread = layout.lensSpread[block.index];
    const free = spread.length / lensSize;
    return k >= free || spread[k] !== 0 || spread[2 * free + k] !== 0 ? 1e-2 : 1e-5;
  }
  if (block.kind === "scalars") {
    const element = layout.scalarFree[block.index][k];
    const sd = layout.problem.scalars[block.index].sd[element];
    const value = state.scalars[block.index][element];
    return Number.isFinite(sd) ? 1e-2 * sd : 1e-6 * Math.max(1, Math.abs(value));
  }
  if (block.kind === "print") return 1e-5;
  if (block.kind === "photo" && layout.photoPlaces[block.index].motion[1] >= 0) {
    const at = k - layout.photoPlaces[block.index].motion[1];
    if (at >= 0 && at < 3) return 5e-3;
  }
  return k < 3 ? 1e-5 : k < 6 ? 5e-3 : 1e-6;
};

/** A statement with its Jacobian at the solution. */
interface Linear {
  readonly factor: SmallFactor;
  readonly jacobian: Float64Array;
}

const linearise = (state: State, factor: SmallFactor): Linear => {
  const jacobian = new Float64Array(factor.rows * factor.width);
  factor.residuals(state, new Float64Array(factor.rows), jacobian);
  return { factor, jacobian };
};

/** Variance by source: those of statements are summed directly, the remainder is that of the images. */
const shares = (
  p: Propagator,
  linear: readonly Linear[],
  x: Float64Array,
  variance: number,
): Partial<Record<Source, number>> => {
  const out: Partial<Record<Source, number>> = {};
  let rest = variance;
  for (const statement of linear) {
    const share = effectSquared(p.layout, statement, x);
    const { source } = statement.factor;
    out[source] = (out[source] ?? 0) + share;
    rest -= share;
  }
  out.image = (out.image ?? 0) + Math.max(rest, 0);
  return out;
};

/** What "lens" contributes to a variance, by camera. */
const lensShares = (
  p: Propagator,
  linear: readonly Linear[],
  x: Float64Array,
): Record<string, number> => {
  const out: Record<string, number> = {};
  for (const statement of linear) {
    const { camera } = statement.factor;
    if (camera !== undefined)
      out[camera] = (out[camera] ?? 0) + effectSquared(p.layout, statement, x);
  }
  return out;
};

/** |A_f x|^2 of one statement. */
const effectSquared = (layout: Layout, { factor, jacobian }: Linear, x: Float64Array): number => {
  let sum = 0;
  let at = 0;
  for (let row = 0; row < factor.rows; row++) {
    let effect = 0;
    for (const i of factor.blocks) {
      const { offset, size } = layout.blocks[i];
      for (let k = 0; k < size; k++, at++) effect += jacobian[at] * x[offset + k];
    }
    sum += effect * effect;
  }
  return sum;
};

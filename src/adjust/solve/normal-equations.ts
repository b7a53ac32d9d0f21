import { cholesky, choleskyInverse, choleskySolve } from "../../maths/dense.ts";
import type { Factor } from "../factors/factor.ts";
import type { Block, Layout } from "../problem/layout.ts";
import type { State } from "../problem/state.ts";
import {
  backEliminated,
  chooseEliminated,
  type Eliminated,
  eliminateBlock,
  forwardEliminated,
  prepareEliminated,
} from "./eliminated.ts";

/**
 * Normal equations H d = -g of the adjustment, block by block. Blocks that share no statement with
 * each other (all photos, or all boards that nothing but photos ties together) are eliminated by
 * the Schur complement; what remains is factored densely. Photos or boards are eliminated,
 * whichever leaves less (Brown 1958; Triggs et al. 2000, section 6).
 */
export interface NormalEquations {
  readonly layout: Layout;
  /** Number of unknowns that stay in the dense part. */
  readonly keptSize: number;
  /** Place of a block in the dense part, or -1 where the block is eliminated. */
  readonly keptAt: readonly number[];
  /** Fills H and g at a state; weights scale whole factors. Returns the weighted sum of squares. */
  build(state: State, weights?: Float64Array): number;
  /** Gradient J^T r of the last build, full parameter vector. */
  readonly gradient: Float64Array;
  /** Diagonal of H of the last build. */
  readonly diagonal: Float64Array;
  /**
   * Prepares solutions of (H + lambda diag H + datum datum^T) x = b.
   * `datum` holds k vectors over the full parameters that are zero on eliminated blocks.
   */
  factor(lambda: number, datum: readonly Float64Array[]): Factorisation;
}

export type Factorisation =
  | {
      readonly ok: true;
      readonly solve: Solve;
      readonly keptInverse: () => Float64Array;
      readonly eliminatedInverse: (block: number) => EliminatedInverse;
    }
  /** The unknown (full parameter vector) whose pivot vanished. */
  | { readonly ok: false; readonly failedAt: number };

/** Solves in place over the full parameter vector. */
export type Solve = (b: Float64Array) => void;

/** Own inverse of an eliminated block and its influence on the kept blocks it touches. */
export interface EliminatedInverse {
  readonly own: Float64Array;
  readonly neighbours: readonly number[];
  /** size x (neighbours' sizes) row-major: own inverse times coupling. */
  readonly coupling: Float64Array;
}

/** H and g as the last build left them, with the places of all blocks. */
interface Assembled {
  readonly blocks: readonly Block[];
  readonly keptBlocks: readonly KeptBlock[];
  readonly keptAt: readonly number[];
  /** Unknowns in the dense part, n. */
  readonly n: number;
  /** The dense part of H, n x n row-major. */
  readonly dense: Float64Array;
  readonly eliminated: ReadonlyMap<number, Eliminated>;
  readonly gradient: Float64Array;
  readonly diagonal: Float64Array;
}

interface KeptBlock {
  readonly block: Block;
  readonly i: number;
}

/** Sets up the equations of some statements; `build` fills them, `factor` prepares solutions. */
export const normalEquations = (layout: Layout, factors: readonly Factor[]): NormalEquations => {
  const equations = allocate(layout, factors);
  const { n, keptAt, dense, eliminated, gradient, diagonal } = equations;
  const widest = factors.reduce((w, f) => Math.max(w, f.width), 0);
  const localN = new Float64Array(widest * widest);
  const localG = new Float64Array(widest);
  const build = (state: State, weights?: Float64Array): number => {
    dense.fill(0);
    gradient.fill(0);
    diagonal.fill(0);
    for (const e of eliminated.values()) {
      e.own.fill(0);
      e.coupling.fill(0);
    }
    let cost = 0;
    factors.forEach((factor, i) => {
      const weight = weights ? weights[i] : 1;
      if (weight === 0) return;
      const own = factor.normals(state, localN, localG);
      // An impossible view fills nothing in: what is there belongs to the one before it.
      if (!Number.isFinite(own)) return;
      cost += weight * own;
      scatter(equations, factor, weight, localN, localG);
    });
    return cost;
  };
  const factor = (lambda: number, datum: readonly Float64Array[]): Factorisation =>
    factorise(equations, lambda, datum);
  return { layout, keptSize: n, keptAt, build, gradient, diagonal, factor };
};

const allocate = (layout: Layout, factors: readonly Factor[]): Assembled => {
  const { blocks, size } = layout;
  const eliminatedSet = chooseEliminated(layout, factors);
  const keptAt = new Array<number>(blocks.length).fill(-1);
  let n = 0;
  blocks.forEach((block, i) => {
    if (eliminatedSet.has(i)) return;
    keptAt[i] = n;
    n += block.size;
  });
  return {
    blocks,
    keptBlocks: blocks.map((block, i) => ({ block, i })).filter(({ i }) => keptAt[i] >= 0),
    keptAt,
    n,
    dense: new Float64Array(n * n),
    eliminated: prepareEliminated(blocks, factors, eliminatedSet),
    gradient: new Float64Array(size),
    diagonal: new Float64Array(size),
  };
};

/** Adds one statement's own normal equations (`localN`, `localG`) to the whole. */
const scatter = (
  { blocks, keptAt, n, dense, eliminated, gradient, diagonal }: Assembled,
  factor: Factor,
  weight: number,
  localN: Float64Array,
  localG: Float64Array,
): void => {
  const { width } = factor;
  let rowAt = 0;
  for (const a of factor.blocks) {
    const sizeA = blocks[a].size;
    for (let i = 0; i < sizeA; i++) {
      gradient[blocks[a].offset + i] += weight * localG[rowAt + i];
      diagonal[blocks[a].offset + i] += weight * localN[(rowAt + i) * width + rowAt + i];
    }
    const own = eliminated.get(a);
    let columnAt = 0;
    for (const b of factor.blocks) {
      const sizeB = blocks[b].size;
      const target = own ? (a === b ? own.own : own.coupling) : dense;
      const stride = own ? (a === b ? sizeA : own.width) : n;
      const start = own ? (a === b ? 0 : own.starts.get(b)!) : keptAt[a] * n + keptAt[b];
      if (own || keptAt[b] >= 0)
        for (let i = 0; i < sizeA; i++)
          for (let k = 0; k < sizeB; k++)
            target[start + i * stride + k] += weight * localN[(rowAt + i) * width + columnAt + k];
      columnAt += sizeB;
    }
    rowAt += sizeA;
  }
};

/** Damps, reduces to the kept blocks, adds the datum and factors; see NormalEquations.factor. */
const factorise = (
  equations: Assembled,
  lambda: number,
  datum: readonly Float64Array[],
): Factorisation => {
  const { blocks, keptBlocks, keptAt, n, dense, eliminated, diagonal } = equations;
  const s = dense.slice();
  for (const { block, i } of keptBlocks)
    for (let k = 0; k < block.size; k++)
      s[(keptAt[i] + k) * n + keptAt[i] + k] += lambda * diagonal[block.offset + k];
  const inverses: Inverses = new Map();
  for (const [i, e] of eliminated) {
    const reduced = eliminateBlock(e, lambda, diagonal, s, n, keptAt, blocks);
    if (typeof reduced === "number") return { ok: false, failedAt: e.block.offset + reduced };
    inverses.set(i, reduced);
  }
  addDatum(s, n, keptBlocks, keptAt, datum, diagonal);
  const { failedAt } = cholesky(s, n, 1e-13);
  if (failedAt >= 0) {
    const failed = keptBlocks.find(
      ({ block, i }) => failedAt >= keptAt[i] && failedAt < keptAt[i] + block.size,
    )!;
    return { ok: false, failedAt: failed.block.offset + failedAt - keptAt[failed.i] };
  }
  let inverse: Float64Array | null = null;
  return {
    ok: true,
    solve: solverOf(equations, s, inverses),
    keptInverse: () => {
      inverse ??= choleskyInverse(s, n);
      return inverse;
    },
    eliminatedInverse: (i) => ({
      own: inverses.get(i)!.own,
      neighbours: eliminated.get(i)!.neighbours,
      coupling: inverses.get(i)!.y,
    }),
  };
};

/** Per eliminated block: its own inverse, and that times its coupling. */
type Inverses = Map<number, { own: Float64Array; y: Float64Array }>;

/** Solutions from the Cholesky factor `s` of the reduced dense part. */
const solverOf = (
  { blocks, keptBlocks, keptAt, n, eliminated }: Assembled,
  s: Float64Array,
  inverses: Inverses,
): Solve => {
  const kept = new Float64Array(n);
  return (b) => {
    for (const { block, i } of keptBlocks)
      for (let k = 0; k < block.size; k++) kept[keptAt[i] + k] = b[block.offset + k];
    for (const [i, e] of eliminated)
      forwardEliminated(e, inverses.get(i)!.y, b, kept, keptAt, blocks);
    choleskySolve(s, n, kept);
    for (const [i, e] of eliminated) backEliminated(e, inverses.get(i)!, b, kept, keptAt, blocks);
    for (const { block, i } of keptBlocks)
      for (let k = 0; k < block.size; k++) b[block.offset + k] = kept[keptAt[i] + k];
  };
};

/**
 * Adds datum datum^T, each vector scaled so that it stands beside the scaled normal equations. The
 * scale is that of H before elimination: where nothing but the free motions is left of a block (one
 * board seen in photos), the reduced diagonal is rounding error.
 */
const addDatum = (
  s: Float64Array,
  n: number,
  keptBlocks: readonly KeptBlock[],
  keptAt: readonly number[],
  datum: readonly Float64Array[],
  diagonal: Float64Array,
): void => {
  for (const vector of datum) {
    const v = new Float64Array(n);
    let scaled = 0;
    for (const { block, i } of keptBlocks)
      for (let k = 0; k < block.size; k++) {
        const value = vector[block.offset + k];
        const h = diagonal[block.offset + k];
        v[keptAt[i] + k] = value;
        if (h > 0) scaled += (value * value) / h;
      }
    const weight = scaled > 0 ? 1 / scaled : 1;
    for (let i = 0; i < n; i++) {
      const f = weight * v[i];
      if (f === 0) continue;
      for (let k = 0; k <= i; k++) s[i * n + k] += f * v[k];
    }
  }
};

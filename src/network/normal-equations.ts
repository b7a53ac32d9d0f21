import { cholesky, choleskyInverse, choleskySolve } from "../numerics/dense.ts";
import {
  backEliminated,
  chooseEliminated,
  eliminateBlock,
  forwardEliminated,
  prepareEliminated,
} from "./eliminated.ts";
import type { Factor } from "./factor.ts";
import type { Block, Layout } from "./layout.ts";
import type { State } from "./state.ts";

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

export const normalEquations = (layout: Layout, factors: readonly Factor[]): NormalEquations => {
  const { blocks, size } = layout;
  const eliminatedSet = chooseEliminated(layout, factors);
  const keptAt = new Array<number>(blocks.length).fill(-1);
  let n = 0;
  blocks.forEach((block, i) => {
    if (eliminatedSet.has(i)) return;
    keptAt[i] = n;
    n += block.size;
  });
  const eliminated = prepareEliminated(blocks, factors, eliminatedSet);
  const dense = new Float64Array(n * n);
  const gradient = new Float64Array(size);
  const diagonal = new Float64Array(size);
  const widest = factors.reduce((w, f) => Math.max(w, f.width), 0);
  const localN = new Float64Array(widest * widest);
  const localG = new Float64Array(widest);

  const scatter = (factor: Factor, weight: number): void => {
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
      cost += weight * factor.normals(state, localN, localG);
      scatter(factor, weight);
    });
    return cost;
  };

  const factor = (lambda: number, datum: readonly Float64Array[]): Factorisation => {
    const s = dense.slice();
    const keptBlocks = blocks.map((block, i) => ({ block, i })).filter(({ i }) => keptAt[i] >= 0);
    for (const { block, i } of keptBlocks)
      for (let k = 0; k < block.size; k++)
        s[(keptAt[i] + k) * n + keptAt[i] + k] += lambda * diagonal[block.offset + k];
    const inverses = new Map<number, { own: Float64Array; y: Float64Array }>();
    for (const [i, e] of eliminated) {
      const reduced = eliminateBlock(e, lambda, diagonal, s, n, keptAt, blocks);
      if (typeof reduced === "number") return { ok: false, failedAt: e.block.offset + reduced };
      inverses.set(i, reduced);
    }
    addDatum(s, n, keptBlocks, keptAt, datum, diagonal);
    const outcome = cholesky(s, n, 1e-13);
    if (outcome.failedAt >= 0) {
      const failed = keptBlocks.find(
        ({ block, i }) =>
          outcome.failedAt >= keptAt[i] && outcome.failedAt < keptAt[i] + block.size,
      )!;
      return { ok: false, failedAt: failed.block.offset + outcome.failedAt - keptAt[failed.i] };
    }
    const kept = new Float64Array(n);
    const solve: Solve = (b) => {
      for (const { block, i } of keptBlocks)
        for (let k = 0; k < block.size; k++) kept[keptAt[i] + k] = b[block.offset + k];
      for (const [i, e] of eliminated)
        forwardEliminated(e, inverses.get(i)!.y, b, kept, keptAt, blocks);
      choleskySolve(s, n, kept);
      for (const [i, e] of eliminated) backEliminated(e, inverses.get(i)!, b, kept, keptAt, blocks);
      for (const { block, i } of keptBlocks)
        for (let k = 0; k < block.size; k++) b[block.offset + k] = kept[keptAt[i] + k];
    };
    let inverse: Float64Array | null = null;
    return {
      ok: true,
      solve,
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
  return { layout, keptSize: n, keptAt, build, gradient, diagonal, factor };
};

/**
 * Adds datum datum^T, each vector scaled so that it stands beside the scaled normal equations. The
 * scale is that of H before elimination: where nothing but the free motions is left of a block (one
 * board seen in photos), the reduced diagonal is rounding error.
 */
const addDatum = (
  s: Float64Array,
  n: number,
  keptBlocks: readonly { block: Block; i: number }[],
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

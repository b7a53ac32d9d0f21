import { cholesky, choleskyInverse } from "../../maths/dense.ts";
import { type Factor, scratch } from "../factors/factor.ts";
import type { Block, Layout } from "../problem/layout.ts";

/**
 * Blocks that are eliminated from the normal equations (Schur complement), each with what it shares
 * with the blocks that stay. For a block with own part A and coupling C to its neighbours, the dense
 * part loses C^T A^-1 C; solutions go forward and back through Y = A^-1 C (Brown 1958; Triggs et al.
 * 2000, section 6).
 */
export interface Eliminated {
  readonly block: Block;
  readonly neighbours: number[];
  /** Start of each neighbour in the coupling's columns. */
  readonly starts: Map<number, number>;
  readonly width: number;
  readonly own: Float64Array;
  readonly coupling: Float64Array;
}

/** Photos, or the boards that share statements with photos, cameras and prints only. */
export const chooseEliminated = (
  layout: Layout,
  factors: readonly Factor[],
): ReadonlySet<number> => {
  const { blocks } = layout;
  const tied = new Set<number>();
  for (const factor of factors) {
    const boards = factor.blocks.filter((b) => blocks[b].kind === "board");
    const photos = factor.blocks.some((b) => blocks[b].kind === "photo");
    if (!photos && (boards.length > 1 || (boards.length === 1 && factor.blocks.length > 1)))
      for (const b of boards) tied.add(b);
  }
  const photos = new Set<number>();
  const boards = new Set<number>();
  let photoSize = 0;
  let boardSize = 0;
  blocks.forEach((block, i) => {
    if (block.kind === "photo") {
      photos.add(i);
      photoSize += block.size;
    }
    if (block.kind === "board" && !tied.has(i)) {
      boards.add(i);
      boardSize += block.size;
    }
  });
  return photoSize >= boardSize ? photos : boards;
};

export const prepareEliminated = (
  blocks: readonly Block[],
  factors: readonly Factor[],
  set: ReadonlySet<number>,
): Map<number, Eliminated> => {
  const neighbours = new Map<number, Set<number>>();
  for (const i of set) neighbours.set(i, new Set());
  for (const factor of factors)
    for (const a of factor.blocks)
      if (set.has(a)) for (const b of factor.blocks) if (b !== a) neighbours.get(a)!.add(b);
  const out = new Map<number, Eliminated>();
  for (const [i, others] of neighbours) {
    const sorted = [...others].sort((a, b) => a - b);
    const starts = new Map<number, number>();
    let width = 0;
    for (const b of sorted) {
      starts.set(b, width);
      width += blocks[b].size;
    }
    const d = blocks[i].size;
    out.set(i, {
      block: blocks[i],
      neighbours: sorted,
      starts,
      width,
      own: new Float64Array(d * d),
      coupling: new Float64Array(d * width),
    });
  }
  return out;
};

/** Subtracts C^T A^-1 C of one eliminated block from the dense part; returns A^-1 and A^-1 C. */
export const eliminateBlock = (
  e: Eliminated,
  lambda: number,
  diagonal: Float64Array,
  s: Float64Array,
  n: number,
  keptAt: readonly number[],
  blocks: readonly Block[],
): { own: Float64Array; y: Float64Array } | number => {
  const d = e.block.size;
  const a = e.own.slice();
  for (let k = 0; k < d; k++) a[k * d + k] += lambda * diagonal[e.block.offset + k];
  const { failedAt } = cholesky(a, d, 1e-14);
  if (failedAt >= 0) return failedAt;
  const own = choleskyInverse(a, d);
  const { width, coupling } = e;
  const y = new Float64Array(d * width);
  for (let i = 0; i < d; i++)
    for (let k = 0; k < d; k++) {
      const f = own[i * d + k];
      for (let c = 0; c < width; c++) y[i * width + c] += f * coupling[k * width + c];
    }
  // Neighbours stand in the order of the dense part, of which the lower triangle is used.
  const reduced = scratch("reduced block", width * width).fill(0, 0, width * width);
  for (const p of e.neighbours) {
    const start = e.starts.get(p)!;
    const end = start + blocks[p].size;
    for (let k = 0; k < d; k++)
      for (let i = start; i < end; i++) {
        const f = coupling[k * width + i];
        const row = i * width;
        for (let c = 0, at = k * width; c < end; c++, at++) reduced[row + c] += f * y[at];
      }
  }
  for (const p of e.neighbours) {
    const startP = e.starts.get(p)!;
    for (const q of e.neighbours) {
      if (keptAt[q] > keptAt[p]) continue;
      const startQ = e.starts.get(q)!;
      const size = blocks[q].size;
      for (let i = 0; i < blocks[p].size; i++) {
        const row = (keptAt[p] + i) * n + keptAt[q];
        const from = (startP + i) * width + startQ;
        for (let c = 0; c < size; c++) s[row + c] -= reduced[from + c];
      }
    }
  }
  return { own, y };
};

/** Takes an eliminated block's right side out of those of its neighbours: kept -= Y^T b. */
export const forwardEliminated = (
  e: Eliminated,
  y: Float64Array,
  b: Float64Array,
  kept: Float64Array,
  keptAt: readonly number[],
  blocks: readonly Block[],
): void => {
  const d = e.block.size;
  let any = false;
  for (let k = 0; k < d; k++) any ||= b[e.block.offset + k] !== 0;
  if (!any) return;
  for (const p of e.neighbours) {
    const start = e.starts.get(p)!;
    for (let c = 0; c < blocks[p].size; c++) {
      let sum = 0;
      for (let k = 0; k < d; k++) sum += y[k * e.width + start + c] * b[e.block.offset + k];
      kept[keptAt[p] + c] -= sum;
    }
  }
};

/** Solution of an eliminated block once its neighbours are known: A^-1 b - Y kept. */
export const backEliminated = (
  e: Eliminated,
  inverse: { own: Float64Array; y: Float64Array },
  b: Float64Array,
  kept: Float64Array,
  keptAt: readonly number[],
  blocks: readonly Block[],
): void => {
  const d = e.block.size;
  const out = new Float64Array(d);
  for (let i = 0; i < d; i++) {
    let sum = 0;
    for (let k = 0; k < d; k++) sum += inverse.own[i * d + k] * b[e.block.offset + k];
    for (const p of e.neighbours) {
      const at = i * e.width + e.starts.get(p)!;
      for (let c = 0; c < blocks[p].size; c++) sum -= inverse.y[at + c] * kept[keptAt[p] + c];
    }
    out[i] = sum;
  }
  b.set(out, e.block.offset);
};

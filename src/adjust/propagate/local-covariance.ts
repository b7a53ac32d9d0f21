import type { Factor } from "../factors/factor.ts";
import type { Factorisation, NormalEquations } from "../solve/normal-equations.ts";

/**
 * Covariance of the unknowns of single statements, taken from the factored normal equations
 * without forming the whole inverse: kept blocks from the dense inverse S^-1, eliminated ones by
 * -Y S^-1 and own + Y S^-1 Y^T, Y being the eliminated block's influence (its coupling).
 */
export const localCovariance = (
  equations: NormalEquations,
  factorisation: Factorisation & { readonly ok: true },
): ((factor: Pick<Factor, "blocks" | "width">) => Float64Array) => {
  const { layout, keptAt, keptSize: n } = equations;
  const { blocks } = layout;
  const inverse = factorisation.keptInverse();
  const cache = new Map<number, EliminatedCovariance>();
  const eliminated = (i: number): EliminatedCovariance => {
    let entry = cache.get(i);
    if (!entry) {
      entry = eliminatedCovariance(i);
      cache.set(i, entry);
    }
    return entry;
  };

  const eliminatedCovariance = (i: number): EliminatedCovariance => {
    const { own, neighbours, coupling } = factorisation.eliminatedInverse(i);
    const d = blocks[i].size;
    const places = neighbours.flatMap((b) =>
      Array.from({ length: blocks[b].size }, (_, k) => keptAt[b] + k),
    );
    const width = places.length;
    const cross = new Float64Array(d * width);
    for (let r = 0; r < d; r++)
      for (let k = 0; k < width; k++) {
        const f = coupling[r * width + k];
        const row = places[k] * n;
        for (let c = 0; c < width; c++) cross[r * width + c] -= f * inverse[row + places[c]];
      }
    const full = own.slice();
    for (let r = 0; r < d; r++)
      for (let c = 0; c < d; c++) {
        let sum = 0;
        for (let k = 0; k < width; k++) sum += cross[r * width + k] * coupling[c * width + k];
        full[r * d + c] -= sum;
      }
    const starts = new Map<number, number>();
    let at = 0;
    for (const b of neighbours) {
      starts.set(b, at);
      at += blocks[b].size;
    }
    return { own: full, cross, width, starts };
  };

  const element = (a: number, i: number, b: number, k: number): number => {
    if (keptAt[a] >= 0 && keptAt[b] >= 0) return inverse[(keptAt[a] + i) * n + keptAt[b] + k];
    if (a === b) return eliminated(a).own[i * blocks[a].size + k];
    const [e, r, other, c] = keptAt[a] < 0 ? [a, i, b, k] : [b, k, a, i];
    const entry = eliminated(e);
    return entry.cross[r * entry.width + entry.starts.get(other)! + c];
  };

  return (factor) => {
    const { width } = factor;
    const out = new Float64Array(width * width);
    let rowAt = 0;
    for (const a of factor.blocks) {
      let columnAt = 0;
      for (const b of factor.blocks) {
        for (let i = 0; i < blocks[a].size; i++)
          for (let k = 0; k < blocks[b].size; k++)
            out[(rowAt + i) * width + columnAt + k] = element(a, i, b, k);
        columnAt += blocks[b].size;
      }
      rowAt += blocks[a].size;
    }
    return out;
  };
};

interface EliminatedCovariance {
  readonly own: Float64Array;
  /** Covariance with the neighbours, size x width. */
  readonly cross: Float64Array;
  readonly width: number;
  readonly starts: ReadonlyMap<number, number>;
}

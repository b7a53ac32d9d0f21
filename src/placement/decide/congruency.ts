import { symmetricEigen } from "../../maths/dense.ts";
import { chiSquareQuantile, fisherQuantile, studentQuantile } from "../../maths/statistics.ts";

/** Significance of the congruency test where the caller states none. Common practice, no source. */
const usualSignificance = 0.05;
/** Quantile of a two-sided interval of 95 %, and its value for the normal distribution. */
const upperQuantile = 0.975;
const normalUpperQuantile = 1.959963984540054;
/** Eigenvalues below this share of the largest count as zero. Our own, no source. */
const zeroShare = 1e-9;

/**
 * Global congruency test between two epochs (Pelzer 1971; Niemeier, Ausgleichungsrechnung): did
 * the points keep their shape, and if not, which of them moved?
 *
 *   T = d^T Q^+ d / (h s0^2)  ~  F(h, f)
 *
 * d are the coordinate differences, Q their cofactor matrix in the datum of the points taken as
 * stable, h its rank. While T is too large the point whose removal leaves the smallest sum is
 * counted as moved, and the rest is tested again in its own datum (S-transformation: Baarda 1973).
 * At the end all displacements stand in the datum of the stable points.
 *
 * Assumes normal errors and no more moved points than stable ones: when most things moved alike, the
 * few that stayed look moved. Where nothing can be tested (rank 0) nothing counts as congruent.
 */
export interface CongruencyInput {
  readonly keys: readonly string[];
  /** Coordinates per point (1 for heights, 3 for points). */
  readonly dimension: number;
  /** Second minus first, all points, point by point. */
  readonly differences: ArrayLike<number>;
  /** Cofactors of the differences (sum over both epochs), square, row-major, any datum. */
  readonly cofactor: ArrayLike<number>;
  /** Motions of all coordinates together that carry no shape, one vector each. */
  readonly motions: readonly ArrayLike<number>[];
  /** s0^2 that turns cofactors into variances, pooled over both epochs. */
  readonly varianceFactor: number;
  /** Redundancy behind it; Infinity when it is known beforehand. */
  readonly dof: number;
  /** Only these may count as stable; default all. */
  readonly candidates?: readonly string[];
  /** Significance level of each test. Default 0.05. */
  readonly level?: number;
}

export interface Displacement {
  readonly key: string;
  readonly moved: boolean;
  readonly shift: number[];
  readonly sd: number[];
  /** Squared length of the shift in its own uncertainty, divided by its rank: F(rank, dof). */
  readonly test: number;
  /** Length of the shift and its expanded uncertainty along it. */
  readonly length: number;
  readonly expanded: number;
}

export interface CongruencyResult {
  readonly congruent: boolean;
  /** Every round: what was taken as stable, the test value and its limit. */
  readonly rounds: readonly {
    readonly stable: readonly string[];
    readonly sum: number;
    readonly rank: number;
    readonly test: number;
    readonly limit: number;
  }[];
  readonly stable: readonly string[];
  readonly moved: readonly string[];
  readonly displacements: readonly Displacement[];
}

/** Tests two epochs for congruency; see the head of this file for formula and assumptions. */
export const congruencyTest = (input: CongruencyInput): CongruencyResult => {
  const level = input.level ?? usualSignificance;
  const candidates = input.candidates ?? input.keys;
  let stable = input.keys.filter((key) => candidates.includes(key));
  const least = Math.floor(input.motions.length / input.dimension) + 1;
  const rounds: CongruencyResult["rounds"][number][] = [];
  const enter = (keys: readonly string[]) => {
    const { sum, rank } = shapeSum(input, keys);
    const test = rank === 0 ? 0 : sum / (rank * input.varianceFactor);
    const limit = rank === 0 ? 0 : limitOf(1 - level, rank, input.dof);
    rounds.push({ stable: keys, sum, rank, test, limit });
    return rank > 0 && test <= limit;
  };
  let passes = enter(stable);
  while (!passes && stable.length > least) {
    stable = without(stable, worstFitting(input, stable));
    passes = enter(stable);
  }
  const displacements = displacementsIn(input, stable, level);
  const moved = displacements.filter((d) => d.moved).map((d) => d.key);
  return {
    congruent: passes && moved.length === 0,
    rounds,
    stable: passes ? stable : [],
    moved,
    displacements,
  };
};

/** The point without which the others keep their shape best. */
const worstFitting = (input: CongruencyInput, stable: readonly string[]): string => {
  let [worst] = stable;
  let least = Number.POSITIVE_INFINITY;
  for (const key of stable) {
    const { sum } = shapeSum(input, without(stable, key));
    if (sum < least) [worst, least] = [key, sum];
  }
  return worst;
};

const without = (keys: readonly string[], key: string): string[] => keys.filter((k) => k !== key);

const limitOf = (probability: number, rank: number, dof: number): number =>
  Number.isFinite(dof)
    ? fisherQuantile(probability, rank, dof)
    : chiSquareQuantile(probability, rank) / rank;

/** Coordinate numbers of some points. */
const placesOf = (input: CongruencyInput, keys: readonly string[]): number[] =>
  keys.flatMap((key) => {
    const i = input.keys.indexOf(key);
    return Array.from({ length: input.dimension }, (_, k) => i * input.dimension + k);
  });

interface InDatum {
  readonly d: Float64Array;
  readonly q: Float64Array;
}

/** Differences and cofactors in the datum whose inner constraints run over `keys`. */
const toDatum = (input: CongruencyInput, keys: readonly string[]): InDatum => {
  const n = input.keys.length * input.dimension;
  const m = input.motions.length;
  const places = placesOf(input, keys);
  const gram = new Float64Array(m * m);
  for (let a = 0; a < m; a++)
    for (let b = 0; b < m; b++)
      for (const p of places) gram[a * m + b] += input.motions[a][p] * input.motions[b][p];
  const inverse = pseudoInverse(gram, m).matrix;
  // S = I - G (G^T E G)^-1 G^T E
  const s = new Float64Array(n * n);
  for (let i = 0; i < n; i++) s[i * n + i] = 1;
  for (let a = 0; a < m; a++)
    for (let b = 0; b < m; b++)
      for (let i = 0; i < n; i++)
        for (const p of places)
          s[i * n + p] -= input.motions[a][i] * inverse[a * m + b] * input.motions[b][p];
  const d = new Float64Array(n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) d[i] += s[i * n + j] * input.differences[j];
  return { d, q: congruence(s, input.cofactor, n) };
};

/** S Q S^T. */
const congruence = (s: Float64Array, q: ArrayLike<number>, n: number): Float64Array => {
  const sq = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let k = 0; k < n; k++) {
      const v = s[i * n + k];
      if (v === 0) continue;
      for (let j = 0; j < n; j++) sq[i * n + j] += v * q[k * n + j];
    }
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      let sum = 0;
      for (let k = 0; k < n; k++) sum += sq[i * n + k] * s[j * n + k];
      out[i * n + j] = sum;
    }
  return out;
};

/** d^T Q^+ d over some points in their own datum, and the rank of Q there. */
const shapeSum = (
  input: CongruencyInput,
  keys: readonly string[],
): { sum: number; rank: number } => {
  const { d, q } = toDatum(input, keys);
  return quadratic(d, q, placesOf(input, keys), input.keys.length * input.dimension);
};

const quadratic = (
  d: Float64Array,
  q: Float64Array,
  places: readonly number[],
  n: number,
): { sum: number; rank: number } => {
  const size = places.length;
  const block = new Float64Array(size * size);
  places.forEach((p, i) => {
    places.forEach((r, j) => {
      block[i * size + j] = q[p * n + r];
    });
  });
  const { matrix, rank } = pseudoInverse(block, size);
  let sum = 0;
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) sum += d[places[i]] * matrix[i * size + j] * d[places[j]];
  return { sum, rank };
};

/** Moore-Penrose inverse of a symmetric matrix; eigenvalues below `zeroShare` of the largest are zero. */
const pseudoInverse = (a: Float64Array, n: number): { matrix: Float64Array; rank: number } => {
  const { values, vectors } = symmetricEigen(a, n);
  const largest = Math.max(...values);
  const matrix = new Float64Array(n * n);
  let rank = 0;
  for (let k = 0; k < n; k++) {
    if (!(values[k] > zeroShare * largest)) continue;
    rank++;
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        matrix[i * n + j] += (vectors[i * n + k] * vectors[j * n + k]) / values[k];
  }
  return { matrix, rank };
};

const displacementsIn = (
  input: CongruencyInput,
  stable: readonly string[],
  level: number,
): Displacement[] => {
  const { d, q } = toDatum(input, stable);
  const n = input.keys.length * input.dimension;
  return input.keys.map((key) => {
    const places = placesOf(input, [key]);
    const { sum, rank } = quadratic(d, q, places, n);
    const test = rank === 0 ? 0 : sum / (rank * input.varianceFactor);
    const shift = places.map((p) => d[p]);
    const length = Math.hypot(...shift);
    const t = Number.isFinite(input.dof)
      ? studentQuantile(upperQuantile, input.dof)
      : normalUpperQuantile;
    return {
      key,
      // Which of many points moved is asked of each: the level is shared out (Bonferroni).
      moved:
        !stable.includes(key) &&
        rank > 0 &&
        test > limitOf(1 - level / input.keys.length, rank, input.dof),
      shift,
      sd: places.map((p) => Math.sqrt(Math.max(0, q[p * n + p]) * input.varianceFactor)),
      test,
      length,
      expanded: t * Math.sqrt(alongVariance(q, places, shift, n) * input.varianceFactor),
    };
  });
};

/** Cofactor of the shift's length: its direction's quadratic form. */
const alongVariance = (
  q: Float64Array,
  places: readonly number[],
  shift: readonly number[],
  n: number,
): number => {
  const length = Math.hypot(...shift) || 1;
  let sum = 0;
  places.forEach((p, i) => {
    places.forEach((r, j) => {
      sum += (shift[i] / length) * q[p * n + r] * (shift[j] / length);
    });
  });
  return Math.max(0, sum);
};

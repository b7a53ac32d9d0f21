import { cholesky, invertPositive, solveLower } from "../../maths/dense.ts";
import { chiSquareQuantile, chiSquareSurvival } from "../../maths/statistics.ts";

/**
 * What moved between two epochs? With the differences d of all coordinates, their covariance Q and
 * the motions G of everything together (which carry no movement of one thing against another), the
 * hypothesis "nothing moved" is d = G c + e. The one body is taken to have moved whose shift explains
 * most, if that is more than chance would give the best of so many, and so on (the global congruency
 * test of Pelzer 1971 and Niemeier, Ausgleichungsrechnung, localised by forward selection; level by
 * Bonferroni). What is left is tested as a whole. A body is a single board, or boards that are rigid
 * with each other: shifting together they show a movement that none of them shows alone.
 */
export interface MovementInput {
  /** Points, three coordinates each. */
  readonly keys: readonly string[];
  readonly differences: Float64Array;
  /** 3n x 3n row-major. */
  readonly covariance: Float64Array;
  readonly motions: readonly ArrayLike<number>[];
  /** Points that may have moved as one: indices into `keys`. */
  readonly bodies: readonly (readonly number[])[];
}

export interface Movement {
  readonly key: string;
  readonly moved: boolean;
  /** Length of the shift, and its expanded uncertainty (95 %) along it. */
  readonly length: number;
  readonly expanded: number;
}

export interface Movements {
  /** What is left after the movements found is chance. */
  readonly explained: boolean;
  readonly movements: readonly Movement[];
}

/** False alarms: one in a hundred jobs where nothing moved. */
const alarm = 0.01;
const factor95 = 1.959963984540054;

export const findMovements = (input: MovementInput): Movements => {
  const n = input.keys.length;
  const whitened = whiten(input);
  const candidates = [...input.bodies, ...input.keys.map((_, i) => [i])];
  const chosen: (readonly number[])[] = [];
  const bodyColumns = (): Float64Array[] => chosen.flatMap((body) => shifts(body, n));
  const squaresWith = (columns: readonly Float64Array[]): number =>
    leastSquares(whitened, [...input.motions.map((m) => Float64Array.from(m)), ...columns]).squares;
  let squares = squaresWith([]);
  const dof = (): number => 3 * n - input.motions.length - 3 * chosen.length;
  const mostBodies = Math.max(1, Math.floor((n - 2) / 2));
  while (chosen.length < mostBodies) {
    let best: { body: readonly number[]; squares: number } | null = null;
    for (const body of candidates) {
      if (chosen.includes(body) || body.length > n - 3) continue;
      const left = squaresWith([...bodyColumns(), ...shifts(body, n)]);
      if (!best || left < best.squares) best = { body, squares: left };
    }
    if (!best) break;
    const gain = squares - best.squares;
    if (chiSquareSurvival(gain, 3) > alarm / candidates.length) break;
    chosen.push(best.body);
    squares = best.squares;
  }
  const explained = squares <= chiSquareQuantile(1 - alarm, dof());
  const moved = new Set(chosen.flat());
  return {
    explained,
    movements: input.keys.map((key, i) => {
      const others = [...moved].filter((k) => k !== i);
      return { key, moved: moved.has(i), ...shiftOf(input, whitened, i, others) };
    }),
  };
};

/** Shift of one point against all that did not move. */
const shiftOf = (
  input: MovementInput,
  whitened: Whitened,
  point: number,
  others: readonly number[],
): { length: number; expanded: number } => {
  const n = input.keys.length;
  const columns = [
    ...shifts([point], n),
    ...input.motions.map((m) => Float64Array.from(m)),
    ...others.flatMap((other) => shifts([other], n)),
  ];
  const { values, covariance, size } = leastSquares(whitened, columns);
  const length = Math.hypot(values[0], values[1], values[2]);
  let variance = 0;
  for (let a = 0; a < 3; a++)
    for (let b = 0; b < 3; b++)
      variance += (values[a] * values[b] * covariance[a * size + b]) / Math.max(length, 1e-9) ** 2;
  return { length, expanded: factor95 * Math.sqrt(Math.max(0, variance)) };
};

/** One column per axis: all points of a body shift alike. */
const shifts = (body: readonly number[], points: number): Float64Array[] =>
  [0, 1, 2].map((axis) => {
    const column = new Float64Array(3 * points);
    for (const i of body) column[3 * i + axis] = 1;
    return column;
  });

interface Whitened {
  readonly lower: Float64Array;
  readonly differences: Float64Array;
}

const whiten = ({ covariance, differences }: MovementInput): Whitened => {
  const size = differences.length;
  const lower = Float64Array.from(covariance);
  cholesky(lower, size, 1e-13);
  const own = Float64Array.from(differences);
  solveLower(lower, size, own);
  return { lower, differences: own };
};

interface Fit {
  readonly squares: number;
  readonly values: Float64Array;
  readonly covariance: Float64Array;
  readonly size: number;
}

const leastSquares = ({ lower, differences }: Whitened, columns: readonly Float64Array[]): Fit => {
  const rows = differences.length;
  const size = columns.length;
  const own = columns.map((column) => {
    const copy = Float64Array.from(column);
    solveLower(lower, rows, copy);
    return copy;
  });
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((s, v, i) => s + v * b[i], 0);
  const normal = Float64Array.from({ length: size * size }, (_, at) =>
    dot(own[Math.floor(at / size)], own[at % size]),
  );
  const right = own.map((column) => dot(column, differences));
  const covariance = invertPositive(normal, size) ?? new Float64Array(size * size);
  const values = Float64Array.from({ length: size }, (_, a) =>
    right.reduce((sum, v, b) => sum + covariance[a * size + b] * v, 0),
  );
  let squares = dot(differences, differences);
  values.forEach((value, a) => {
    squares -= value * right[a];
  });
  return { squares, values, covariance, size };
};

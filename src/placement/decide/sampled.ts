import { cholesky } from "../../maths/dense.ts";

/** Draws from the joint distribution: the standard deviation is then known to about 1 %. */
const usualDraws = 4000;
/** Added to the diagonal so that a singular covariance can be factored: share of its largest element, and in its unit. */
const diagonalShare = 1e-9;
const diagonalLeast = 1e-18;

/**
 * Mean and standard deviation of a function that is not smooth (a range, a smallest gap) by drawing
 * from the joint distribution of its inputs: propagation of distributions, JCGM 101:2008. Linear
 * propagation would take the largest and the smallest input as known and be too sure.
 *
 * The mean of an extreme over the draws is not the extreme of the best values: the range of several
 * floor boards comes out larger, the smallest of several gaps smaller, by up to about one standard
 * uncertainty of a single one where all are alike. Both err on the safe side of a limit; where one
 * board or gap stands out by several uncertainties the bias vanishes.
 *
 * The draws are the same in every run: same numbers in, same numbers out.
 *
 * `values` and `covariance` (n x n, row-major) are the inputs and their joint distribution, `evaluate`
 * must not keep or change the draw it gets. `value` (the mean) and `sd` (one standard
 * uncertainty) are in the unit of the function. Throws RangeError where the covariance has a negative eigenvalue beyond rounding.
 */
export const sampleFunction = (
  values: ArrayLike<number>,
  covariance: Float64Array,
  evaluate: (draw: Float64Array) => number,
  draws = usualDraws,
): { value: number; sd: number } => {
  const n = values.length;
  const lower = choleskyOf(covariance, n);
  const normal = normalDraws();
  const draw = new Float64Array(n);
  const z = new Float64Array(n);
  let [sum, squares] = [0, 0];
  for (let k = 0; k < draws; k++) {
    for (let i = 0; i < n; i++) z[i] = normal();
    for (let i = 0; i < n; i++) {
      let v = values[i];
      for (let j = 0; j <= i; j++) v += lower[i * n + j] * z[j];
      draw[i] = v;
    }
    const f = evaluate(draw);
    sum += f;
    squares += f * f;
  }
  const mean = sum / draws;
  return { value: mean, sd: Math.sqrt(Math.max(0, squares / draws - mean * mean)) };
};

/** Lower factor; a little is added to the diagonal because a plane through all boards is singular. */
const choleskyOf = (covariance: Float64Array, n: number): Float64Array => {
  const a = Float64Array.from(covariance);
  let largest = 0;
  for (let i = 0; i < n; i++) largest = Math.max(largest, a[i * n + i]);
  for (let i = 0; i < n; i++) a[i * n + i] += diagonalShare * largest + diagonalLeast;
  if (cholesky(a, n).failedAt >= 0)
    throw new RangeError("The covariance is not positive definite.");
  return a;
};

/**
 * Standard normal numbers by Box and Muller (1958) from a generator whose state is a counter, mixed
 * by multiplications and shifts (the scheme of Steele, Lea and Flood 2014; constants of Mulberry32).
 */
const normalDraws = (): (() => number) => {
  let state = 0x9e3779b9;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
};

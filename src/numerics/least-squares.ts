/**
 * Dense nonlinear least squares for a handful of unknowns, by Levenberg and Marquardt with
 * column scaling, gain ratio (Madsen, Nielsen & Tingleff 2004) and geodesic acceleration, each step
 * solved by Householder QR so that no digits are lost in normal equations.
 */

export interface LeastSquaresProblem {
  readonly unknowns: number;
  readonly observations: number;
  /** Residuals (observed minus computed or the reverse) at x, divided by their sd if weighted. */
  residuals(x: Float64Array, out: Float64Array): void;
  /** Jacobian of the residuals, m x n row-major. Central differences where it is left out. */
  jacobian?(x: Float64Array, out: Float64Array): void;
}

export interface LeastSquaresOptions {
  readonly maxIterations?: number;
  /** Stops when a step is shorter than this, relative to the scaled unknowns. */
  readonly stepTolerance?: number;
}

export type LeastSquaresOutcome =
  | {
      readonly ok: true;
      readonly x: Float64Array;
      readonly sumOfSquares: number;
      /** sumOfSquares / (m - n), or NaN where m = n. */
      readonly varianceFactor: number;
      /** (J^T J)^-1, n x n row-major: multiply by varianceFactor where weights are relative. */
      readonly cofactor: Float64Array;
      readonly iterations: number;
    }
  | { readonly ok: false; readonly reason: "not determined" | "not converged" | "bad input" };

/** Minimises the sum of squared residuals from the start values `start`. */
export const solveLeastSquares = (
  problem: LeastSquaresProblem,
  start: ArrayLike<number>,
  options: LeastSquaresOptions = {},
): LeastSquaresOutcome => {
  const { unknowns: n, observations: m } = problem;
  if (m < n || n < 1 || start.length !== n) return { ok: false, reason: "bad input" };
  const maxIterations = options.maxIterations ?? 2000;
  const tolerance = options.stepTolerance ?? 1e-13;
  let x = Float64Array.from(start);
  let r = new Float64Array(m);
  const j = new Float64Array(m * n);
  problem.residuals(x, r);
  let cost = sumOfSquares(r);
  if (!Number.isFinite(cost)) return { ok: false, reason: "bad input" };
  const scale = new Float64Array(n);
  let lambda = 1e-3;
  let grow = 2;
  let converged = false;
  let iterations = 0;
  evaluateJacobian(problem, x, j);
  while (iterations < maxIterations && !converged) {
    iterations++;
    updateScale(j, m, n, scale);
    const step = dampedStep(j, r, m, n, scale, lambda);
    if (!step) return { ok: false, reason: "not determined" };
    const small = relativeStep(step.delta, x, scale) < tolerance;
    const bend = small ? null : acceleration(problem, x, r, j, step.delta, scale, lambda);
    const straight =
      bend === null || scaledLength(bend, scale) <= bendLimit * scaledLength(step.delta, scale);
    const trial = x.map((v, i) => v + step.delta[i] + (bend ? 0.5 * bend[i] : 0));
    const trialR = new Float64Array(m);
    problem.residuals(trial, trialR);
    const trialCost = sumOfSquares(trialR);
    if (straight && trialCost <= cost) {
      const gain = (cost - trialCost) / Math.max(step.predicted, 1e-300);
      x = trial;
      r = trialR;
      cost = trialCost;
      evaluateJacobian(problem, x, j);
      lambda *= Math.max(1 / 3, 1 - (2 * Math.min(gain, 2) - 1) ** 3);
      if (lambda < 1e-30) lambda = 1e-30;
      grow = 2;
      converged = small;
    } else {
      if (small) converged = true;
      lambda = Math.max(lambda, 1e-16) * grow;
      grow *= 2;
      if (!Number.isFinite(lambda)) break;
    }
  }
  if (!converged) return { ok: false, reason: "not converged" };
  const cofactor = cofactorMatrix(j, m, n);
  if (!cofactor) return { ok: false, reason: "not determined" };
  const varianceFactor = m > n ? cost / (m - n) : Number.NaN;
  return { ok: true, x, sumOfSquares: cost, varianceFactor, cofactor, iterations };
};

const sumOfSquares = (r: Float64Array): number => {
  let s = 0;
  for (let i = 0; i < r.length; i++) s += r[i] * r[i];
  return s;
};

/** Largest second-order part of a step relative to its first-order part. */
const bendLimit = 0.375;
const probe = 0.1;

/**
 * Second-order correction a along a step v (geodesic acceleration: Transtrum & Sethna 2012):
 * it solves the damped equations for the second directional derivative of the residuals, which one
 * extra evaluation gives. A step whose correction is large leaves the range in which the linear
 * model means anything and is not taken.
 */
const acceleration = (
  problem: LeastSquaresProblem,
  x: Float64Array,
  r: Float64Array,
  j: Float64Array,
  v: Float64Array,
  scale: Float64Array,
  lambda: number,
): Float64Array | null => {
  const { unknowns: n, observations: m } = problem;
  const moved = new Float64Array(m);
  problem.residuals(
    x.map((value, i) => value + probe * v[i]),
    moved,
  );
  for (let i = 0; i < m; i++) {
    let along = 0;
    for (let c = 0; c < n; c++) along += j[i * n + c] * v[c];
    moved[i] = (2 / probe) * ((moved[i] - r[i]) / probe - along);
  }
  return moved.every(Number.isFinite)
    ? (dampedStep(j, moved, m, n, scale, lambda)?.delta ?? null)
    : v.map((value) => value * 10);
};

const scaledLength = (v: Float64Array, scale: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < v.length; i++) sum += (v[i] * scale[i]) ** 2;
  return Math.sqrt(sum);
};

const relativeStep = (delta: Float64Array, x: Float64Array, scale: Float64Array): number => {
  let moved = 0;
  let size = 0;
  for (let i = 0; i < x.length; i++) {
    moved += (delta[i] * scale[i]) ** 2;
    size += (x[i] * scale[i]) ** 2;
  }
  return Math.sqrt(moved / Math.max(size, 1e-300));
};

/** Marquardt's scale: column norms, remembered for a while where they shrink (after More 1978). */
const updateScale = (j: Float64Array, m: number, n: number, scale: Float64Array): void => {
  for (let c = 0; c < n; c++) {
    let s = 0;
    for (let i = 0; i < m; i++) s += j[i * n + c] ** 2;
    scale[c] = Math.max(scale[c] * 0.7, Math.sqrt(s), 1e-300);
  }
};

const evaluateJacobian = (problem: LeastSquaresProblem, x: Float64Array, j: Float64Array): void => {
  if (problem.jacobian) problem.jacobian(x, j);
  else centralJacobian(problem, x, j);
};

/** Jacobian of a problem's residuals by central differences (for tests and small problems). */
const centralJacobian = (
  problem: LeastSquaresProblem,
  x: Float64Array,
  out: Float64Array,
): void => {
  const { unknowns: n, observations: m } = problem;
  const forward = new Float64Array(m);
  const backward = new Float64Array(m);
  for (let c = 0; c < n; c++) {
    const h = Math.cbrt(2.2e-16) * Math.max(Math.abs(x[c]), 1e-6);
    const moved = Float64Array.from(x);
    moved[c] = x[c] + h;
    problem.residuals(moved, forward);
    moved[c] = x[c] - h;
    problem.residuals(moved, backward);
    for (let i = 0; i < m; i++) out[i * n + c] = (forward[i] - backward[i]) / (2 * h);
  }
};

/** Step that minimises |r + J d|^2 + lambda |D d|^2, and the decrease it predicts. */
const dampedStep = (
  j: Float64Array,
  r: Float64Array,
  m: number,
  n: number,
  scale: Float64Array,
  lambda: number,
): { delta: Float64Array; predicted: number } | null => {
  const rows = m + n;
  const a = new Float64Array(rows * n);
  const b = new Float64Array(rows);
  const damp = Math.sqrt(lambda);
  for (let i = 0; i < m; i++) {
    b[i] = -r[i];
    for (let c = 0; c < n; c++) a[i * n + c] = j[i * n + c] / scale[c];
  }
  for (let c = 0; c < n; c++) a[(m + c) * n + c] = damp;
  if (!householder(a, rows, n, b)) return null;
  const delta = backSubstitute(a, n, b);
  let predicted = 0;
  for (let c = 0; c < n; c++) predicted += lambda * delta[c] ** 2;
  let linear = 0;
  let before = 0;
  for (let c = 0; c < n; c++) delta[c] /= scale[c];
  for (let i = 0; i < m; i++) {
    let s = r[i];
    before += s * s;
    for (let c = 0; c < n; c++) s += j[i * n + c] * delta[c];
    linear += s * s;
  }
  predicted += Math.max(before - linear - predicted, 0);
  return { delta, predicted };
};

/** Householder QR in place: R in the upper triangle of `a`, Q^T applied to `b`. */
const householder = (a: Float64Array, rows: number, n: number, b: Float64Array): boolean => {
  for (let c = 0; c < n; c++) {
    let length = 0;
    for (let i = c; i < rows; i++) length = Math.hypot(length, a[i * n + c]);
    if (!(length > 0) || !Number.isFinite(length)) return false;
    const sign = a[c * n + c] > 0 ? -1 : 1;
    const pivot = a[c * n + c] - sign * length;
    const v = new Float64Array(rows - c);
    v[0] = pivot;
    for (let i = c + 1; i < rows; i++) v[i - c] = a[i * n + c];
    const factor = -1 / (sign * length * pivot);
    for (let k = c; k < n; k++) {
      let s = 0;
      for (let i = c; i < rows; i++) s += v[i - c] * a[i * n + k];
      s *= factor;
      for (let i = c; i < rows; i++) a[i * n + k] -= s * v[i - c];
    }
    let s = 0;
    for (let i = c; i < rows; i++) s += v[i - c] * b[i];
    s *= factor;
    for (let i = c; i < rows; i++) b[i] -= s * v[i - c];
  }
  return true;
};

const backSubstitute = (r: Float64Array, n: number, b: Float64Array): Float64Array => {
  const x = new Float64Array(n);
  for (let i = n - 1; i >= 0; i--) {
    let s = b[i];
    for (let k = i + 1; k < n; k++) s -= r[i * n + k] * x[k];
    x[i] = s / r[i * n + i];
  }
  return x;
};

/** (J^T J)^-1 through QR of the column-scaled Jacobian; null where a column depends on others. */
const cofactorMatrix = (j: Float64Array, m: number, n: number): Float64Array | null => {
  const a = Float64Array.from(j);
  const scale = new Float64Array(n);
  updateScale(j, m, n, scale);
  for (let i = 0; i < m; i++) for (let c = 0; c < n; c++) a[i * n + c] /= scale[c];
  if (!householder(a, m, n, new Float64Array(m))) return null;
  for (let c = 0; c < n; c++) if (!(Math.abs(a[c * n + c]) > 1e-13)) return null;
  const inverse = new Float64Array(n * n);
  for (let c = 0; c < n; c++) {
    const e = new Float64Array(n);
    e[c] = 1;
    const column = backSubstitute(a, n, e);
    for (let i = 0; i < n; i++) inverse[i * n + c] = column[i];
  }
  const out = new Float64Array(n * n);
  for (let p = 0; p < n; p++)
    for (let q = 0; q < n; q++) {
      let s = 0;
      for (let k = 0; k < n; k++) s += inverse[p * n + k] * inverse[q * n + k];
      out[p * n + q] = s / (scale[p] * scale[q]);
    }
  return out;
};

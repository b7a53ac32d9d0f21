/**
 * Dense linear algebra on row-major Float64Array matrices: Cholesky, triangular solves, inverse,
 * symmetric eigenvalues. Written here rather than taken from a library because the adjustment
 * needs in-place work on typed arrays and a pivot report; every routine is checked in tests.
 */

/** Outcome of a factorisation: `failedAt` is the first pivot that is not positive, or -1. */
export interface CholeskyOutcome {
  readonly failedAt: number;
}

/**
 * Cholesky factor L (A = L L^T) of a symmetric n x n matrix, in place in the lower triangle; the
 * upper triangle is left as it was. A pivot at or below `minimumPivot` times its original diagonal
 * element counts as failure (the matrix is singular to working accuracy). Row-oriented, inner
 * products four rows at a time: Golub & Van Loan, Matrix Computations, 4.2.
 */
export const cholesky = (a: Float64Array, n: number, minimumPivot = 1e-14): CholeskyOutcome => {
  const block = 48;
  for (let start = 0; start < n; start += block) {
    const end = Math.min(start + block, n);
    const failedAt = factorDiagonalBlock(a, n, start, end, minimumPivot);
    if (failedAt >= 0) return { failedAt };
    solvePanel(a, n, start, end);
    updateTrailing(a, n, start, end);
  }
  return { failedAt: -1 };
};

/**
 * Plain Cholesky of a diagonal block from which the panels to its left are already taken. The squares
 * of those panels' elements give back the original diagonal element with which a pivot is compared.
 */
const factorDiagonalBlock = (
  a: Float64Array,
  n: number,
  start: number,
  end: number,
  minimumPivot: number,
): number => {
  for (let j = start; j < end; j++) {
    const rowJ = j * n;
    let original = a[rowJ + j];
    let d = original;
    for (let k = start; k < j; k++) d -= a[rowJ + k] * a[rowJ + k];
    for (let k = 0; k < start; k++) original += a[rowJ + k] * a[rowJ + k];
    if (!(d > minimumPivot * original) || !Number.isFinite(d)) return j;
    const pivot = Math.sqrt(d);
    a[rowJ + j] = pivot;
    for (let i = j + 1; i < end; i++) {
      const rowI = i * n;
      let s = a[rowI + j];
      for (let k = start; k < j; k++) s -= a[rowI + k] * a[rowJ + k];
      a[rowI + j] = s / pivot;
    }
  }
  return -1;
};

const solvePanel = (a: Float64Array, n: number, start: number, end: number): void => {
  for (let i = end; i < n; i++) {
    const rowI = i * n;
    for (let j = start; j < end; j++) {
      const rowJ = j * n;
      let s = a[rowI + j];
      for (let k = start; k < j; k++) s -= a[rowI + k] * a[rowJ + k];
      a[rowI + j] = s / a[rowJ + j];
    }
  }
};

/** Subtracts the panel's outer product from what is left, in 2 x 4 tiles kept in registers. */
const updateTrailing = (a: Float64Array, n: number, start: number, end: number): void => {
  for (let i = end; i < n; i += 2) {
    const two = i + 1 < n;
    const r0 = i * n;
    const r1 = two ? r0 + n : r0;
    const lastColumn = two ? i + 1 : i;
    let j = end;
    for (; j + 3 <= lastColumn; j += 4) {
      const q0 = j * n;
      const q1 = q0 + n;
      const q2 = q1 + n;
      const q3 = q2 + n;
      let s00 = 0;
      let s01 = 0;
      let s02 = 0;
      let s03 = 0;
      let s10 = 0;
      let s11 = 0;
      let s12 = 0;
      let s13 = 0;
      for (let k = start; k < end; k++) {
        const x0 = a[r0 + k];
        const x1 = a[r1 + k];
        const y0 = a[q0 + k];
        const y1 = a[q1 + k];
        const y2 = a[q2 + k];
        const y3 = a[q3 + k];
        s00 += x0 * y0;
        s01 += x0 * y1;
        s02 += x0 * y2;
        s03 += x0 * y3;
        s10 += x1 * y0;
        s11 += x1 * y1;
        s12 += x1 * y2;
        s13 += x1 * y3;
      }
      a[r0 + j] -= s00;
      a[r0 + j + 1] -= s01;
      a[r0 + j + 2] -= s02;
      if (j + 3 <= i) a[r0 + j + 3] -= s03;
      if (two) {
        a[r1 + j] -= s10;
        a[r1 + j + 1] -= s11;
        a[r1 + j + 2] -= s12;
        a[r1 + j + 3] -= s13;
      }
    }
    for (; j <= lastColumn; j++) {
      const q = j * n;
      let s0 = 0;
      let s1 = 0;
      for (let k = start; k < end; k++) {
        s0 += a[r0 + k] * a[q + k];
        s1 += a[r1 + k] * a[q + k];
      }
      if (j <= i) a[r0 + j] -= s0;
      if (two) a[r1 + j] -= s1;
    }
  }
};

/** Solves L y = b in place (forward substitution). */
export const solveLower = (l: Float64Array, n: number, b: Float64Array, at = 0): void => {
  for (let i = 0; i < n; i++) {
    const row = i * n;
    let s = b[at + i];
    for (let k = 0; k < i; k++) s -= l[row + k] * b[at + k];
    b[at + i] = s / l[row + i];
  }
};

/** Solves L^T x = y in place (back substitution, column by column so that memory is read in rows). */
const solveUpper = (l: Float64Array, n: number, b: Float64Array, at = 0): void => {
  for (let i = n - 1; i >= 0; i--) {
    const row = i * n;
    const x = b[at + i] / l[row + i];
    b[at + i] = x;
    for (let k = 0; k < i; k++) b[at + k] -= l[row + k] * x;
  }
};

/** Solves A x = b in place, given the Cholesky factor of A. */
export const choleskySolve = (l: Float64Array, n: number, b: Float64Array, at = 0): void => {
  solveLower(l, n, b, at);
  solveUpper(l, n, b, at);
};

/** Inverse of A (full symmetric matrix) from its Cholesky factor. */
export const choleskyInverse = (l: Float64Array, n: number): Float64Array => {
  // Rows of `w` hold the columns of L^-1, so that A^-1 = w w^T is a product of rows.
  const w = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const row = i * n;
    const pivot = 1 / l[row + i];
    w[row + i] = pivot;
    for (let c = 0; c < i; c++) {
      let s = 0;
      const wc = c * n;
      for (let k = c; k < i; k++) s += l[row + k] * w[wc + k];
      w[wc + i] = -s * pivot;
    }
  }
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    const wi = i * n;
    for (let j = 0; j <= i; j++) {
      const wj = j * n;
      let s = 0;
      for (let k = i; k < n; k++) s += w[wi + k] * w[wj + k];
      out[wi + j] = s;
      out[wj + i] = s;
    }
  }
  return out;
};

/** Inverse of a symmetric positive definite matrix, or null where it is singular. */
export const invertPositive = (a: Float64Array, n: number): Float64Array | null => {
  const l = Float64Array.from(a);
  return cholesky(l, n).failedAt >= 0 ? null : choleskyInverse(l, n);
};

/**
 * Eigenvalues (ascending) and eigenvectors (column k belongs to value k; row-major) of a
 * symmetric matrix by cyclic Jacobi rotations: Golub & Van Loan 8.5. Meant for n up to about 100.
 */
export const symmetricEigen = (
  matrix: ArrayLike<number>,
  n: number,
): { values: Float64Array; vectors: Float64Array } => {
  const a = Float64Array.from(matrix);
  const v = new Float64Array(n * n);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    let diagonal = 0;
    for (let i = 0; i < n; i++) {
      diagonal += a[i * n + i] ** 2;
      for (let j = 0; j < i; j++) off += a[i * n + j] ** 2;
    }
    if (off <= 1e-34 * diagonal) break;
    for (let p = 0; p < n - 1; p++) for (let q = p + 1; q < n; q++) jacobiRotate(a, v, n, p, q);
  }
  const order = Array.from({ length: n }, (_, i) => i).sort((i, j) => a[i * n + i] - a[j * n + j]);
  const vectors = new Float64Array(n * n);
  for (let i = 0; i < n; i++) for (let k = 0; k < n; k++) vectors[i * n + k] = v[i * n + order[k]];
  return { values: Float64Array.from(order, (i) => a[i * n + i]), vectors };
};

const jacobiRotate = (a: Float64Array, v: Float64Array, n: number, p: number, q: number): void => {
  const apq = a[p * n + q];
  if (apq === 0) return;
  const tau = (a[q * n + q] - a[p * n + p]) / (2 * apq);
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.sqrt(1 + tau * tau));
  const c = 1 / Math.sqrt(1 + t * t);
  const s = c * t;
  for (let k = 0; k < n; k++) {
    const x = a[k * n + p];
    const y = a[k * n + q];
    a[k * n + p] = c * x - s * y;
    a[k * n + q] = s * x + c * y;
  }
  for (let k = 0; k < n; k++) {
    const x = a[p * n + k];
    const y = a[q * n + k];
    a[p * n + k] = c * x - s * y;
    a[q * n + k] = s * x + c * y;
    const vx = v[k * n + p];
    const vy = v[k * n + q];
    v[k * n + p] = c * vx - s * vy;
    v[k * n + q] = s * vx + c * vy;
  }
};

/** C = A B for row-major A (m x k) and B (k x n). */
export const multiply = (
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  m: number,
  k: number,
  n: number,
): Float64Array => {
  const out = new Float64Array(m * n);
  for (let i = 0; i < m; i++)
    for (let p = 0; p < k; p++) {
      const f = a[i * k + p];
      if (f === 0) continue;
      for (let j = 0; j < n; j++) out[i * n + j] += f * b[p * n + j];
    }
  return out;
};

/** Solves a small general square system by Gaussian elimination with row pivoting; null if singular. */
export const solveSquare = (
  matrix: ArrayLike<number>,
  right: ArrayLike<number>,
  n: number,
): Float64Array | null => {
  const a = Float64Array.from(matrix);
  const b = Float64Array.from(right);
  for (let c = 0; c < n; c++) {
    let best = c;
    for (let r = c + 1; r < n; r++)
      if (Math.abs(a[r * n + c]) > Math.abs(a[best * n + c])) best = r;
    if (!(Math.abs(a[best * n + c]) > 0)) return null;
    if (best !== c) {
      for (let k = 0; k < n; k++) [a[c * n + k], a[best * n + k]] = [a[best * n + k], a[c * n + k]];
      [b[c], b[best]] = [b[best], b[c]];
    }
    for (let r = c + 1; r < n; r++) {
      const f = a[r * n + c] / a[c * n + c];
      for (let k = c; k < n; k++) a[r * n + k] -= f * a[c * n + k];
      b[r] -= f * b[c];
    }
  }
  for (let r = n - 1; r >= 0; r--) {
    for (let k = r + 1; k < n; k++) b[r] -= a[r * n + k] * b[k];
    b[r] /= a[r * n + r];
  }
  return b;
};

/**
 * Special functions behind the distributions: log gamma, incomplete gamma, incomplete beta.
 * Formulas: NIST Digital Library of Mathematical Functions (DLMF), sections cited at each function.
 */

const stirling = [
  1 / 12,
  -1 / 360,
  1 / 1260,
  -1 / 1680,
  1 / 1188,
  -691 / 360360,
  1 / 156,
  -3617 / 122400,
];
const tiny = 1e-300;

/** Stirling's remainder: log gamma(x) minus its leading terms, for x >= 8 (DLMF 5.11.1). */
const stirlingRemainder = (x: number): number => {
  const inverseSquare = 1 / (x * x);
  let sum = 0;
  for (let k = stirling.length - 1; k >= 0; k--) sum = sum * inverseSquare + stirling[k];
  return sum / x;
};

/** Natural logarithm of the gamma function for x > 0; recurrence below 8, then DLMF 5.11.1. */
const logGamma = (x: number): number => {
  if (!(x > 0)) return Number.NaN;
  let shift = 1;
  let y = x;
  while (y < 8) {
    shift *= y;
    y += 1;
  }
  const leading = (y - 0.5) * Math.log(y) - y + 0.5 * Math.log(2 * Math.PI);
  return leading + stirlingRemainder(y) - Math.log(shift);
};

/** x^a e^-x / gamma(a), without cancellation for large a (Temme's form of the Stirling ratio). */
const gammaTerm = (a: number, x: number): number => {
  if (a < 10) return Math.exp(a * Math.log(x) - x - logGamma(a));
  const mu = (x - a) / a;
  const exponent = a * log1pMinus(mu) - stirlingRemainder(a);
  return Math.sqrt(a / (2 * Math.PI)) * Math.exp(exponent);
};

/** log(1 + u) - u without cancellation near zero. */
const log1pMinus = (u: number): number => {
  if (Math.abs(u) > 0.3) return Math.log1p(u) - u;
  let sum = 0;
  let power = -u;
  for (let k = 2; k < 60; k++) {
    power *= -u;
    const term = power / k;
    sum -= term;
    if (Math.abs(term) < 1e-18 * Math.abs(sum)) break;
  }
  return sum;
};

/**
 * Regularised incomplete gamma functions P(a, x) and Q(a, x) = 1 - P, both to full relative
 * accuracy on their small side: series DLMF 8.11.4 below a + 1, continued fraction 8.9.2 above.
 */
export const incompleteGamma = (a: number, x: number): { p: number; q: number } => {
  if (!(a > 0) || Number.isNaN(x)) return { p: Number.NaN, q: Number.NaN };
  if (x <= 0) return { p: 0, q: 1 };
  if (x === Number.POSITIVE_INFINITY) return { p: 1, q: 0 };
  const front = gammaTerm(a, x);
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let k = 1; k < 100000; k++) {
      term *= x / (a + k);
      sum += term;
      if (term < sum * 1e-17) break;
    }
    const p = front * sum;
    return { p, q: 1 - p };
  }
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let k = 1; k < 100000; k++) {
    const an = -k * (k - a);
    b += 2;
    d = 1 / awayFromZero(an * d + b);
    c = awayFromZero(b + an / c);
    const factor = d * c;
    h *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  const q = front * h;
  return { p: 1 - q, q };
};

/** Keeps a denominator of the continued fraction away from zero (modified Lentz). */
const awayFromZero = (value: number): number => (Math.abs(value) < tiny ? tiny : value);

/**
 * Regularised incomplete beta function I_x(a, b) and its complement, by the continued fraction
 * DLMF 8.17.22 (modified Lentz), taken from the side on which it converges fast. `y` is 1 - x,
 * given separately so that nothing is lost where x is close to one.
 */
export const incompleteBeta = (
  a: number,
  b: number,
  x: number,
  y: number = 1 - x,
): { p: number; q: number } => {
  if (!(a > 0) || !(b > 0) || Number.isNaN(x)) return { p: Number.NaN, q: Number.NaN };
  if (x <= 0) return { p: 0, q: 1 };
  if (y <= 0) return { p: 1, q: 0 };
  if (x > (a + 1) / (a + b + 2)) {
    const { p, q } = incompleteBeta(b, a, y, x);
    return { p: q, q: p };
  }
  const p = (betaTerm(a, b, x, y) / a) * betaFraction(a, b, x);
  return { p, q: 1 - p };
};

/** x^a y^b / B(a, b); large arguments go through the Stirling remainders to avoid cancellation. */
const betaTerm = (a: number, b: number, x: number, y: number): number => {
  if (a < 10 || b < 10)
    return Math.exp(
      a * Math.log(x) + b * Math.log(y) + logGamma(a + b) - logGamma(a) - logGamma(b),
    );
  const n = a + b;
  // Deviations of x and y from the mode a / n, b / n.
  const u = (x * n - a) / a;
  const v = (y * n - b) / b;
  // a u + b v = 0, so the logarithms may be taken without their linear terms.
  const exponent =
    a * log1pMinus(u) +
    b * log1pMinus(v) +
    stirlingRemainder(n) -
    stirlingRemainder(a) -
    stirlingRemainder(b);
  return Math.sqrt((a * b) / (2 * Math.PI * n)) * Math.exp(exponent);
};

const betaFraction = (a: number, b: number, x: number): number => {
  let c = 1;
  let d = 1 / awayFromZero(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 100000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / awayFromZero(1 + even * d);
    c = awayFromZero(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / awayFromZero(1 + odd * d);
    c = awayFromZero(1 + odd / c);
    const factor = d * c;
    h *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return h;
};

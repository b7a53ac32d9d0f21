/**
 * Distributions that decide: normal, chi-square, Student's t, Fisher's F. Each has a cumulative
 * distribution function and a quantile (its inverse). Relations to the incomplete gamma and beta
 * functions: NIST DLMF 7.11.2, 8.17; Abramowitz & Stegun 26.4, 26.5, 26.6.
 */
import { incompleteBeta, incompleteGamma } from "./special.ts";

/** Standard normal density. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** Probability that a standard normal value is at most z; relative accuracy kept in both tails. */
export const normalCdf = (z: number): number => {
  const { p, q } = incompleteGamma(0.5, 0.5 * z * z);
  return z < 0 ? 0.5 * q : 0.5 + 0.5 * p;
};

/** Probability that a standard normal value exceeds z. */
export const normalSurvival = (z: number): number => normalCdf(-z);

/**
 * z with normalCdf(z) = p, 0 < p < 1. Start: Abramowitz & Stegun 26.2.23 (error below 4.5e-4),
 * then Halley steps to machine accuracy.
 */
export const normalQuantile = (p: number): number => {
  if (!(p > 0)) return p === 0 ? Number.NEGATIVE_INFINITY : Number.NaN;
  if (!(p < 1)) return p === 1 ? Number.POSITIVE_INFINITY : Number.NaN;
  if (p > 0.5) return -normalQuantile(1 - p);
  const t = Math.sqrt(-2 * Math.log(p));
  const numerator = 2.515517 + t * (0.802853 + t * 0.010328);
  const denominator = 1 + t * (1.432788 + t * (0.189269 + t * 0.001308));
  let z = numerator / denominator - t;
  for (let i = 0; i < 4; i++) {
    const ratio = (normalCdf(z) - p) / normalDensity(z);
    const step = ratio / (1 + 0.5 * z * ratio);
    z -= step;
    if (Math.abs(step) < 1e-15 * (1 + Math.abs(z))) break;
  }
  return z;
};

/** Probability that a chi-square value with `dof` degrees of freedom is at most x. */
export const chiSquareCdf = (x: number, dof: number): number =>
  incompleteGamma(0.5 * dof, 0.5 * x).p;

/** Probability that a chi-square value exceeds x. */
export const chiSquareSurvival = (x: number, dof: number): number =>
  incompleteGamma(0.5 * dof, 0.5 * x).q;

/** x with chiSquareCdf(x, dof) = p. */
export const chiSquareQuantile = (p: number, dof: number): number => {
  const z = normalQuantile(p);
  const wilsonHilferty = dof * (1 - 2 / (9 * dof) + z * Math.sqrt(2 / (9 * dof))) ** 3;
  return positiveQuantile(p, Math.max(wilsonHilferty, 1e-3 * dof), (x) => {
    const { p: below, q: above } = incompleteGamma(0.5 * dof, 0.5 * x);
    return { below, above };
  });
};

/** Probability that a Student t value with `dof` degrees of freedom is at most t. */
export const studentCdf = (t: number, dof: number): number => {
  if (!Number.isFinite(dof)) return normalCdf(t);
  const square = t * t;
  const { p } = incompleteBeta(0.5 * dof, 0.5, dof / (dof + square), square / (dof + square));
  return t < 0 ? 0.5 * p : 1 - 0.5 * p;
};

/** t with studentCdf(t, dof) = p; dof may be Infinity (normal). */
export const studentQuantile = (p: number, dof: number): number => {
  if (!Number.isFinite(dof)) return normalQuantile(p);
  if (p === 0.5) return 0;
  // The probability outside +-|t| is known without loss for either sign.
  const outside = p < 0.5 ? 2 * p : 2 * (1 - p);
  const tails = (t: number) => {
    const square = t * t;
    const beta = incompleteBeta(0.5 * dof, 0.5, dof / (dof + square), square / (dof + square));
    return { below: beta.q, above: beta.p };
  };
  const t = positiveQuantile(1 - outside, 1, tails, outside);
  return p < 0.5 ? -t : t;
};

/** Probability that a Fisher F value with (d1, d2) degrees of freedom is at most x. */
export const fisherCdf = (x: number, d1: number, d2: number): number => {
  if (!(x > 0)) return x <= 0 ? 0 : Number.NaN;
  if (!Number.isFinite(d2)) return chiSquareCdf(x * d1, d1);
  const total = d1 * x + d2;
  return incompleteBeta(0.5 * d1, 0.5 * d2, (d1 * x) / total, d2 / total).p;
};

/** x with fisherCdf(x, d1, d2) = p; d2 may be Infinity (chi-square over d1). */
export const fisherQuantile = (p: number, d1: number, d2: number): number => {
  if (!Number.isFinite(d2)) return chiSquareQuantile(p, d1) / d1;
  return positiveQuantile(p, 1, (x) => {
    const total = d1 * x + d2;
    const beta = incompleteBeta(0.5 * d1, 0.5 * d2, (d1 * x) / total, d2 / total);
    return { below: beta.p, above: beta.q };
  });
};

/**
 * Solves below(x) = p on x > 0 by bracketing on a logarithmic scale and then bisection with
 * secant steps (Illinois rule). Works on the smaller tail so that small probabilities keep digits.
 */
const positiveQuantile = (
  p: number,
  start: number,
  tails: (x: number) => { below: number; above: number },
  upper = 1 - p,
): number => {
  if (!(p > 0)) return p === 0 ? 0 : Number.NaN;
  if (!(upper > 0)) return upper === 0 ? Number.POSITIVE_INFINITY : Number.NaN;
  const f = (logX: number): number => {
    const { below, above } = tails(Math.exp(logX));
    return p < 0.5
      ? Math.log(Math.max(below, 1e-308) / p)
      : Math.log(upper / Math.max(above, 1e-308));
  };
  let low = Math.log(start);
  let high = low;
  let fLow = f(low);
  let fHigh = fLow;
  for (let width = 0.1; fLow > 0 && low > -700; width *= 2) {
    low -= width;
    fLow = f(low);
  }
  for (let width = 0.1; fHigh < 0 && high < 700; width *= 2) {
    high += width;
    fHigh = f(high);
  }
  let side = 0;
  for (let i = 0; i < 200 && high - low > 1e-15 * Math.max(1, Math.abs(low)); i++) {
    let mid = i % 8 === 7 ? 0.5 * (low + high) : (low * fHigh - high * fLow) / (fHigh - fLow);
    if (!(mid > low && mid < high)) mid = 0.5 * (low + high);
    if (mid === low || mid === high) break;
    const fMid = f(mid);
    if (fMid === 0) return Math.exp(mid);
    if (fMid < 0) {
      low = mid;
      fLow = fMid;
      if (side === -1) fHigh *= 0.5;
      side = -1;
    } else {
      high = mid;
      fHigh = fMid;
      if (side === 1) fLow *= 0.5;
      side = 1;
    }
  }
  return Math.exp(Math.abs(fLow) < Math.abs(fHigh) ? low : high);
};

/** Noise in two parts: the whitening must be that of the sum of both covariances. */
import { expect, test } from "vitest";
import { whiten } from "../../../src/adjust/factors/image-factor.ts";
import type { BoardObservation } from "../../../src/adjust/problem/problem.ts";
import { whitenedPatterns, withNoise } from "../../../src/adjust/spreads/field-noise.ts";
import { gridPoints } from "./bay.ts";

const boardPoints = gridPoints(4);
const plain: BoardObservation = {
  photo: "p",
  board: "1",
  boardPoints,
  pixels: boardPoints.map((v, i) => 1500 + 20 * v + (i % 3)),
  noise: { kind: "isotropic", sigmaPx: 0.05 },
};
const n = plain.pixels.length;

/** W of a view, n x n. */
const rootOf = (view: BoardObservation): Float64Array => {
  const identity = new Float64Array(n * n);
  for (let i = 0; i < n; i++) identity[i * (n + 1)] = 1;
  const out = new Float64Array(n * n);
  const columns = Array.from({ length: n }, (_, i) => i);
  whiten(view, identity, n, n, columns, out);
  return out;
};

/** Largest element of W C W^T - I. */
const error = (w: Float64Array, c: Float64Array): number => {
  let largest = 0;
  for (let i = 0; i < n; i++)
    for (let k = 0; k < n; k++) {
      let sum = i === k ? -1 : 0;
      for (let a = 0; a < n; a++)
        for (let b = 0; b < n; b++) sum += w[i * n + a] * c[a * n + b] * w[k * n + b];
      largest = Math.max(largest, Math.abs(sum));
    }
  return largest;
};

/** Covariance own^2 I + field^2 P P^T, with P read from a view of unit noise. */
const covariance = (own: number, field: number): Float64Array => {
  const p = whitenedPatterns({ ...plain, noise: { kind: "isotropic", sigmaPx: 1 } });
  const k = p.length / n;
  return Float64Array.from({ length: n * n }, (_, at) => {
    const [i, j] = [Math.floor(at / n), at % n];
    let sum = i === j ? own ** 2 : 0;
    for (let q = 0; q < k; q++) sum += field ** 2 * p[i * k + q] * p[j * k + q];
    return sum;
  });
};

test("scale and field together", () => {
  const view = withNoise(plain, { scale: 2, fieldPx: 0.3 });
  expect(error(rootOf(view), covariance(0.1, 0.3))).toBeLessThan(1e-9);
  expect(error(rootOf(view), covariance(0.1, 0.2))).toBeGreaterThan(0.1);
});

test("a field upon a field adds up as variances do", () => {
  const view = withNoise(withNoise(plain, { scale: 1, fieldPx: 0.3 }), { scale: 1, fieldPx: 0.4 });
  expect(error(rootOf(view), covariance(0.05, 0.5))).toBeLessThan(1e-9);
});

test("noise stated as a matrix gives the same", () => {
  const full: BoardObservation = {
    ...plain,
    noise: { kind: "full", rows: n, sqrtInformation: rootOf(plain) },
  };
  const view = withNoise(full, { scale: 2, fieldPx: 0.3 });
  expect(error(rootOf(view), covariance(0.1, 0.3))).toBeLessThan(1e-9);
});

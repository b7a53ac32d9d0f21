import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  cholesky,
  choleskyInverse,
  choleskySolve,
  invertPositive,
  multiply,
  solveSquare,
  symmetricEigen,
} from "../../../src/maths/dense.ts";
import { random } from "../adjust/bay.ts";

const positive = (n: number, seed: number): Float64Array => {
  const r = random(seed);
  const b = Float64Array.from({ length: n * n }, () => r.normal());
  const transposed = b.map((_, i) => b[(i % n) * n + Math.floor(i / n)]);
  const a = multiply(b, transposed, n, n, n);
  for (let i = 0; i < n; i++) a[i * n + i] += 1;
  return a;
};

const distanceFromIdentity = (m: Float64Array, n: number): number =>
  m.reduce((worst, v, i) => Math.max(worst, Math.abs(v - (i % (n + 1) === 0 ? 1 : 0))), 0);

describe("Cholesky", () => {
  // Sizes around the block length of 48, and odd ones.
  for (const n of [1, 2, 3, 7, 47, 48, 49, 95, 97, 150])
    test(`inverse and solution, n = ${n}`, () => {
      const a = positive(n, n);
      const l = a.slice();
      expect(cholesky(l, n).failedAt).toBe(-1);
      expect(distanceFromIdentity(multiply(a, choleskyInverse(l, n), n, n, n), n)).toBeLessThan(
        1e-10,
      );
      const x = Float64Array.from({ length: n }, (_, i) => i - 2);
      const b = multiply(a, x, n, n, 1);
      choleskySolve(l, n, b);
      for (let i = 0; i < n; i++) expect(Math.abs(b[i] - x[i])).toBeLessThan(1e-9);
    });

  test("names the first unknown that depends on others", () => {
    const n = 60;
    const a = positive(n, 3);
    // Make unknown 50 a copy of unknown 20.
    for (let i = 0; i < n; i++) a[50 * n + i] = a[20 * n + i];
    for (let i = 0; i < n; i++) a[i * n + 50] = a[i * n + 20];
    expect(cholesky(a, n).failedAt).toBe(50);
    expect(invertPositive(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
    expect(cholesky(Float64Array.of(Number.NaN), 1).failedAt).toBe(0);
  });
});

test("eigenvalues: A v = lambda v, ascending, orthonormal", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 0, max: 1e6 }), (n, seed) => {
      const a = positive(n, seed);
      const { values, vectors } = symmetricEigen(a, n);
      const av = multiply(a, vectors, n, n, n);
      for (let k = 0; k < n; k++) {
        if (k > 0) expect(values[k]).toBeGreaterThanOrEqual(values[k - 1]);
        for (let i = 0; i < n; i++)
          expect(Math.abs(av[i * n + k] - values[k] * vectors[i * n + k])).toBeLessThan(
            1e-11 * values[n - 1],
          );
      }
    }),
    { numRuns: 60 },
  );
});

test("square systems with row exchange; singular gives null", () => {
  const x = solveSquare([0, 1, 2, 0], [3, 4], 2)!;
  expect(Math.abs(x[0] - 2) + Math.abs(x[1] - 3)).toBeLessThan(1e-15);
  expect(solveSquare([1, 1, 1, 1], [1, 2], 2)).toBeNull();
});

/** A small share of `npm run bench:montecarlo`: JCGM 101, clause 8, over the demo. */
import { expect, test } from "vitest";
import { compareDraws } from "../../bench/montecarlo/draws.ts";
import { demoNetwork } from "../../bench/montecarlo/network.ts";
import { solveAnew } from "../../bench/montecarlo/solve-anew.ts";

test("intervals of drawn unknowns are those that the product states, and so are errors solved anew", () => {
  const network = demoNetwork();
  const compared = compareDraws(network, 20_000, 1);
  expect(compared.length).toBeGreaterThan(20);
  // The ends of 20,000 draws are known to about 1.5 %.
  for (const { key, stated, drawn, offset } of compared) {
    expect(Math.abs(drawn / stated - 1), key).toBeLessThan(0.05);
    expect(Math.abs(offset), key).toBeLessThan(0.05);
  }
  const { covariance, values } = network.adjusted.propagate(network.quantities);
  const m = network.quantities.length;
  const sd = network.quantities.map((_, i) => Math.sqrt(covariance[i * m + i]));
  const errors = [1, 2, 3].flatMap((seed) => solveAnew(network, { values, sd }, seed) ?? []);
  expect(errors.length).toBe(3 * compared.length);
  const meanSquare = errors.reduce((sum, z) => sum + z * z, 0) / errors.length;
  expect(meanSquare).toBeGreaterThan(0.4);
  expect(meanSquare).toBeLessThan(2);
}, 120_000);

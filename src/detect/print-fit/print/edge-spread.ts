import { normalCdf, normalDensity } from "../../../maths/statistics.ts";
import { edgeEntries, edgePerUnit, edgeRange, expPerUnit, expRange } from "../assembly/layout.ts";

/**
 * Profile of a blurred edge of height 1 at distance z (in standard deviations of the blur) and its
 * slope, interleaved: entry (z + edgeRange) * edgePerUnit holds the normal distribution's F(z), f(z);
 * linear interpolation is good to 1e-5.
 */
export const edgeTable: Float64Array = makeTable();

function makeTable(): Float64Array {
  const table = new Float64Array(2 * edgeEntries);
  for (let i = 0; i < edgeEntries; i++) {
    const z = i / edgePerUnit - edgeRange;
    table[2 * i] = normalCdf(z);
    table[2 * i + 1] = normalDensity(z);
  }
  return table;
}

/** exp(-x) at x = i / 64; linear interpolation is then good to 3e-5 of the value. */
export const expTable: Float64Array = Float64Array.from(
  { length: expRange * expPerUnit + 2 },
  (_, i) => Math.exp(-i / expPerUnit),
);

/** Share of the variance that the disc has in the table's edge; the rest is a round Gaussian. */
const discShare = 0.8;
/** Nodes across the disc: Gauss and Chebyshev's second rule, whose weight is a disc's profile. */
const discNodes = 16;

/**
 * What blur that is mostly a disc (out of focus) adds to the edge of a Gaussian of the same variance,
 * at the places of `edgeTable`: the projection of a disc of radius 2 s has the density 2 / (pi r^2)
 * sqrt(r^2 - x^2) and the variance s^2.
 */
export const discTable: Float64Array = Float64Array.from({ length: edgeEntries }, (_, i) => {
  const z = i / edgePerUnit - edgeRange;
  const radius = 2 * Math.sqrt(discShare);
  const narrow = Math.sqrt(1 - discShare);
  let edge = 0;
  for (let k = 1; k <= discNodes; k++) {
    const angle = (k * Math.PI) / (discNodes + 1);
    const weight = (2 / (discNodes + 1)) * Math.sin(angle) ** 2;
    edge += weight * normalCdf((z - radius * Math.cos(angle)) / narrow);
  }
  return edge - normalCdf(z);
});

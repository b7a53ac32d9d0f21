import { normalCdf, normalDensity } from "../../maths/statistics.ts";

/** Half range of the table, standard deviations; clamp to a little less. */
export const edgeRange = 7;
/** Entries per standard deviation; linear interpolation is then good to 1e-5. */
export const edgePerUnit = 72;

/**
 * Profile of a blurred edge of height 1 at distance z (in standard deviations of the blur) and its
 * slope, interleaved: entry (z + edgeRange) * edgePerUnit holds the normal distribution's F(z), f(z).
 */
export const edgeTable: Float64Array = makeTable();

function makeTable(): Float64Array {
  const entries = 2 * edgeRange * edgePerUnit + 2;
  const table = new Float64Array(2 * entries);
  for (let i = 0; i < entries; i++) {
    const z = i / edgePerUnit - edgeRange;
    table[2 * i] = normalCdf(z);
    table[2 * i + 1] = normalDensity(z);
  }
  return table;
}

/** exp(-x) at x = i / 64; linear interpolation is then good to 3e-5 of the value. */
export const expTable: Float64Array = Float64Array.from({ length: 20 * 64 + 2 }, (_, i) =>
  Math.exp(-i / 64),
);

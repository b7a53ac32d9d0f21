import { symmetricEigen } from "../../maths/dense.ts";
import type { Choice, Standing } from "./choose.ts";
import type { Network } from "./network.ts";

/**
 * Noncentrality of Baarda's test with a false alarm rate of 0.1 % and a power of 80 %: what is this
 * many standard deviations off is found (Baarda, A testing procedure for use in geodetic networks,
 * 1968: delta_0 = 4.13).
 */
const noticed = 4.13;

/**
 * Internal reliability: by how much a board must have slipped in one photo against the others to be
 * noticed for sure, mm; the largest over all boards that more than one photo shows. With N what the
 * photo says and C the covariance that includes it, N - N C N is what the rest leaves of it to
 * contradict (Baarda 1968), here for the three shifts of one board. Null where no board counts.
 */
export const slipNoticed = (
  network: Network,
  { covariance, sightings }: Pick<Standing, "covariance" | "sightings">,
  photos: readonly Choice[],
): number | null => {
  const slips = photos.flatMap(({ information: { places, matrix }, boards }) => {
    const left = contradiction(network, covariance, places, matrix);
    return boards.flatMap((key) => {
      if ((sightings.get(key)?.length ?? 0) < 2) return [];
      const { offset } = network.layout.boardBlock[network.layout.boardIndex.get(key)!];
      const at = places.indexOf(offset) + 3;
      const k = places.length;
      const own = Float64Array.from(
        { length: 9 },
        (_, i) => left[(at + Math.floor(i / 3)) * k + at + (i % 3)],
      );
      const least = symmetricEigen(own, 3).values[0];
      return least > 0 ? [noticed / Math.sqrt(least)] : [];
    });
  });
  return slips.length > 0 ? Math.max(...slips) : null;
};

/** N - N C N. */
const contradiction = (
  { layout: { size } }: Network,
  c: Float64Array,
  places: Int32Array,
  n: Float64Array,
): Float64Array => {
  const k = places.length;
  const cn = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let l = 0; l < k; l++) {
      const f = c[places[i] * size + places[l]];
      for (let j = 0; j < k; j++) cn[i * k + j] += f * n[l * k + j];
    }
  const out = n.slice();
  for (let i = 0; i < k; i++)
    for (let l = 0; l < k; l++) {
      const f = n[i * k + l];
      if (f === 0) continue;
      for (let j = 0; j < k; j++) out[i * k + j] -= f * cn[l * k + j];
    }
  return out;
};

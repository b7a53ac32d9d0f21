import { scratch } from "../../adjust/factors/factor.ts";
import { cholesky } from "../../maths/dense.ts";
import { weakPlaces } from "./hold.ts";
import { addPhoto, covarianceOf, type Network, type PhotoInformation } from "./network.ts";

/** One number that the plan is to make sure: a check, or one of the parts of an extreme. */
export interface Aim {
  readonly key: string;
  /** Derivatives by the network's unknowns. */
  readonly row: Float64Array;
  /** Standard uncertainty that is asked for, in the number's unit. */
  readonly sd: number;
}

/** A photo to choose from, with the boards that it shows. */
export interface Choice {
  readonly information: PhotoInformation;
  readonly boards: readonly string[];
  /** Where it is taken from, mm: photos from one place count once for a board. */
  readonly from: readonly [number, number, number];
  /** What it takes of a person beside the walk, in the measure of {@link distance}; default none. */
  readonly effort?: number;
}

export interface Demand {
  readonly aims: readonly Aim[];
  /** In how many photos, from places apart, every one of these boards must be. */
  readonly boards: readonly string[];
  readonly times: number;
  /** Fewest photos in all. */
  readonly fewest: number;
  /** Weak places that no photos would mend; see `weakPlaces`. */
  readonly weak: number;
}

/** Photos nearer to each other than this show a board the same way, mm. */
export const apartMm = 500;

/**
 * Where a choice stands: H and its inverse, standard uncertainties of the aims, sightings. Holds what
 * the gains of further photos are made from.
 */
export interface Standing {
  readonly h: Float64Array;
  readonly covariance: Float64Array;
  /** C j of every aim. */
  readonly spread: readonly Float64Array[];
  readonly sds: readonly number[];
  /** Places from which each board is seen. */
  readonly sightings: ReadonlyMap<string, readonly (readonly [number, number, number])[]>;
  readonly photos: readonly Choice[];
  readonly weak: number;
}

const standingOf = (
  network: Network,
  { aims }: Demand,
  h: Float64Array,
  photos: readonly Choice[],
): Standing => {
  const covariance = covarianceOf(network, h);
  if (!covariance) throw new Error("The plan's normal equations are singular.");
  const n = network.layout.size;
  const spread = aims.map(({ row }) => times(covariance, row, n));
  return {
    h,
    covariance,
    spread,
    sds: aims.map(({ row }, i) => Math.sqrt(Math.max(0, dot(row, spread[i])))),
    sightings: sightingsOf(photos),
    photos,
    weak: weakPlaces(photos),
  };
};

const times = (c: Float64Array, row: Float64Array, n: number): Float64Array => {
  const used = [...row.keys()].filter((k) => row[k] !== 0);
  return Float64Array.from({ length: n }, (_, r) => {
    let sum = 0;
    for (const k of used) sum += c[r * n + k] * row[k];
    return sum;
  });
};

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
};

/** State after some photos. */
export const standAfter = (
  network: Network,
  demand: Demand,
  photos: readonly Choice[],
): Standing => {
  const h = network.known.slice();
  for (const { information } of photos) addPhoto(network, h, information);
  return standingOf(network, demand, h, photos);
};

export const sightingsOf = (
  photos: readonly Pick<Choice, "boards" | "from">[],
): ReadonlyMap<string, readonly (readonly [number, number, number])[]> => {
  const found = new Map<string, (readonly [number, number, number])[]>();
  for (const { boards, from } of photos)
    for (const board of boards) {
      const places = found.get(board) ?? [];
      if (places.every((place) => isApart(place, from))) places.push(from);
      found.set(board, places);
    }
  return found;
};

const isApart = (a: readonly number[], b: readonly number[]): boolean =>
  Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) >= apartMm;

/** Sightings that are still missing. */
export const missingSightings = (
  { boards, times }: Demand,
  sightings: Standing["sightings"],
): number =>
  boards.reduce((sum, board) => sum + Math.max(0, times - (sightings.get(board)?.length ?? 0)), 0);

export const isEnough = (demand: Demand, standing: Standing): boolean =>
  standing.photos.length >= demand.fewest &&
  standing.weak <= demand.weak &&
  missingSightings(demand, standing.sightings) === 0 &&
  standing.sds.every((sd, i) => sd <= demand.aims[i].sd * (1 + 1e-9));

/** Work space: this is asked thousands of times, and what it left lay about in heaps. */
const zeros = (name: string, size: number): Float64Array =>
  scratch(`one photo more: ${name}`, size).fill(0, 0, size);

/** Standard uncertainties of the aims with one more photo; null where it has no part in any. */
export const sdsWith = (
  network: Network,
  standing: Standing,
  { places, matrix: n }: PhotoInformation,
): number[] => {
  const size = network.layout.size;
  const k = places.length;
  const { covariance: c, spread, sds } = standing;
  // (H + E N E^T)^-1 = C - C E (N - N G (I + G^T N G)^-1 G^T N) E^T C with C_PP = G G^T (Woodbury).
  const g = zeros("g", k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) g[i * k + j] = c[places[i] * size + places[j]];
  if (cholesky(g, k, 1e-15).failedAt >= 0) return [...sds];
  for (let i = 0; i < k; i++) for (let j = i + 1; j < k; j++) g[i * k + j] = 0;
  const ng = zeros("ng", k * k);
  for (let i = 0; i < k; i++)
    for (let l = 0; l < k; l++) {
      const f = n[i * k + l];
      if (f === 0) continue;
      for (let j = 0; j <= l; j++) ng[i * k + j] += f * g[l * k + j];
    }
  const m = zeros("m", k * k);
  for (let l = 0; l < k; l++)
    for (let i = 0; i <= l; i++) {
      const f = g[l * k + i];
      if (f === 0) continue;
      for (let j = 0; j <= i; j++) m[i * k + j] += f * ng[l * k + j];
    }
  for (let i = 0; i < k; i++) m[i * (k + 1)] += 1;
  if (cholesky(m, k, 1e-15).failedAt >= 0) return [...sds];
  return sds.map((sd, q) => {
    const a = zeros("a", k);
    for (let i = 0; i < k; i++) a[i] = spread[q][places[i]];
    let whole = 0;
    for (let i = 0; i < k; i++) {
      let sum = 0;
      for (let j = 0; j < k; j++) sum += n[i * k + j] * a[j];
      whole += a[i] * sum;
    }
    // b = L^-1 G^T N a, and the variance falls by a^T N a - |b|^2.
    let square = 0;
    const b = zeros("b", k);
    for (let j = 0; j < k; j++) {
      let sum = 0;
      for (let i = 0; i < k; i++) sum += ng[i * k + j] * a[i];
      for (let l = 0; l < j; l++) sum -= m[j * k + l] * b[l];
      b[j] = sum / m[j * (k + 1)];
      square += b[j] * b[j];
    }
    return Math.sqrt(Math.max(1e-30, sd * sd - whole + square));
  });
};

/**
 * How far from enough: per aim the logarithm of its variance over the one asked for, nothing where
 * that is reached; one for every sighting that is missing, and a part of one for every weak place.
 * Logarithms, because the information
 * of photos in that sense is nearly submodular (Krause, Singh and Guestrin, Near-optimal sensor
 * placements in Gaussian processes, JMLR 9, 2008), so that taking the best next one each time ends
 * near the best set.
 */
const distance = (
  demand: Demand,
  sds: readonly number[],
  missing: number,
  weak: number,
): number => {
  let sum = missing + weakWeight * Math.max(0, weak - demand.weak);
  sds.forEach((sd, i) => {
    const ratio = sd / demand.aims[i].sd;
    if (ratio > 1) sum += 2 * Math.log(ratio);
  });
  return sum;
};

const weakWeight = 0.5;

const gainOf = (network: Network, demand: Demand, standing: Standing, choice: Choice): number => {
  const before = missingSightings(demand, standing.sightings);
  const missing = before - newSightings(demand, standing, choice);
  const sds = sdsWith(network, standing, choice.information);
  // Until there is a net, its weak places grow with every board that comes in: they count afterwards.
  const counts = missing === 0;
  const weak = counts ? weakPlaces([...standing.photos, choice]) : 0;
  const weakBefore = counts ? standing.weak : 0;
  const gain =
    distance(demand, standing.sds, before, weakBefore) - distance(demand, sds, missing, weak);
  return gain - (choice.effort ?? 0);
};

const newSightings = (demand: Demand, { sightings }: Standing, { boards, from }: Choice): number =>
  boards.filter((board) => {
    if (!demand.boards.includes(board)) return false;
    const places = sightings.get(board) ?? [];
    return places.length < demand.times && places.every((place) => isApart(place, from));
  }).length;

export interface Chosen {
  /** Indices into the choices, in the order of their worth. */
  readonly order: readonly number[];
  readonly standing: Standing;
  /** The demand, eased where no photo brought more. */
  readonly reached: Demand;
  /** Whether all of the demand was reached. */
  readonly enough: boolean;
}

/** No plan asks for more photos than this. */
const mostPhotos = 30;
/** A photo that brings less than this is not worth its walk. */
const leastGain = 0.001;

/**
 * Photos one after the other, each the one that brings most on top of `taken`, until it is enough or
 * nothing brings anything; then those that turn out to be superfluous are left out.
 */
export const choosePhotos = (
  network: Network,
  demand: Demand,
  choices: readonly Choice[],
  taken: readonly Choice[] = [],
): Chosen => {
  const order = greedy(network, demand, choices, taken);
  const first = standAfter(network, demand, [...taken, ...order.map((i) => choices[i])]);
  const reached = withReached(demand, first);
  const fewer = withoutSuperfluous(network, reached, choices, taken, order);
  const swapped = twoForOne(network, reached, choices, taken, fewer);
  const photos = [...taken, ...swapped.map((i) => choices[i])];
  return {
    order: swapped,
    standing: standAfter(network, demand, photos),
    reached,
    enough: isEnough(demand, first),
  };
};

/** What is demanded as far as photos one after the other reached it: less than that is not kept. */
const withReached = (demand: Demand, { sds, sightings, weak, photos }: Standing): Demand => ({
  aims: demand.aims.map((aim, i) => ({ ...aim, sd: Math.max(aim.sd, sds[i]) })),
  boards: demand.boards.filter((board) => (sightings.get(board)?.length ?? 0) >= demand.times),
  times: demand.times,
  fewest: Math.min(demand.fewest, photos.length),
  weak: Math.max(demand.weak, weak),
});

const greedy = (
  network: Network,
  demand: Demand,
  choices: readonly Choice[],
  taken: readonly Choice[],
): number[] => {
  const order: number[] = [];
  let standing = standAfter(network, demand, taken);
  // Gains hardly ever grow as photos are added: an old gain bounds the present one (Minoux 1978).
  const bounds = new Float64Array(choices.length).fill(Number.POSITIVE_INFINITY);
  while (!isEnough(demand, standing) && order.length < mostPhotos) {
    // Once every board is seen, weak places count as well, and old gains bound nothing.
    if (missingSightings(demand, standing.sightings) === 0) bounds.fill(Number.POSITIVE_INFINITY);
    const best = bestChoice(network, demand, standing, choices, bounds, new Set(order));
    if (best < 0 || bounds[best] < leastGain) break;
    order.push(best);
    standing = standAfter(network, demand, [...taken, ...order.map((i) => choices[i])]);
  }
  return order;
};

/** Room for gains that grow a little after all. */
const slack = 1.3;

const bestChoice = (
  network: Network,
  demand: Demand,
  standing: Standing,
  choices: readonly Choice[],
  bounds: Float64Array,
  used: ReadonlySet<number>,
): number => {
  const waiting = choices.map((_, i) => i).filter((i) => !used.has(i));
  waiting.sort((a, b) => bounds[b] - bounds[a]);
  let best = -1;
  for (const i of waiting) {
    if (best >= 0 && slack * bounds[i] <= bounds[best]) break;
    bounds[i] = gainOf(network, demand, standing, choices[i]);
    if (best < 0 || bounds[i] > bounds[best]) best = i;
  }
  return best;
};

const enoughWith = (network: Network, demand: Demand, photos: readonly Choice[]): boolean => {
  if (photos.length < demand.fewest || missingSightings(demand, sightingsOf(photos)) > 0)
    return false;
  if (weakPlaces(photos) > demand.weak) return false;
  return isEnough(demand, standAfter(network, demand, photos));
};

const withoutSuperfluous = (
  network: Network,
  demand: Demand,
  choices: readonly Choice[],
  taken: readonly Choice[],
  order: readonly number[],
): number[] => {
  let kept = [...order];
  if (!enoughWith(network, demand, [...taken, ...kept.map((i) => choices[i])])) return kept;
  for (const i of [...order].reverse()) {
    const fewer = kept.filter((other) => other !== i);
    if (enoughWith(network, demand, [...taken, ...fewer.map((k) => choices[k])])) kept = fewer;
  }
  return kept;
};

/** One photo in the place of two, as long as there is such a one. */
const twoForOne = (
  network: Network,
  demand: Demand,
  choices: readonly Choice[],
  taken: readonly Choice[],
  order: readonly number[],
): number[] => {
  const tried = (kept: readonly number[]): number[] | null => {
    for (let a = 0; a < kept.length; a++)
      for (let b = a + 1; b < kept.length; b++) {
        const rest = kept.filter((_, at) => at !== a && at !== b);
        const photos = [...taken, ...rest.map((i) => choices[i])];
        if (photos.length + 1 < demand.fewest) continue;
        const found = lastPhoto(network, demand, choices, photos);
        if (found >= 0) return [...rest, found];
      }
    return null;
  };
  if (!enoughWith(network, demand, [...taken, ...order.map((i) => choices[i])])) return [...order];
  let kept = [...order];
  for (let next = tried(kept); next; next = tried(kept)) kept = next;
  return kept;
};

/** A photo that alone completes the others; -1 where there is none. */
const lastPhoto = (
  network: Network,
  demand: Demand,
  choices: readonly Choice[],
  photos: readonly Choice[],
): number => {
  const sightings = sightingsOf(photos);
  const missing = missingSightings(demand, sightings);
  const few = { sightings } as Standing;
  const able = choices.flatMap((choice, i) =>
    newSightings(demand, few, choice) === missing ? [i] : [],
  );
  if (able.length === 0) return -1;
  const standing = standAfter(network, demand, photos);
  return (
    able.find(
      (i) =>
        weakPlaces([...photos, choices[i]]) <= demand.weak &&
        sdsWith(network, standing, choices[i].information).every(
          (sd, q) => sd <= demand.aims[q].sd,
        ),
    ) ?? -1
  );
};

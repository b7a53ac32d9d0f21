import type { SmallFactor } from "../../adjust/factors/factor.ts";
import { imageFactor } from "../../adjust/factors/image-factor.ts";
import { statementFactors } from "../../adjust/factors/statement-factors.ts";
import { type Block, type Layout, layOut } from "../../adjust/problem/layout.ts";
import { motionSize } from "../../adjust/problem/motion.ts";
import type {
  BoardObservation,
  LengthStatement,
  NetworkProblem,
  PhotoStatement,
  Propagated,
  Quantity,
} from "../../adjust/problem/problem.ts";
import { copyState, type State } from "../../adjust/problem/state.ts";
import { propagate } from "../../adjust/propagate/propagate.ts";
import { cholesky, choleskyInverse, invertPositive } from "../../maths/dense.ts";
import type { Pose } from "../../maths/pose.ts";

/**
 * Information of the adjustment before and without any values: the same factors, priors and
 * propagation as the adjustment itself, at places that are known or planned (Grafarend and Sanso,
 * Optimization and Design of Geodetic Networks, 1985). Photos enter one by one, each with its own
 * numbers (pose, focus, shift, motion) eliminated, so that informations of photos add up.
 */
export interface Network {
  /** Everything but photos. */
  readonly problem: NetworkProblem;
  readonly layout: Layout;
  /** Places of boards and frames, lens and scalars; no photos. */
  readonly state: State;
  readonly statements: readonly SmallFactor[];
  /** n x n: what is known without photos. */
  readonly known: Float64Array;
}

/** What one photo adds, about some of the unknowns. */
export interface PhotoInformation {
  readonly places: Int32Array;
  /** k x k. */
  readonly matrix: Float64Array;
}

/**
 * Before any photo a board is roughly somewhere: so far from where the plan has it, mm and rad. Wide
 * enough to weigh nothing beside a photo, and it takes the place of a datum: what is reported does
 * not depend on the bay frame.
 */
const roughSd = { shiftMm: 400, turn: 0.4 } as const;

const indexer = (layout: Layout) => {
  const index = new Map(layout.blocks.map((block, i) => [block, i]));
  return (block: Block): number => index.get(block)!;
};

/** `problem` without its photos; `state` gives places in the same order of boards and frames. */
export const makeNetwork = (full: NetworkProblem, state: State): Network => {
  const problem = { ...full, photos: [], observations: [] };
  const layout = layOut(problem);
  const own = withoutPhotos(state);
  const statements = statementFactors(layout, indexer(layout));
  const known = new Float64Array(layout.size ** 2);
  for (const block of [...layout.boardBlock, ...layout.frameBlock])
    for (let k = 0; k < 6; k++)
      known[(block.offset + k) * (layout.size + 1)] +=
        k < 3 ? roughSd.turn ** -2 : roughSd.shiftMm ** -2;
  for (const factor of statements) addFactor(known, layout, factor, own);
  return { problem, layout, state: own, statements, known };
};

const withoutPhotos = (state: State): State => ({
  ...copyState(state),
  photoPose: [],
  photoChange: new Float64Array(0),
  photoMotion: new Float64Array(0),
});

const addFactor = (h: Float64Array, layout: Layout, factor: SmallFactor, state: State): void => {
  const { width, blocks } = factor;
  const n = new Float64Array(width * width);
  factor.normals(state, n, new Float64Array(width));
  const places = placesOf(blocks.map((i) => layout.blocks[i]));
  addAt(h, layout.size, places, n);
};

const placesOf = (blocks: readonly Block[]): Int32Array =>
  Int32Array.from(
    blocks.flatMap(({ offset, size }) => Array.from({ length: size }, (_, k) => offset + k)),
  );

const addAt = (h: Float64Array, size: number, places: Int32Array, n: Float64Array): void => {
  const k = places.length;
  for (let a = 0; a < k; a++)
    for (let b = 0; b < k; b++) h[places[a] * size + places[b]] += n[a * k + b];
};

/** A photo that was taken or is only planned: what it shows, and from where. */
export interface NetworkPhoto {
  readonly statement: PhotoStatement;
  readonly cameraFromBay: Pose;
  readonly observations: readonly BoardObservation[];
  /** Focal change, shift and motion as adjusted; absent = none. */
  readonly change?: { readonly focal: Float64Array; readonly motion: Float64Array };
}

/** The network with one photo: where its unknowns stand and what is known of them before. */
interface OnePhoto {
  readonly layout: Layout;
  readonly index: (block: Block) => number;
  readonly own: Block;
  readonly priors: readonly SmallFactor[];
}

const onePhotos = new WeakMap<Network, Map<string, OnePhoto>>();

/** Made once for all planned photos: they differ only in where they are. */
const onePhoto = (network: Network, statement: PhotoStatement): OnePhoto => {
  const known = onePhotos.get(network) ?? new Map<string, OnePhoto>();
  onePhotos.set(network, known);
  const found = known.get(statement.key);
  if (found) return found;
  const problem: NetworkProblem = {
    ...network.problem,
    photos: [statement],
    lengths: [],
    floor: [],
    chains: [],
    samePrints: [],
  };
  const layout = layOut(problem);
  const index = indexer(layout);
  const own = layout.photoBlock[0];
  const priors = statementFactors(layout, index).filter(({ blocks }) => blocks[0] === index(own));
  const made = { layout, index, own, priors };
  known.set(statement.key, made);
  return made;
};

/** What a photo says about everything else, its own numbers eliminated; null where nothing. */
export const photoInformation = (
  network: Network,
  { statement, cameraFromBay, observations, change }: NetworkPhoto,
): PhotoInformation | null => {
  const { layout, index, own, priors } = onePhoto(network, statement);
  const state: State = {
    ...network.state,
    photoPose: [cameraFromBay],
    photoChange: change?.focal ?? new Float64Array(3),
    photoMotion: change?.motion ?? new Float64Array(motionSize),
  };
  const views = observations.map((observation) => imageFactor(layout, observation, index));
  const touched = [...new Set(views.flatMap(({ blocks }) => blocks))]
    .map((i) => layout.blocks[i])
    .filter((block) => block !== own);
  const starts = new Map<Block, number>([[own, 0]]);
  let size = own.size;
  for (const block of touched) {
    starts.set(block, size);
    size += block.size;
  }
  const h = new Float64Array(size * size);
  let any = false;
  for (const factor of [...views, ...priors]) {
    const { width, blocks } = factor;
    const n = new Float64Array(width * width);
    if (!Number.isFinite(factor.normals(state, n, new Float64Array(width)))) continue;
    any ||= factor.source === "image";
    const places = Int32Array.from(
      blocks.flatMap((i) => {
        const block = layout.blocks[i];
        return Array.from({ length: block.size }, (_, k) => starts.get(block)! + k);
      }),
    );
    addAt(h, size, places, n);
  }
  if (!any) return null;
  const matrix = reduced(h, size, own.size);
  // The same unknowns stand one photo further on in the network without photos.
  const places = placesOf(touched).map((place) => place - own.size);
  return matrix && { places, matrix };
};

/** H_bb - H_ba H_aa^-1 H_ab, a being the first `d` unknowns; null where they are not determined. */
const reduced = (h: Float64Array, size: number, d: number): Float64Array | null => {
  const own = new Float64Array(d * d);
  for (let i = 0; i < d; i++) for (let k = 0; k < d; k++) own[i * d + k] = h[i * size + k];
  const inverse = invertPositive(own, d);
  if (!inverse) return null;
  const k = size - d;
  const y = new Float64Array(d * k);
  for (let i = 0; i < d; i++)
    for (let j = 0; j < d; j++) {
      const f = inverse[i * d + j];
      for (let c = 0; c < k; c++) y[i * k + c] += f * h[j * size + d + c];
    }
  const out = new Float64Array(k * k);
  for (let r = 0; r < k; r++) {
    for (let c = 0; c < k; c++) out[r * k + c] = h[(d + r) * size + d + c];
    for (let i = 0; i < d; i++) {
      const f = h[(d + r) * size + i];
      for (let c = 0; c < k; c++) out[r * k + c] -= f * y[i * k + c];
    }
  }
  return out;
};

/** Adds a photo's information to a whole matrix, in place. */
export const addPhoto = (
  { layout }: Network,
  h: Float64Array,
  { places, matrix }: PhotoInformation,
): void => addAt(h, layout.size, places, matrix);

/** Shares of what is known of an unknown that outweigh rounding; the least that does is taken. */
const roundingShares = [0, 1e-12, 1e-11, 1e-10, 1e-9] as const;

/**
 * Inverse of an information matrix of the whole network; null where it is not positive. After many photos
 * rounding may outweigh the rough knowledge that stands for a datum; that is then made firmer.
 */
export const covarianceOf = (
  { layout: { size } }: Network,
  h: Float64Array,
): Float64Array | null => {
  for (const share of roundingShares) {
    const l = h.slice();
    for (let i = 0; i < size; i++) l[i * (size + 1)] *= 1 + share;
    if (cholesky(l, size, 1e-15).failedAt < 0) return choleskyInverse(l, size);
  }
  return null;
};

/** Derivatives of quantities by the unknowns, one row each, as the product's propagation forms them. */
export const derivatives = (network: Network, quantities: readonly Quantity[]): Float64Array[] => {
  const rows: Float64Array[] = [];
  propagateWith(network, (row) => rows.push(row.slice()), quantities);
  return rows;
};

/** Values, covariance and budget of quantities under a covariance of the whole network. */
export const propagated = (
  network: Network,
  covariance: Float64Array,
  quantities: readonly Quantity[],
): Propagated => {
  const n = network.layout.size;
  return propagateWith(
    network,
    (b) => {
      const used = [...b.keys()].filter((i) => b[i] !== 0);
      const out = new Float64Array(n);
      for (let r = 0; r < n; r++) for (const c of used) out[r] += covariance[r * n + c] * b[c];
      b.set(out);
    },
    quantities,
  );
};

const propagateWith = (
  { layout, state, statements }: Network,
  solve: (b: Float64Array) => void,
  quantities: readonly Quantity[],
): Propagated =>
  propagate(
    {
      layout,
      state,
      statements,
      solve,
      datum: { motions: [], constraints: [] },
      innerSolution: true,
    },
    quantities,
  );

/** What one more measured length would add. */
export const lengthInformation = (network: Network, length: LengthStatement): PhotoInformation => {
  const layout = layOut({ ...network.problem, lengths: [length] });
  const factors = statementFactors(layout, indexer(layout));
  const factor = factors.find(({ source }) => source === "length reference")!;
  const width = factor.width;
  const matrix = new Float64Array(width * width);
  factor.normals(network.state, matrix, new Float64Array(width));
  return { places: placesOf(factor.blocks.map((i) => layout.blocks[i])), matrix };
};

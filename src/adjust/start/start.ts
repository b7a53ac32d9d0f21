import { unproject } from "../../lens/lens.ts";
import { planarPoses } from "../../maths/planar-pose.ts";
import { compose, identityPose, invert, type Pose } from "../../maths/pose.ts";
import { type ImageFactor, imageFactor } from "../factors/image-factor.ts";
import { type Layout, layOut } from "../problem/layout.ts";
import type { BoardObservation, NetworkProblem } from "../problem/problem.ts";
import { lensOf, priorState, type State } from "../problem/state.ts";
import { cappedCost, type Item, refineItem, setPose } from "./refine-block.ts";

/**
 * Start values. Every view gives at most two poses of its board (planar ambiguity); both are kept.
 * From one board outwards, photos and boards are placed where the views agree best, the least
 * ambiguous first, so that other views decide an ambiguous one wherever there are any.
 */
export interface View {
  readonly factor: ImageFactor;
  readonly photo: number;
  readonly board: number;
  /** cameraFromBoard, better first, at most two. */
  readonly candidates: readonly Pose[];
  /** How much worse the second candidate fits: ratio of rms, Infinity where there is none. */
  readonly clarity: number;
  /** Size of the board in the photo, px. */
  readonly extentPx: number;
}

export interface Group {
  readonly photos: readonly number[];
  readonly boards: readonly number[];
}

/** Squared error (in units of the coarse noise) at which a view counts as not fitting at all. */
export const coarseCap = 400;
const coarseSigmaPx = 1;
const coarsePoints = 12;

/**
 * Views with few points and a common noise: enough to place things, cheap to evaluate. Of all
 * observations, or of the given ones.
 */
export const coarseViews = (
  full: Layout,
  observations: readonly BoardObservation[] = full.problem.observations,
): View[] => {
  const layout = layOut(posesOnly(full.problem));
  const state = priorState(layout);
  const views: View[] = [];
  for (const observation of observations) {
    const view = coarseView(layout, state, observation);
    if (view) views.push(view);
  }
  return views;
};

/** The same problem with everything but poses held at its stated value. */
const posesOnly = (problem: NetworkProblem): NetworkProblem => ({
  ...problem,
  cameras: problem.cameras.map((c) => ({
    ...c,
    free: c.free.map(() => false),
    fixedAspect: false,
    focalSd: 0,
    shiftSdPx: 0,
    motion: undefined,
  })),
  photos: problem.photos.map((p) => ({ ...p, readout: undefined })),
  boards: problem.boards.map((b) => ({ ...b, cellSd: 0, stretchSd: 0, bendSd: 0 })),
  prints: problem.prints.map((p) => ({ ...p, scaleSd: 0, widthSd: 0, heightSd: 0 })),
});

const coarseView = (layout: Layout, state: State, observation: BoardObservation): View | null => {
  const photo = layout.photoIndex.get(observation.photo)!;
  const board = layout.boardIndex.get(observation.board)!;
  const lens = lensOf(state, layout.photoPlaces[photo].camera);
  const cell = layout.problem.boards[board].cellMm;
  const plane: number[] = [];
  const image: number[] = [];
  const { boardPoints, pixels } = observation;
  const chosen = spreadPoints(boardPoints);
  for (const i of chosen) {
    const point = unproject(lens, pixels[2 * i], pixels[2 * i + 1]);
    if (!point) continue;
    plane.push(boardPoints[2 * i] * cell, boardPoints[2 * i + 1] * cell);
    image.push(point[0], point[1]);
  }
  const found = planarPoses(plane, image);
  const pick = (values: Float64Array) =>
    Float64Array.from(chosen.flatMap((i) => [values[2 * i], values[2 * i + 1]]));
  const coarse: BoardObservation = {
    photo: observation.photo,
    board: observation.board,
    boardPoints: pick(boardPoints),
    pixels: pick(pixels),
    noise: { kind: "isotropic", sigmaPx: coarseSigmaPx },
  };
  return {
    factor: imageFactor(layout, coarse, () => 0),
    photo,
    board,
    candidates: found.map((p) => p.pose),
    clarity: found.length > 1 ? found[1].rms / Math.max(found[0].rms, 0.1 / lens.fx) : 1e6,
    extentPx: extent(pixels),
  };
};

const extent = (pixels: Float64Array): number => {
  let [x0, x1, y0, y1] = [pixels[0], pixels[0], pixels[1], pixels[1]];
  for (let i = 0; i < pixels.length; i += 2) {
    x0 = Math.min(x0, pixels[i]);
    x1 = Math.max(x1, pixels[i]);
    y0 = Math.min(y0, pixels[i + 1]);
    y1 = Math.max(y1, pixels[i + 1]);
  }
  return Math.hypot(x1 - x0, y1 - y0);
};

/** Indices of up to twelve points that spread over the board: extremes first, then even steps. */
const spreadPoints = (points: Float64Array): number[] => {
  const n = points.length / 2;
  if (n <= coarsePoints) return Array.from({ length: n }, (_, i) => i);
  const chosen = new Set<number>();
  for (let k = 0; k < 8; k++) {
    const angle = (k * Math.PI) / 4;
    let best = 0;
    let bestValue = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < n; i++) {
      const value = Math.cos(angle) * points[2 * i] + Math.sin(angle) * points[2 * i + 1];
      if (value > bestValue) {
        bestValue = value;
        best = i;
      }
    }
    chosen.add(best);
  }
  for (let k = 0; chosen.size < coarsePoints; k++) chosen.add(Math.floor((k * n) / coarsePoints));
  return [...chosen].sort((a, b) => a - b);
};

/**
 * Groups of photos and boards that views tie together, largest first. A view from which no pose follows
 * ties nothing: what only such views show would be placed by nobody.
 */
export const viewGroups = (layout: Layout, views: readonly View[]): Group[] => {
  const photos = layout.problem.photos.length;
  const parent = Array.from({ length: photos + layout.problem.boards.length }, (_, i) => i);
  const find = (i: number): number => {
    let root = i;
    while (parent[root] !== root) root = parent[root];
    parent[i] = root;
    return root;
  };
  for (const view of views)
    if (view.candidates.length > 0) parent[find(view.photo)] = find(photos + view.board);
  const groups = new Map<number, { photos: number[]; boards: number[] }>();
  parent.forEach((_, i) => {
    const root = find(i);
    const group = groups.get(root) ?? { photos: [], boards: [] };
    groups.set(root, group);
    if (i < photos) group.photos.push(i);
    else group.boards.push(i - photos);
  });
  return [...groups.values()].sort(
    (a, b) => b.photos.length + b.boards.length - a.photos.length - a.boards.length,
  );
};

/** Places one group in a frame of its own, from the `attempt`-th best root board outwards. */
export const placeGroup = (
  state: State,
  views: readonly View[],
  group: Group,
  attempt: number,
): void => {
  const inGroup = new Set(group.boards);
  const own = views.filter((view) => inGroup.has(view.board));
  const root = rootBoards(own)[attempt % Math.max(group.boards.length, 1)] ?? group.boards[0];
  if (root === undefined) return;
  const placed = { photo: new Set<number>(), board: new Set<number>([root]) };
  state.boardPose[root] = identityPose;
  const waiting: Item[] = [
    ...group.photos.map((index): Item => ({ kind: "photo", index })),
    ...group.boards.filter((b) => b !== root).map((index): Item => ({ kind: "board", index })),
  ];
  const ready = new Map<Item, Proposal | null>();
  while (waiting.length > 0) {
    for (const item of waiting)
      if (!ready.has(item)) ready.set(item, propose(state, own, item, placed));
    const proposals = waiting
      .map((item) => ready.get(item))
      .filter((p): p is Proposal => p != null)
      .sort((a, b) => b.surety - a.surety);
    if (proposals.length === 0) return;
    const sure = proposals.filter((p) => p.surety > 3 && p.surety > proposals[0].surety / 4);
    for (const proposal of sure.length > 0 ? sure : [proposals[0]]) {
      const { item } = proposal;
      setPose(state, item, proposal.pose);
      placed[item.kind].add(item.index);
      waiting.splice(waiting.indexOf(item), 1);
      for (const other of [...ready.keys()])
        if (
          other.kind !== item.kind &&
          own.some((v) => v[item.kind] === item.index && v[other.kind] === other.index)
        )
          ready.delete(other);
    }
  }
};

/** Boards in the order in which they serve as a root: many clear views first. */
const rootBoards = (views: readonly View[]): number[] => {
  const score = new Map<number, number>();
  for (const view of views)
    score.set(view.board, (score.get(view.board) ?? 0) + Math.min(view.clarity, 4) / 4 + 0.2);
  return [...score.keys()].sort((a, b) => score.get(b)! - score.get(a)!);
};

interface Proposal {
  readonly item: Item;
  readonly pose: Pose;
  /** How much better than the best different pose: ratio of capped costs. */
  readonly surety: number;
}

const maxSources = 8;

/** Best pose of an item from the views that join it to what is placed already. */
const propose = (
  state: State,
  views: readonly View[],
  item: Item,
  placed: { readonly photo: ReadonlySet<number>; readonly board: ReadonlySet<number> },
): Proposal | null => {
  const other = item.kind === "photo" ? "board" : "photo";
  const joined = views.filter((v) => v[item.kind] === item.index && placed[other].has(v[other]));
  const sources = joined
    .filter((v) => v.candidates.length > 0)
    .sort((a, b) => b.extentPx - a.extentPx)
    .slice(0, maxSources);
  if (sources.length === 0) return null;
  const factors = joined.map((v) => v.factor);
  const tried: { pose: Pose; cost: number }[] = [];
  for (const view of sources)
    for (const candidate of view.candidates) {
      const pose =
        item.kind === "photo"
          ? compose(candidate, invert(state.boardPose[view.board]))
          : compose(invert(state.photoPose[view.photo]), candidate);
      setPose(state, item, pose);
      tried.push({ pose, cost: cappedCost(factors, state, coarseCap) });
    }
  tried.sort((a, b) => a.cost - b.cost);
  const refined: { pose: Pose; cost: number }[] = [];
  for (const { pose } of tried.slice(0, 6)) {
    if (refined.some((r) => near(r.pose, pose, 0.02))) continue;
    setPose(state, item, pose);
    const cost = refineItem(state, item, factors, coarseCap, 8);
    const reached =
      item.kind === "photo" ? state.photoPose[item.index] : state.boardPose[item.index];
    if (!refined.some((r) => near(r.pose, reached, 0.01))) refined.push({ pose: reached, cost });
    if (refined.length === 3) break;
  }
  refined.sort((a, b) => a.cost - b.cost);
  const floor = 0.05 * factors.length;
  const surety = refined.length > 1 ? (refined[1].cost + floor) / (refined[0].cost + floor) : 1e3;
  return {
    item,
    pose: refined[0].pose,
    surety: Math.min(surety, 1e3) * Math.min(factors.length, 8),
  };
};

const near = (a: Pose, b: Pose, angle: number): boolean => {
  let trace = 0;
  for (let i = 0; i < 9; i++) trace += a.R[i] * b.R[i];
  return trace > 3 - angle * angle;
};

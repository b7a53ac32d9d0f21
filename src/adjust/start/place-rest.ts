import {
  compose,
  cross,
  dot,
  expRotation,
  identityPose,
  invert,
  norm,
  type Pose,
  scale,
  type Vec3,
} from "../../maths/pose.ts";
import { linkPose } from "../factors/chain-factor.ts";
import type { Layout } from "../problem/layout.ts";
import type { ChainStatement, Link } from "../problem/problem.ts";
import type { State } from "../problem/state.ts";
import type { Group } from "./start.ts";

/**
 * What the photos alone do not place: groups of boards joined by chains only, frames, and the
 * floor plane.
 */

/** Pose that link `at` must have (before any inversion) for the chain's product to be the identity. */
const wantedPose = (layout: Layout, state: State, chain: ChainStatement, at: number): Pose => {
  let before = identityPose;
  let after = identityPose;
  chain.links.forEach((link, i) => {
    if (i < at) before = compose(before, linkPose(layout, state, link));
    if (i > at) after = compose(after, linkPose(layout, state, link));
  });
  const product = compose(invert(before), invert(after));
  const link = chain.links[at];
  return link.kind === "pose" && link.inverse ? invert(product) : product;
};

const poseLinks = (chain: ChainStatement): { link: Link & { kind: "pose" }; at: number }[] =>
  chain.links.flatMap((link, at) => (link.kind === "pose" ? [{ link, at }] : []));

const isFull = (chain: ChainStatement): boolean => chain.sd.every(Number.isFinite);

/**
 * Joins groups through chains that state all six numbers and name exactly one board of one group
 * and otherwise boards of another. Returns the groups that stay apart.
 */
export const joinGroups = (layout: Layout, state: State, groups: readonly Group[]): Group[] => {
  const left = groups.map((g) => ({ photos: [...g.photos], boards: [...g.boards] }));
  for (let progress = true; progress; ) {
    progress = false;
    for (const chain of layout.problem.chains.filter(isFull)) {
      const members = poseLinks(chain).map(({ link, at }) => ({
        at,
        group: left.find((g) => g.boards.includes(layout.boardIndex.get(link.key) ?? -1)),
        board: layout.boardIndex.get(link.key) ?? -1,
      }));
      const involved = new Set(members.map((m) => m.group));
      if (involved.size !== 2 || involved.has(undefined)) continue;
      const single = [...involved].find((g) => members.filter((m) => m.group === g).length === 1);
      if (!single) continue;
      const main = [...involved].find((g) => g !== single)!;
      const member = members.find((m) => m.group === single)!;
      const wanted = wantedPose(layout, state, chain, member.at);
      moveGroup(state, single, compose(wanted, invert(state.boardPose[member.board])));
      main.photos.push(...single.photos);
      main.boards.push(...single.boards);
      left.splice(left.indexOf(single), 1);
      progress = true;
      break;
    }
  }
  return left;
};

const moveGroup = (state: State, group: Group, motion: Pose): void => {
  const back = invert(motion);
  for (const p of group.photos) state.photoPose[p] = compose(state.photoPose[p], back);
  for (const b of group.boards) state.boardPose[b] = compose(motion, state.boardPose[b]);
};

/**
 * Places frames through chains whose other poses are known: chains that state all six numbers
 * first, then any. Returns the keys of frames that nothing places and that have no start.
 */
export const placeFrames = (layout: Layout, state: State): string[] => {
  const open = new Set(layout.problem.frames.map((f) => f.key));
  const chains = [...layout.problem.chains].sort((a, b) => Number(isFull(b)) - Number(isFull(a)));
  for (let progress = true; progress && open.size > 0; ) {
    progress = false;
    for (const chain of chains) {
      const unknown = poseLinks(chain).filter(({ link }) => open.has(link.key));
      if (unknown.length !== 1) continue;
      const { link, at } = unknown[0];
      state.framePose[layout.frameIndex.get(link.key)!] = wantedPose(layout, state, chain, at);
      open.delete(link.key);
      progress = true;
      break;
    }
  }
  return [...open].filter((key) => !layout.problem.frames.find((f) => f.key === key)?.start);
};

/** Turns and shifts the whole bay so that the floor boards lie on z = 0 as well as they can. */
export const levelToFloor = (layout: Layout, state: State): void => {
  const floor = layout.problem.floor.filter((f) => layout.boardIndex.has(f.board));
  if (floor.length === 0) return;
  const boards = floor.map((f) => state.boardPose[layout.boardIndex.get(f.board)!]);
  let normal: Vec3 = [0, 0, 0];
  for (const { R } of boards) normal = [normal[0] + R[2], normal[1] + R[5], normal[2] + R[8]];
  const fitted = planeNormal(boards.map((b) => b.t));
  // The plane through distant boards is far better known than any one board's own tilt.
  if (fitted && norm(normal) > 0) normal = dot(fitted, normal) < 0 ? scale(fitted, -1) : fitted;
  const size = norm(normal);
  if (!(size > 0)) return;
  const axis = cross(scale(normal, 1 / size), [0, 0, 1]);
  const sine = norm(axis);
  const angle = Math.atan2(sine, normal[2] / size);
  const R = expRotation(
    sine > 1e-12 ? scale(axis, angle / sine) : angle > 1 ? [Math.PI, 0, 0] : [0, 0, 0],
  );
  const turn: Pose = { R, t: [0, 0, 0] };
  let height = 0;
  floor.forEach((f, i) => {
    height += (compose(turn, boards[i]).t[2] - f.heightMm) / floor.length;
  });
  const motion: Pose = { R, t: [0, 0, -height] };
  const all: Group = {
    photos: state.photoPose.map((_, i) => i),
    boards: state.boardPose.map((_, i) => i),
  };
  moveGroup(state, all, motion);
};

/** Normal of the plane through points, or null where they are too few or nearly on a line. */
const planeNormal = (points: readonly Vec3[]): Vec3 | null => {
  if (points.length < 3) return null;
  let best: Vec3 = [0, 0, 0];
  // Sum of cross products about the centroid, signs aligned: enough for a start value.
  const n = points.length;
  const c = points.reduce<Vec3>(
    (s, p) => [s[0] + p[0] / n, s[1] + p[1] / n, s[2] + p[2] / n],
    [0, 0, 0],
  );
  const about = points.map((p): Vec3 => [p[0] - c[0], p[1] - c[1], p[2] - c[2]]);
  for (let i = 0; i < n; i++)
    for (let k = 0; k < i; k++) {
      const area = cross(about[i], about[k]);
      const sign = dot(area, best) < 0 ? -1 : 1;
      best = [best[0] + sign * area[0], best[1] + sign * area[1], best[2] + sign * area[2]];
    }
  const longest = Math.max(...about.map(norm));
  return norm(best) > 0.02 * n * longest ** 2 ? scale(best, 1 / norm(best)) : null;
};

import type { Pose } from "../../maths/pose.ts";
import { invert, transform, type Vec3 } from "../../maths/pose.ts";
import type { Obstacle, PlannedBay } from "./bay.ts";
import {
  type BoardInPhoto,
  boardsInPhoto,
  boardsInSight,
  type Frame,
  heldPose,
  type Sighted,
  type SightLimits,
  usualLimits,
} from "./sight.ts";

/** How a phone is held; heights of the lens above the floor, mm: common practice, no source. */
export const postures = [
  { name: "kneeling", heightMm: 600 },
  { name: "at the chest", heightMm: 1350 },
  { name: "arms up", heightMm: 1900 },
] as const;
export type Posture = (typeof postures)[number]["name"];

/** A photo that could be taken. */
export interface Candidate {
  readonly key: string;
  /** Place of the phone, vehicle frame, mm. */
  readonly from: Vec3;
  readonly posture: Posture;
  readonly upright: boolean;
  /** Direction in which the phone looks, unit vector. */
  readonly towards: Vec3;
  readonly cameraFromVehicle: Pose;
  readonly views: readonly BoardInPhoto[];
}

export interface StandOptions {
  readonly limits?: SightLimits;
  /** Distance between neighbouring places, mm. */
  readonly spacingMm?: number;
}

/** How far from the outermost things people may stand, and how near to car and stand, mm. */
const reachMm = 2600;
const clearanceMm = 350;
/** From a wall of the bay, and from the middle of a floor board. */
const wallMm = 400;
const boardMm = 320;
/** Looks tried at a place: of those that show most, so many. */
const looksKept = 5;

/** All photos worth considering: where a person can be, looking at boards that fit a photo together. */
export const candidatePhotos = (
  bay: PlannedBay,
  frame: Frame,
  { limits = usualLimits, spacingMm = 700 }: StandOptions = {},
): Candidate[] =>
  mostDifferent(
    standingPlaces(bay, spacingMm).flatMap(([x, y]) =>
      postures.flatMap(({ name, heightMm }) =>
        looksFrom(bay, frame, limits, [x, y, heightMm], name),
      ),
    ),
  );

/** Of photos that show the same boards so many are kept, from places this far apart, mm. */
const alikeKept = 2;
const alikeApartMm = 1200;

/** Of photos with the same boards, those that show them largest, from places well apart. */
const mostDifferent = (candidates: readonly Candidate[]): Candidate[] => {
  const groups = new Map<string, Candidate[]>();
  for (const candidate of [...candidates].sort((a, b) => sizeOf(b) - sizeOf(a))) {
    const name = candidate.views.map(({ board }) => board).join(" ");
    const group = groups.get(name) ?? [];
    const apart = group.every(({ from }) => distance(from, candidate.from) >= alikeApartMm);
    if (apart && group.length < alikeKept) group.push(candidate);
    groups.set(name, group);
  }
  return [...groups.values()].flat();
};

/** Mean logarithm of the cells, and a little for the easiest posture. */
const sizeOf = ({ views, posture }: Candidate): number =>
  views.reduce((sum, { cellPx }) => sum + Math.log(cellPx) / views.length, 0) +
  (posture === "at the chest" ? easier : 0);
const easier = 0.1;

const distance = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** A grid over the floor, without what car, stand, boards and walls take. */
export const standingPlaces = (bay: PlannedBay, spacingMm: number): [number, number][] => {
  const xs = bay.boards.map(({ pose }) => pose.t[0]);
  const ys = bay.boards.map(({ pose }) => pose.t[1]);
  const room = bay.room;
  const low = [
    Math.max(Math.min(...xs) - reachMm, room ? wallMm - room.behind : Number.NEGATIVE_INFINITY),
    Math.max(Math.min(...ys) - reachMm, room ? wallMm - room.right : Number.NEGATIVE_INFINITY),
  ];
  const high = [
    Math.min(Math.max(...xs) + reachMm, room ? room.ahead - wallMm : Number.POSITIVE_INFINITY),
    Math.min(Math.max(...ys) + reachMm, room ? room.left - wallMm : Number.POSITIVE_INFINITY),
  ];
  const places: [number, number][] = [];
  for (let x = low[0]; x <= high[0]; x += spacingMm)
    for (let y = low[1]; y <= high[1]; y += spacingMm) if (canStand(bay, x, y)) places.push([x, y]);
  return places;
};

/** Whether a person can be there: not in or against car and stand, not on a board, not in a wall. */
export const canStand = (
  { boards, obstacles, room }: PlannedBay,
  x: number,
  y: number,
): boolean => {
  if (obstacles.some((box) => nearInPlan(box, x, y) < clearanceMm)) return false;
  if (boards.some(({ pose: { R, t } }) => R[8] > 0.7 && Math.hypot(t[0] - x, t[1] - y) < boardMm))
    return false;
  if (!room) return true;
  return (
    x <= room.ahead - wallMm &&
    x >= wallMm - room.behind &&
    y <= room.left - wallMm &&
    y >= wallMm - room.right
  );
};

/** Distance in plan from a box, 0 inside; boxes stand upright or nearly so. */
const nearInPlan = ({ pose, half }: Obstacle, x: number, y: number): number => {
  const reach = [0, 1].map((row) =>
    half.reduce((sum, h, k) => sum + Math.abs(pose.R[3 * row + k]) * h, 0),
  );
  const tilted = reach.every((r) => r > 1.3 * Math.min(...half) && r < Math.max(...half));
  if (tilted) return Math.hypot(x - pose.t[0], y - pose.t[1]) - Math.max(half[0], half[1]);
  const dx = Math.max(0, Math.abs(x - pose.t[0]) - reach[0]);
  const dy = Math.max(0, Math.abs(y - pose.t[1]) - reach[1]);
  return Math.hypot(dx, dy);
};

/**
 * What a phone at one place can show: looks half-way between any two boards in sight, level and
 * upright; of these the ones whose boards are not all in another's, most boards first.
 */
export const looksFrom = (
  bay: PlannedBay,
  frame: Frame,
  limits: SightLimits,
  from: Vec3,
  posture: Posture,
): Candidate[] => {
  const sighted = boardsInSight(from, bay.boards, bay.obstacles, frame.lens.fx, limits);
  if (sighted.length < 2) return [];
  const made: Candidate[] = [];
  const known = new Set<string>();
  for (const towards of looks(sighted))
    for (const upright of [false, true]) {
      const cameraFromVehicle = heldPose(from, towards, upright);
      const views = boardsInPhoto(frame, cameraFromVehicle, sighted, limits);
      if (views.length < 2) continue;
      const shown = views.map((view) => view.board).sort();
      const name = shown.join(" ");
      if (known.has(name)) continue;
      known.add(name);
      const place = from.map((v) => Math.round(v)).join(" ");
      const key = `${place} ${upright ? "upright" : "level"} ${name}`;
      made.push({ key, from, posture, upright, towards, cameraFromVehicle, views });
    }
  return maximal(made).slice(0, looksKept);
};

/** No steeper than a person would hold a phone, up or down, as a share of the direction. */
const steepest = 0.8;

/** Looks closer to each other than this are one, as a difference of unit vectors. */
const alikeLooks = 0.06;

const looks = (sighted: readonly Sighted[]): Vec3[] => {
  const directions = sighted.map(({ direction }) => direction);
  const found = new Map<string, Vec3>();
  directions.forEach((a, i) => {
    for (const b of directions.slice(i)) {
      const sum: Vec3 = [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
      const length = Math.hypot(sum[0], sum[1], sum[2]);
      if (length < 1.2 || Math.abs(sum[2]) > steepest * length) continue;
      const towards: Vec3 = [sum[0] / length, sum[1] / length, sum[2] / length];
      found.set(towards.map((v) => Math.round(v / alikeLooks)).join(" "), towards);
    }
  });
  return [...found.values()];
};

const maximal = (made: Candidate[]): Candidate[] => {
  const bySize = [...made].sort((a, b) => b.views.length - a.views.length);
  const kept: Candidate[] = [];
  for (const candidate of bySize) {
    const boards = candidate.views.map((view) => view.board);
    const inAnother = kept.some(({ views }) =>
      boards.every((board) => views.some((view) => view.board === board)),
    );
    if (!inAnother) kept.push(candidate);
  }
  return kept;
};

/** Where a photo that was taken stood, vehicle frame. */
export const placeOf = (cameraFromVehicle: Pose): { from: Vec3; towards: Vec3 } => {
  const { R, t } = invert(cameraFromVehicle);
  return { from: t, towards: transform({ R, t: [0, 0, 0] }, [0, 0, 1]) };
};

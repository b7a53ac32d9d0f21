import { layOut } from "../adjust/problem/layout.ts";
import type { NetworkProblem } from "../adjust/problem/problem.ts";
import { priorState, type State, viewOf } from "../adjust/problem/state.ts";
import { wheelBoardIds } from "../job/file/job-boards.ts";
import type { JobFile } from "../job/file/job-file.ts";
import { compose, type Mat3, type Pose, type Vec3 } from "../maths/pose.ts";
import { axisOf, type StepContext, targetFor } from "../placement/checks/checks.ts";
import { poseOfPlacement, requiredPlacement } from "../placement/moves/required.ts";
import type { PlacementSheet } from "../placement/sheet/sheet.ts";
import { rotationOf, targetFromBoard, targetKey } from "../placement/target/target.ts";
import { wheelPlaces } from "../vehicle/setup.ts";

/** What is known of car and bay before anything is photographed, mm. */
export interface RoughDimensions {
  readonly wheelbaseMm?: number;
  readonly trackMm?: number;
}

/** A car of the middle of the road, and its wheels' height; common practice, no source. */
export const usualCar = {
  wheelbaseMm: 2650,
  trackMm: 1550,
  wheelHeightMm: 310,
  /** From an axle to the end of the body. */
  overhangMm: 850,
  heightMm: 1450,
} as const;

/** Floor boards that a plan lays out where the job does not name any. */
export const usualFloorBoards = [11, 12, 13, 14, 15, 16];

const upright = (right: Vec3): Mat3 => {
  // x to the right as seen from the front, y up, z = x cross y.
  const z: Vec3 = [right[1], -right[0], 0];
  return [right[0], 0, z[0], right[1], 0, z[1], right[2], 1, z[2]];
};

/** A board on the floor, its upper edge ahead. */
const lying: Mat3 = [0, 1, 0, -1, 0, 0, 0, 0, 1];

/** Places of the wheel boards, vehicle frame. */
export const wheelBoards = (
  job: JobFile,
  { wheelbaseMm, trackMm }: Required<RoughDimensions>,
): Map<string, Pose> => {
  const ids = wheelBoardIds(job);
  const { standOffMm } = job.wheelPlates;
  return new Map(
    wheelPlaces.map((place, i): [string, Pose] => {
      const side = place.endsWith("left") ? 1 : -1;
      const x = place.startsWith("front") ? 0 : -wheelbaseMm;
      const y = side * (trackMm / 2 + standOffMm);
      const t: Vec3 = [x, y, usualCar.wheelHeightMm];
      return [String(ids[i]), { R: upright([-side, 0, 0]), t }];
    }),
  );
};

/**
 * Where floor boards help most: a pair half-way between the car and the target, a pair outside of
 * the wheels nearest to it and a pair outside of the other wheels, so that photos along either side
 * and across the target hang together. `at` is the target's place in plan.
 */
export const floorPlaces = (
  at: readonly [number, number],
  { wheelbaseMm, trackMm }: Required<RoughDimensions>,
): [number, number][] => {
  const ahead = at[0] >= -wheelbaseMm / 2;
  const [near, far] = ahead ? [0, -wheelbaseMm] : [-wheelbaseMm, 0];
  const direction = ahead ? 1 : -1;
  const side = trackMm / 2 + 750;
  const isBeside = at[0] < usualCar.overhangMm && at[0] > -wheelbaseMm - usualCar.overhangMm;
  const nose = near + direction * usualCar.overhangMm;
  const middle = isBeside ? nose + direction * 500 : (nose + at[0]) / 2;
  const across = isBeside ? 0 : at[1] / 2;
  return [
    [middle, across + 600],
    [middle, across - 600],
    [near + direction * 350, side],
    [near + direction * 350, -side],
    [far + direction * 350, side],
    [far + direction * 350, -side],
  ];
};

const laid = ([x, y]: readonly [number, number], thickness: number): Pose => ({
  R: lying,
  t: [x, y, thickness],
});

/** Where a dropped point's board lies, by the words of its name. */
const droppedPlace = (
  name: string,
  { wheelbaseMm, trackMm }: Required<RoughDimensions>,
): [number, number] => {
  const has = (word: string) => name.toLowerCase().includes(word);
  const isWheel = wheelPlaces.some((place) => place === name);
  const out = isWheel ? 0 : usualCar.overhangMm + 150;
  const x = has("rear") ? -wheelbaseMm - out : out;
  const aside = isWheel ? trackMm / 2 + 250 : 0.4 * trackMm;
  return [x, has("left") ? aside : has("right") ? -aside : 0];
};

/** Boards of every kind but the targets', vehicle frame. */
export const carAndFloorBoards = (
  job: JobFile,
  sheet: PlacementSheet,
  target: readonly [number, number],
  size: Required<RoughDimensions>,
): Map<string, Pose> => {
  const thickness = job.floor.boardThicknessMm;
  const boards = wheelBoards(job, size);
  for (const { name, board } of job.plumbPoints)
    boards.set(String(board), laid(droppedPlace(name, size), thickness));
  const named = floorBoardsNamed(job, sheet).filter((id) => !boards.has(id));
  const others = usualFloorBoards.map(String).filter((id) => !named.includes(id));
  const places = floorPlaces(target, size);
  const ids = [...named, ...others].slice(0, Math.max(places.length, named.length));
  ids.sort((one, other) => Number(one) - Number(other));
  ids.forEach((id, i) => {
    const [x, y] = places[i % places.length];
    boards.set(id, laid([x + 450 * Math.floor(i / places.length), y], thickness));
  });
  return boards;
};

const isFloor = (id: number): boolean => id >= 11 && id <= 29;

/** Floor boards that lengths and checks name. */
const floorBoardsNamed = (job: JobFile, sheet: PlacementSheet): string[] => {
  const ids = new Set<string>();
  for (const { from, to } of job.lengths)
    for (const id of [from, to]) if (isFloor(id)) ids.add(String(id));
  const text = JSON.stringify(sheet.steps);
  for (const found of text.matchAll(/"floor board","board":"(\d+)"/g)) ids.add(found[1]);
  return [...ids].sort((a, b) => Number(a) - Number(b));
};

/** Where targets stand before their sheet says so: 2.5 m ahead, at the height of a chest. */
const firstPlace: Vec3 = [2500, 0, 1000];

/**
 * State of a problem whose boards stand at rough places: the step's target where the sheet wants it,
 * its boards around it, everything else from `boards`. Vehicle frame.
 */
export const roughState = (
  problem: NetworkProblem,
  boards: ReadonlyMap<string, Pose>,
  context: StepContext,
): State => {
  const layout = layOut(problem);
  const state = priorState(layout);
  const place = (key: string, pose: Pose): void => {
    const board = layout.boardIndex.get(key);
    if (board !== undefined) state.boardPose[board] = pose;
    const frame = layout.frameIndex.get(key);
    if (frame !== undefined) state.framePose[frame] = pose;
  };
  for (const [key, pose] of boards) place(key, pose);
  const { targets } = context.setup;
  targets.forEach((target, i) => {
    const facing = context.step.target.facing;
    const at: Vec3 = [firstPlace[0], firstPlace[1] + 900 * i, firstPlace[2]];
    place(targetKey(target.name), { R: rotationOf(facing, 0, 0, 0), t: at });
  });
  const own = targetFor(context.setup, context.step.target.name);
  // Twice: places by range and bearing start from where the target is.
  for (let round = 0; round < 2; round++) {
    const view = viewOf(layout, state);
    const { bayFromAxis } = axisOf(view, context);
    const required = poseOfPlacement(context, requiredPlacement(view, context));
    place(targetKey(own.name), compose(bayFromAxis, required));
  }
  for (const target of targets) {
    const frame = state.framePose[layout.frameIndex.get(targetKey(target.name))!];
    for (const taught of target.boards)
      place(taught.board, compose(frame, targetFromBoard(taught)));
  }
  return state;
};

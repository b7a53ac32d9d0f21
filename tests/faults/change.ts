/** Small changes that faults are made of. */
import type { BoardView, PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { TrueBay, TrueBoard } from "../tools/phone/bay.ts";
import {
  after,
  axisOf,
  chain,
  inverse,
  minus,
  plus,
  type Rigid,
  rad,
  times,
  turn,
  type V3,
} from "../tools/phone/maths.ts";
import type { Case } from "./fault.ts";

type Found = Extract<PhotoOutcome, { ok: true }>["findings"];

/** The bay with some boards changed. */
export const changed = (
  bay: TrueBay,
  ids: readonly number[],
  change: (board: TrueBoard) => TrueBoard,
): TrueBay => ({
  ...bay,
  boards: bay.boards.map((board) => (ids.includes(board.id) ? change(board) : board)),
});

export const shifted = (board: TrueBoard, by: V3): TrueBoard => ({
  ...board,
  worldFromBoard: { ...board.worldFromBoard, p: plus(board.worldFromBoard.p, by) },
});

/** Turned about its own axes, degrees. */
export const turned = (board: TrueBoard, byDeg: V3): TrueBoard => {
  const by = turn([rad(byDeg[0]), rad(byDeg[1]), rad(byDeg[2])]);
  return {
    ...board,
    worldFromBoard: { ...board.worldFromBoard, q: after(board.worldFromBoard.q, by) },
  };
};

/** A wheel board steered with its wheel: turned about the upright line through the wheel's centre. */
export const steered = (board: TrueBoard, deg: number, standOffMm: number): TrueBoard => {
  const { worldFromBoard } = board;
  const centre = minus(worldFromBoard.p, times(axisOf(worldFromBoard.q, 2), standOffMm));
  const there: Rigid = { q: [1, 0, 0, 0], p: centre };
  const by: Rigid = { q: turn([0, 0, rad(deg)]), p: [0, 0, 0] };
  const motion = chain(chain(there, by), inverse(there));
  return { ...board, worldFromBoard: chain(motion, worldFromBoard) };
};

export const scaled = (board: TrueBoard, x: number, y = x): TrueBoard => ({
  ...board,
  cellX: board.cellX * x,
  cellY: board.cellY * y,
});

/** Everything that stands on wheels, moved as one: the car, with its true place. */
export const carMoved = (bay: TrueBay, motion: Rigid): TrueBay =>
  changed(bay, wheels, (board) => ({
    ...board,
    worldFromBoard: chain(motion, board.worldFromBoard),
  }));

export const wheels = [1, 2, 3, 4];
export const stand = [31, 32];
export const floor = [11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22];
export const all = [...wheels, ...stand, ...floor];

/** Changes the bay of the photos from the n-th on (of 16). */
export const from = (job: Case, first: number, change: (bay: TrueBay) => TrueBay): void => {
  for (const scene of job.scenes.slice(first)) scene.bay = change(scene.bay);
};

export const everywhere = (job: Case, change: (bay: TrueBay) => TrueBay): void =>
  from(job, 0, change);

/** Changes what was found in some photos (by index). */
export const findings = (
  job: Case,
  which: readonly number[] | "all",
  change: (found: Found) => Found,
): void => {
  job.photos = job.photos.map((photo, i) =>
    photo.ok && (which === "all" || which.includes(i))
      ? { ok: true, findings: change(photo.findings) }
      : photo,
  );
};

/** Changes every pixel of a photo's boards. */
export const pixels = (
  found: Found,
  move: (x: number, y: number, view: BoardView) => readonly [number, number],
): Found => ({
  ...found,
  boards: found.boards.map((view) => {
    const out = new Float64Array(view.pixels.length);
    for (let i = 0; i < out.length; i += 2)
      out.set(move(view.pixels[i], view.pixels[i + 1], view), i);
    return { ...view, pixels: out };
  }),
});

export const exif = (found: Found, change: Partial<NonNullable<Found["exif"]>>): Found => ({
  ...found,
  exif: found.exif && { ...found.exif, ...change },
});

/** The file as a messenger leaves it: nothing says which phone took it. */
export const withoutExif = (found: Found): Found => ({ ...found, exif: null });

/** Photos that show a board of `ids`, by index. */
export const showing = (job: Case, ids: readonly number[]): number[] =>
  job.photos.flatMap((photo, i) =>
    photo.ok && photo.findings.boards.some(({ id }) => ids.includes(id)) ? [i] : [],
  );

export const withoutBoards = (found: Found, ids: readonly number[]): Found => ({
  ...found,
  boards: found.boards.filter(({ id }) => !ids.includes(id)),
});

export const nameOf = (photo: PhotoOutcome): string =>
  photo.ok ? photo.findings.name : photo.name;

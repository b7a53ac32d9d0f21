import {
  type Demand,
  isEnough,
  missingSightings,
  sightingsOf,
  standAfter,
} from "../../../src/plan/choice/choose.ts";
import { choiceOf } from "../../../src/plan/demand.ts";
import type { PlanTask } from "../../../src/plan/task.ts";
import { type SightLimits, usualLimits } from "../../../src/plan/view/sight.ts";
import { type Candidate, canStand, looksFrom } from "../../../src/plan/view/standpoints.ts";

/**
 * What people do without a plan: once round car and target at a fixed spacing, phone at the chest,
 * each time turned so that most boards are in the picture. The fewest such photos that give the same
 * uncertainties and show every board as often; null where 60 do not. That no single board or photo
 * holds the bay together is not asked of them.
 */
export const handRulePhotos = (
  task: PlanTask,
  whole: Demand,
  limits = usualLimits,
): number | null => {
  const demand: Demand = { ...whole, fewest: 0, weak: Number.POSITIVE_INFINITY };
  for (let count = whole.fewest; count <= mostPhotos; count++) {
    const photos = walkRound(task, count, limits);
    const shown = photos.map(({ from, views }) => ({ from, boards: views.map((v) => v.board) }));
    if (missingSightings(demand, sightingsOf(shown)) > 0) continue;
    const choices = photos.flatMap((photo) => choiceOf(task, photo) ?? []);
    if (isEnough(demand, standAfter(task.network, demand, choices))) return count;
  }
  return null;
};

const mostPhotos = 60;
/** Distance from the outermost boards, and height: common practice. */
const walk = { roomMm: 1300, heightMm: 1400 } as const;

const walkRound = (task: PlanTask, count: number, limits: SightLimits): Candidate[] => {
  const xs = task.bay.boards.map(({ pose }) => pose.t[0]);
  const ys = task.bay.boards.map(({ pose }) => pose.t[1]);
  const [back, front] = [Math.min(...xs) - walk.roomMm, Math.max(...xs) + walk.roomMm];
  const [right, left] = [Math.min(...ys) - walk.roomMm, Math.max(...ys) + walk.roomMm];
  const round = 2 * (front - back) + 2 * (left - right);
  return Array.from({ length: count }, (_, i) => (round * (i + 0.5)) / count).flatMap((way) => {
    const [x, y] = along(way, back, front, right, left);
    if (!canStand(task.bay, x, y)) return [];
    const [most] = looksFrom(task.bay, task.frame, limits, [x, y, walk.heightMm], "at the chest");
    return most ?? [];
  });
};

/** Place on a rectangle. */
const along = (
  way: number,
  back: number,
  front: number,
  right: number,
  left: number,
): [number, number] => {
  const [long, short] = [front - back, left - right];
  if (way < long) return [front - way, left];
  if (way < long + short) return [back, left - (way - long)];
  if (way < 2 * long + short) return [back + (way - long - short), right];
  return [front, right + (way - 2 * long - short)];
};

import { norm, sub } from "../maths/pose.ts";
import { checkKey, checkQuantities } from "../placement/checks/checks.ts";
import { addPhoto, covarianceOf, derivatives, lengthInformation } from "./choice/network.ts";
import type { LengthWorth, PlannedCheck } from "./plan-types.ts";
import type { PlanTask } from "./task.ts";

/** A tape or hand laser read by one person, mm; common practice, no source. */
export const lengthSdMm = 1;

/**
 * What it would bring to measure the distance between the two floor boards that lie farthest apart,
 * on top of the planned photos (information `h`): the check that gains most. Null where there are no
 * two, or where nothing gains a twentieth.
 */
export const worthOfLength = (
  task: PlanTask,
  checks: readonly PlannedCheck[],
  h: Float64Array,
): LengthWorth | null => {
  const pair = farthest(task);
  if (!pair) return null;
  const { network, context } = task;
  const [from, to] = pair;
  const with_ = h.slice();
  const length = {
    key: "planned length",
    from: { board: from },
    to: { board: to },
    lengthMm: distanceOf(task, from, to),
    sdMm: lengthSdMm,
  };
  addPhoto(network, with_, lengthInformation(network, length));
  const [before, after] = [covarianceOf(network, h), covarianceOf(network, with_)];
  if (!before || !after) return null;
  const quantities = checkQuantities(context);
  const rows = derivatives(network, quantities);
  const worths = checks.flatMap((check): LengthWorth[] => {
    const found = context.step.checks.find(({ id }) => id === check.id)!;
    const row = rows[quantities.findIndex(({ key }) => key === checkKey(context.step, found))];
    const share = Math.sqrt(variance(after, row) / variance(before, row));
    if (!(share < 0.95)) return [];
    const [a, b] = [Number(from), Number(to)];
    const { id, unit, planned } = check;
    return [{ from: a, to: b, check: id, unit, without: planned, with: share * planned }];
  });
  return worths.length === 0
    ? null
    : worths.reduce((a, b) => (b.with / b.without < a.with / a.without ? b : a));
};

const variance = (c: Float64Array, row: Float64Array): number => {
  const n = row.length;
  const used = [...row.keys()].filter((i) => row[i] !== 0);
  let sum = 0;
  for (const i of used) for (const k of used) sum += row[i] * row[k] * c[i * n + k];
  return sum;
};

const isFloor = (key: string): boolean => Number(key) >= 11 && Number(key) <= 29;

const distanceOf = ({ bay }: PlanTask, a: string, b: string): number => {
  const at = (key: string) => bay.boards.find((board) => board.key === key)!.pose.t;
  return norm(sub(at(a), at(b)));
};

const farthest = (task: PlanTask): [string, string] | null => {
  const floor = task.bay.boards.map(({ key }) => key).filter(isFloor);
  const pairs = floor.flatMap((a, i) => floor.slice(i + 1).map((b): [string, string] => [a, b]));
  if (pairs.length === 0) return null;
  const long = ([a, b]: readonly [string, string]): number => distanceOf(task, a, b);
  return pairs.reduce((best, pair) => (long(pair) > long(best) ? pair : best));
};

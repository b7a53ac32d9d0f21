import { choosePhotos } from "./choice/choose.ts";
import { slipNoticed } from "./choice/slip.ts";
import { candidatesOf, demandOf, isEnoughTaken, type Possible, takenChoices } from "./demand.ts";
import { worthOfLength } from "./length-worth.ts";
import type { PhotoPlan, PlanAnswer } from "./plan-types.ts";
import { checksOf, countsOf, gainOf } from "./report.ts";
import { type PlanInput, type PlanTask, planTask } from "./task.ts";
import { inWalkingOrder, shotOf } from "./walk.ts";

/**
 * Every board in two photos from places apart: then a board that slips between them contradicts
 * itself (two views, six numbers). In one photo alone it would be believed.
 */
const usualTimes = 2;

export interface PlanOptions {
  readonly times?: number;
  readonly spacingMm?: number;
}

/** The smallest set of photos that proves the sheet's tolerances, on top of those taken. */
export const planPhotos = (input: PlanInput, options: PlanOptions = {}): PlanAnswer => {
  const made = planTask(input);
  if (!made.ok) return made;
  const { task } = made;
  const { times = usualTimes } = options;
  const enough = isEnoughTaken(task, takenChoices(task), times);
  const possible = enough ? { candidates: [], choices: [] } : candidatesOf(task, options);
  return { ok: true, plan: planFrom(task, possible, times) };
};

/** The same for a task that is set up already, out of the photos that could be taken. */
export const planFrom = (
  task: PlanTask,
  { candidates, choices }: Possible,
  times = usualTimes,
): PhotoPlan => {
  const taken = takenChoices(task);
  const { demand, best } = demandOf(task, choices, taken, times);
  const chosen = choosePhotos(task.network, demand, choices, taken);
  const shots = chosen.order.map((i) => candidates[i]);
  const walk = taken.length === 0 ? inWalkingOrder(shots) : shots;
  const checks = checksOf(task, { taken, chosen, best });
  return {
    basis: task.basis,
    shots: walk.map((shot, i) => shotOf(task.bay, shot, i + 1)),
    checks,
    boards: countsOf(task, taken),
    times,
    taken: taken.length,
    gain:
      walk.length > 0 ? gainOf(task, checks, taken, choices[candidates.indexOf(walk[0])]) : null,
    enough: chosen.order.length === 0,
    length: worthOfLength(task, checks, chosen.standing.h),
    slipMm: slipNoticed(task.network, chosen.standing, [
      ...taken,
      ...chosen.order.map((i) => choices[i]),
    ]),
    bay: task.bay,
  };
};

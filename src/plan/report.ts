import { viewOf } from "../adjust/problem/state.ts";
import { checkKey, checkQuantities, readCheck } from "../placement/checks/checks.ts";
import { coverageFactorFor } from "../placement/decide/conformance.ts";
import type { Measured } from "../placement/decide/measured.ts";
import { unitOf } from "../placement/sheet/sheet.ts";
import { labelOf, labelSaid } from "../placement/words/words.ts";
import { sdAsked, sdAskedAt } from "./asked.ts";
import { type Choice, type Chosen, sightingsOf } from "./choice/choose.ts";
import { addPhoto, covarianceOf, propagated } from "./choice/network.ts";
import type { BoardCount, PhotoPlan, PlannedCheck } from "./plan-types.ts";
import type { PlanTask } from "./task.ts";

/** Expanded uncertainties above which there is no measurement to speak of. */
const nothingKnown = { mm: 100, deg: 5 } as const;
const expansion = coverageFactorFor(0.95);

export interface Reported {
  readonly taken: readonly Choice[];
  readonly chosen: Chosen;
  /** Covariance with every photo that could be taken. */
  readonly best: Float64Array | null;
}

/** Every check with its uncertainty now, as planned and at best, by the product's own propagation. */
export const checksOf = (task: PlanTask, { taken, chosen, best }: Reported): PlannedCheck[] => {
  const { context, rule, basis, network } = task;
  const now = measuredWith(task, covarianceWith(task, taken));
  const planned = measuredWith(task, chosen.standing.covariance);
  const most = measuredWith(task, best);
  const view = viewOf(network.layout, network.state);
  const quantities = checkQuantities(context);
  return context.step.checks.map((check): PlannedCheck => {
    const key = checkKey(context.step, check);
    const value = quantities.find((q) => q.key === key)!.evaluate(view);
    const asked = basis === "measured" ? sdAskedAt(check, rule, value) : sdAsked(check, rule);
    const unit = unitOf(check.kind);
    const sd = now?.get(check.id)?.sd ?? Number.POSITIVE_INFINITY;
    const least = most?.get(check.id);
    const here = planned?.get(check.id);
    return {
      id: check.id,
      label: labelOf(check, context.sheet),
      labelSaid: labelSaid(check, context.sheet),
      unit,
      asked: Number.isFinite(asked) ? expansion * asked : null,
      now: taken.length > 0 && expansion * sd < nothingKnown[unit] ? expansion * sd : null,
      planned: expansion * (here?.sd ?? Number.POSITIVE_INFINITY),
      best: expansion * (least?.sd ?? Number.POSITIVE_INFINITY),
      outOfReach: (least?.sd ?? 0) > asked,
      mostly: (least ?? here)?.budget[0]?.source ?? "image",
    };
  });
};

const covarianceWith = ({ network }: PlanTask, photos: readonly Choice[]): Float64Array | null => {
  const h = network.known.slice();
  for (const { information } of photos) addPhoto(network, h, information);
  return covarianceOf(network, h);
};

const measuredWith = (
  { network, context }: PlanTask,
  covariance: Float64Array | null,
): Map<string, Measured> | null => {
  if (!covariance) return null;
  const all = propagated(network, covariance, checkQuantities(context));
  return new Map(context.step.checks.map((c) => [c.id, readCheck(all, context.step, c)]));
};

/** What one photo brings to the check that lacks most of what is asked of it. */
export const gainOf = (
  task: PlanTask,
  checks: readonly PlannedCheck[],
  taken: readonly Choice[],
  next: Choice,
): PhotoPlan["gain"] => {
  const lack = (check: PlannedCheck): number =>
    check.asked === null ? 0 : (check.now ?? Number.MAX_VALUE) / Math.max(check.asked, check.best);
  const worst = checks.reduce((a, b) => (lack(b) > lack(a) ? b : a));
  const after = measuredWith(task, covarianceWith(task, [...taken, next]))?.get(worst.id);
  if (!after) return null;
  return { check: worst.id, from: worst.now, to: expansion * after.sd };
};

/** How often each board of the bay is seen so far. */
export const countsOf = ({ bay }: PlanTask, taken: readonly Choice[]): BoardCount[] => {
  const sightings = sightingsOf(taken);
  return bay.boards
    .map(({ key }) => ({
      key,
      board: Number.parseInt(key, 10),
      seen: sightings.get(key)?.length ?? 0,
    }))
    .sort((a, b) => a.board - b.board);
};

import { type Adjusted, readjustWithout } from "../adjust.ts";
import type { Source, StateView } from "../problem/problem.ts";
import { viewOf } from "../problem/state.ts";
import { fullCost } from "../solve/optimise.ts";
import { typicalMisfit } from "../solve/robust.ts";

/**
 * When most views misfit, the fault is not in any of them: all share it. Each kind of statement that
 * all photos share (the hand, the lens, the print, focus) is set free in turn; the one that takes
 * away most of the misfit is the cause.
 */
export interface SharedMisfit {
  /** How many times worse than stated the photos fit: root of the variance factor. */
  readonly factor: number;
  readonly cause: Cause;
  /** Share of the misfit beyond chance that the cause explains, 0 .. 1. */
  readonly explains: number;
  /** The unknowns with the cause set free; null where the cause is unknown. */
  readonly freed: StateView | null;
}

export type Cause = "motion" | "lens" | "print" | "focus" | "unknown";

const sources: Readonly<Partial<Record<Source, Cause>>> = {
  "hand motion": "motion",
  lens: "lens",
  "print scale": "print",
  "focus and stabilisation": "focus",
};

/** Variance factor of the typical view from which a shared fault is looked for. Our own, no source. */
const sharedFrom = 2;
/** Share of the misfit beyond chance that a cause must explain, 0 to 1. Our own, no source. */
const enough = 0.5;

/** Median over the views of their misfit as a variance factor, at least 1. */
export const typicalFactor = ({ internals: { model, state } }: Adjusted): number =>
  Math.max(
    1,
    typicalMisfit(
      model.views,
      model.views.map((view) => view.cost(state)),
    ),
  );

/** The shared cause of the misfit; `typical` is the variance factor from `typicalFactor`. Null below the limit. */
export const sharedMisfit = (adjusted: Adjusted, typical: number): SharedMisfit | null => {
  if (typical < sharedFrom) return null;
  const { model, state } = adjusted.internals;
  const factor = Math.sqrt(Math.max(1, adjusted.sigma0Squared));
  const before = fullCost(model, state);
  const excess = before - adjusted.redundancy;
  const found = [...causesIn(adjusted)].map(([cause, silenced]) => {
    const freed = readjustWithout(adjusted, silenced, state);
    const gain = freed ? before - fullCost(freed.model, freed.state) : 0;
    const view = freed && viewOf(freed.model.layout, freed.state);
    return { factor, cause, explains: Math.min(1, gain / excess), freed: view };
  });
  const best = found.sort((a, b) => b.explains - a.explains)[0];
  if (best && best.explains >= enough) return best;
  return { factor, cause: "unknown", explains: 0, freed: null };
};

/** Indices of the statements of each possible cause, counted over views first, then statements. */
const causesIn = ({ internals: { model } }: Adjusted): Map<Cause, Set<number>> => {
  const causes = new Map<Cause, Set<number>>();
  model.statements.forEach(({ source }, i) => {
    const cause = sources[source];
    if (!cause) return;
    const silenced = causes.get(cause) ?? new Set();
    causes.set(cause, silenced.add(model.views.length + i));
  });
  return causes;
};

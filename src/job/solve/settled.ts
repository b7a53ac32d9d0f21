import { type Adjusted, type AdjustOutcome, adjust } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { type Settled, settleSpreads } from "../../adjust/spreads/settle.ts";
import { adjustedAndDiagnosed, type Diagnosis, diagnose } from "../../adjust/test/diagnosis.ts";
import { sharedMisfit, typicalFactor } from "../../adjust/test/shared-misfit.ts";

export type Measured =
  | (Settled & {
      readonly ok: true;
      readonly diagnosis: Diagnosis;
      /** The adjustment that was diagnosed. */
      readonly diagnosed: Adjusted;
    })
  | (AdjustOutcome & { readonly ok: false });

/**
 * Settles the spreads (hand, noise) and asks what does not fit. Bodies that moved as a whole are apart
 * already (`splitMovedBodies`): hand and noise would swallow their moves. The hand comes first: what all photos
 * share must not be told of single boards. Where most views misfit for one cause, diagnosis judges
 * single things against that, with the noise as stated; otherwise it judges them against the noise
 * that the photos show.
 */
export const settledAndDiagnosed = (problem: NetworkProblem, adjusted: Adjusted): Measured => {
  const hand = settleSpreads(problem, adjusted, { noise: false });
  if (!hand.ok) return hand;
  const shared = sharedMisfit(hand.adjusted, typicalFactor(hand.adjusted));
  return shared ? diagnosedFirst(hand) : settledFirst(hand);
};

type Ok = Settled & { readonly ok: true };

const diagnosedFirst = (hand: Ok): Measured => {
  const { diagnosis, ...split } = adjustedAndDiagnosed(hand.problem, hand.adjusted);
  const settled = settleSpreads(split.problem, split.adjusted);
  return settled.ok ? { ...settled, diagnosis, diagnosed: split.adjusted } : settled;
};

/**
 * Where a board turns out to have moved, its two places are kept apart and the noise is settled
 * afresh: the move must not widen it.
 */
const settledFirst = (hand: Ok): Measured => {
  const settled = settleSpreads(hand.problem, hand.adjusted);
  if (!settled.ok) return settled;
  const first = adjustedAndDiagnosed(settled.problem, settled.adjusted);
  if (first.diagnosis.moved.length === 0)
    return { ...settled, diagnosis: first.diagnosis, diagnosed: settled.adjusted };
  const split: NetworkProblem = {
    ...first.problem,
    observations: first.problem.observations.map(({ board }, i) => ({
      ...hand.problem.observations[i],
      board,
    })),
  };
  const apart = adjust(split, { startState: first.adjusted.internals.state });
  if (!apart.ok) return apart;
  const again = settleSpreads(split, apart);
  if (!again.ok) return again;
  const diagnosis = diagnose(again.adjusted);
  const told = first.diagnosis.remarks.filter(({ code }) => code === "board-moved");
  return {
    ...again,
    diagnosed: again.adjusted,
    diagnosis: {
      ...diagnosis,
      moved: first.diagnosis.moved,
      remarks: [...told, ...diagnosis.remarks],
    },
  };
};

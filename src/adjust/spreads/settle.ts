import { chiSquareSurvival } from "../../maths/statistics.ts";
import { type Adjusted, type AdjustOutcome, adjust } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";
import type { MotionSpread, NetworkProblem } from "../problem/problem.ts";
import { type NoiseParts, withNoise } from "./field-noise.ts";
import { estimateMotion, type MotionEstimate, statedMotions, withMotion } from "./motion-spread.ts";
import { updateNoise } from "./noise-spread.ts";

/** Spreads estimated from a job's own photos. */
export interface Spreads {
  /** Of the first hand. */
  readonly motion: MotionSpread | null;
  /** As stated: scale 1, no field. */
  readonly noise: NoiseParts;
}

export type Settled =
  | {
      readonly ok: true;
      /** The problem with its spreads as estimated. */
      readonly problem: NetworkProblem;
      readonly adjusted: Adjusted;
      readonly spreads: Spreads;
      readonly remarks: readonly Remark[];
    }
  | (AdjustOutcome & { readonly ok: false });

/** False alarms of the global test, one in a thousand clean jobs. */
const alarm = 0.001;
/** Rounds stop when no spread moves by more than this share of itself, or after so many. */
const stillShare = 0.1;
const mostRounds = 8;
/** Where the estimate of an unexplained field starts, px. */
const firstFieldPx = 0.03;

/**
 * Estimates the spreads that nobody can state beforehand, and adjusts again with them until they
 * stand still: the hand's turn and sway from all photos; and, where the photos as a whole still fit
 * worse than their stated noise allows (global test, Baarda), the noise in two parts, so that what
 * moves whole boards widens exactly what hangs on the places of boards. Noise never shrinks: a small
 * variance factor may be luck. Where the wider noise leaves no solution there is none: the narrow one
 * must not be shown. With `noise: false` the noise stays as stated: diagnosis asks first what does not
 * fit it.
 */
export const settleSpreads = (
  problem: NetworkProblem,
  first: Adjusted,
  options: { readonly noise: boolean } = { noise: true },
): Settled => {
  const usual = statedMotions(problem);
  let motion: MotionSpread | null = null;
  let stated = problem;
  let noise: NoiseParts | null = null;
  let misfit = 1;
  let current = { problem, adjusted: first };
  for (let round = 0; round < mostRounds; round++) {
    const { adjusted } = current;
    const hands = estimateHands(stated, adjusted, usual);
    const handStill = allStand(stated, hands);
    if (hands.size > 0) {
      motion = [...hands.values()][0].spread;
      stated = withMotion(stated, hands);
    }
    const known = noise;
    if (noise) noise = updateNoise(adjusted, noise);
    else if (options.noise && (handStill || round > 1) && fitsBadly(adjusted)) {
      noise = { scale: 1, fieldPx: firstFieldPx };
      misfit = Math.sqrt(adjusted.sigma0Squared);
    }
    const noiseStill = noise === known || (known !== null && noise !== null && same(noise, known));
    if (handStill && noiseStill) break;
    const next = withParts(stated, noise);
    const again = adjust(next, { startState: adjusted.internals.state });
    if (!again.ok) return again;
    current = { problem: next, adjusted: again };
  }
  return {
    ok: true,
    ...current,
    spreads: { motion, noise: noise ?? { scale: 1, fieldPx: 0 } },
    remarks: noise ? [noiseRemark(misfit)] : [],
  };
};

/** One step of the estimate for every hand that a photo tells of, by its word. */
const estimateHands = (
  problem: NetworkProblem,
  adjusted: Adjusted,
  usual: ReadonlyMap<string, MotionSpread>,
): ReadonlyMap<string, MotionEstimate> =>
  new Map(
    [...usual].flatMap(([word, spread]) => {
      const hand = estimateMotion(problem, adjusted, spread, word);
      return hand ? [[word, hand] as const] : [];
    }),
  );

const allStand = (problem: NetworkProblem, hands: ReadonlyMap<string, MotionEstimate>): boolean => {
  const before = statedMotions(problem);
  const scales = new Map([...hands.values()].flatMap((hand) => [...hand.scales]));
  return (
    hands.size === 0 ||
    ([...hands].every(([word, { spread }]) => stands(spread, before.get(word) ?? null)) &&
      sameScales(problem, scales))
  );
};

const close = (a: number, b: number): boolean => Math.abs(a - b) <= stillShare * Math.max(a, b);

const stands = (now: MotionSpread, before: MotionSpread | null): boolean =>
  before !== null && close(now.turnSd, before.turnSd) && close(now.swaySd, before.swaySd);

const sameScales = ({ photos }: NetworkProblem, scales: ReadonlyMap<string, number>): boolean =>
  photos.every(({ key, motionScale = 1 }) => close(scales.get(key) ?? 1, motionScale));

const same = (a: NoiseParts, b: NoiseParts): boolean =>
  close(a.scale, b.scale) && Math.abs(a.fieldPx - b.fieldPx) <= stillShare * a.fieldPx + 1e-4;

/** Global test of the variance factor. */
const fitsBadly = ({ sigma0Squared, redundancy }: Adjusted): boolean =>
  redundancy >= 1 &&
  sigma0Squared > 1 &&
  chiSquareSurvival(sigma0Squared * redundancy, redundancy) < alarm;

const withParts = (problem: NetworkProblem, noise: NoiseParts | null): NetworkProblem =>
  noise
    ? { ...problem, observations: problem.observations.map((view) => withNoise(view, noise)) }
    : problem;

const noiseRemark = (factor: number): Remark => ({
  code: "noise-widened",
  values: { factor },
  severity: "info",
  message:
    `The photos fit ${factor.toFixed(1)} times worse than their noise says; all uncertainties ` +
    "were widened to match.",
  remedy: "Hold the phone still, avoid glare, and check that the boards are flat.",
});

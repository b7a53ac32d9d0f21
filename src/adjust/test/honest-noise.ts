import { chiSquareSurvival } from "../../maths/statistics.ts";
import { type Adjusted, type AdjustOutcome, adjust } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";
import type { BoardObservation, NetworkProblem } from "../problem/problem.ts";

export type HonestNoise =
  | {
      readonly ok: true;
      readonly problem: NetworkProblem;
      readonly adjusted: Adjusted;
      readonly remarks: readonly Remark[];
    }
  | (AdjustOutcome & { readonly ok: false });

/** False alarms of the global test, one in a thousand clean jobs. */
const alarm = 0.001;

/**
 * When the photos as a whole fit worse than their stated noise allows (global test on the variance
 * factor), the noise is taken larger by the root of the variance factor and everything is adjusted
 * again, so that the stated uncertainty grows with the misfit. It never shrinks: a small variance
 * factor may be luck. Baarda's test of the variance factor; common practice for the inflation.
 * Where the wider noise leaves no solution there is none: the narrow one must not be shown.
 */
export const withHonestNoise = (problem: NetworkProblem, adjusted: Adjusted): HonestNoise => {
  const { sigma0Squared, redundancy } = adjusted;
  const excess =
    redundancy >= 1 &&
    sigma0Squared > 1 &&
    chiSquareSurvival(sigma0Squared * redundancy, redundancy) < alarm;
  if (!excess) return { ok: true, problem, adjusted, remarks: [] };
  const factor = Math.sqrt(sigma0Squared);
  const wider = {
    ...problem,
    observations: problem.observations.map((observation) => widen(observation, factor)),
  };
  const again = adjust(wider, { startState: adjusted.internals.state });
  if (!again.ok) return again;
  return { ok: true, problem: wider, adjusted: again, remarks: [noiseRemark(factor)] };
};

const widen = (observation: BoardObservation, factor: number): BoardObservation => {
  const { noise } = observation;
  return {
    ...observation,
    noise:
      noise.kind === "isotropic"
        ? { kind: "isotropic", sigmaPx: noise.sigmaPx * factor }
        : { ...noise, sqrtInformation: noise.sqrtInformation.map((value) => value / factor) },
  };
};

const noiseRemark = (factor: number): Remark => ({
  code: "noise-widened",
  values: { factor },
  severity: "info",
  message:
    `The photos fit ${factor.toFixed(1)} times worse than their noise says; all uncertainties ` +
    "were widened to match.",
  remedy: "Hold the phone still, avoid glare, and check that the boards are flat.",
});

import type { Adjusted } from "../../adjust/adjust.ts";
import type { Diagnosis } from "../../adjust/test/diagnosis.ts";
import { disagreement } from "../../lens/self-check.ts";
import type { BayProblem } from "../problem/build-problem.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * A lens that the photos contradict so grossly that hand and noise are widened until hardly anything
 * is left to compare the profile with (self-check.ts): then the test of the profile as a whole tells,
 * where it is what misfits worst and everything else follows from it.
 */
export const lensThatMisfits = (
  { misfits: [worst] }: Pick<Diagnosis, "misfits">,
  { internals: { model }, state }: Adjusted,
  bay: Pick<BayProblem, "cameras">,
): Remark[] => {
  if (worst?.source !== "lens" || worst.kind !== "statement") return [];
  if (worst.statistic < grossly) return [];
  const { camera } = model.statements[worst.index];
  const statement = model.layout.problem.cameras.find(({ key }) => key === camera);
  if (!statement || bay.cameras.get(statement.key)?.source === "own photos") return [];
  return [disagreement(state.lens(statement.key).fx / statement.lens.fx - 1)];
};

/**
 * Root of the chi-square value of the profile's nine numbers. Four jobs in order had 2.0 to 3.7, a
 * first distortion term off by 0.02 had 31.5. Our own, no source.
 */
const grossly = 10;

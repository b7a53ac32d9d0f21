import type { AdjustOutcome } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { checkLens } from "../../lens/self-check.ts";
import type { PlacementSetup } from "../../placement/checks/checks.ts";
import { type BayProblem, buildBay } from "../problem/build-problem.ts";
import { estimatedLens, lensFromOwnPhotos } from "../problem/own-photos.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { CameraKnowledge, SolveInput } from "../run/run.ts";

/**
 * No adjustment settles with the lens of the camera step: whether one does with the lens that the
 * job's own boards show, whatever EXIF says, and how that lens contradicts the known one. Null where
 * the lens is not what is wrong.
 */
export const contradictedLens = (
  { job, outcomes }: Pick<SolveInput, "job" | "outcomes">,
  camera: CameraKnowledge,
  setup: PlacementSetup,
  adjusting: (
    bay: BayProblem,
    setup: PlacementSetup,
  ) => { readonly problem: NetworkProblem; readonly outcome: AdjustOutcome },
): Remark | null => {
  if (camera.source === "own photos" || camera.others?.length) return null;
  const unnamed = outcomes.map((outcome) =>
    outcome.ok ? { ...outcome, findings: { ...outcome.findings, exif: null } } : outcome,
  );
  const own = lensFromOwnPhotos(unnamed);
  if (!own) return null;
  const built = buildBay(job, own, unnamed);
  if (!built.ok) return null;
  const { problem, outcome } = adjusting(built.bay, setup);
  if (!outcome.ok || problem.cameras.length !== 1) return null;
  const found = estimatedLens(outcome, problem.cameras[0].key);
  const { lens, covariance } = camera.profile;
  const { remark } = checkLens(lens, covariance, found.lens, found.covariance);
  return remark && { ...remark, severity: "error" };
};

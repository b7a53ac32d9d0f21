import {
  type CameraStepOptions,
  calibrateFromFindings,
  type Guidance,
  guidanceFromFindings,
} from "../../calibrate/camera-step.ts";
import { type PhotoOutcome, sheetId } from "../../detect/findings/findings.ts";
import type { CameraAnswer } from "./run.ts";

/**
 * The camera step from examined sheet photos; `date` (ISO 8601) goes into the profile. `options` are
 * for benches that leave something out.
 */
export const learnCamera = (
  outcomes: readonly PhotoOutcome[],
  date: string,
  options: Pick<CameraStepOptions, "remainder" | "motionAndStretch"> = {},
): CameraAnswer => {
  // One adjustment more per photo for the held-out error is the camera step's own business.
  const outcome = calibrateFromFindings(outcomes, sheetId, { ...options, date, heldOut: false });
  if (!outcome.ok) return outcome;
  return {
    ok: true,
    camera: { profile: outcome.profile, source: "sheet photos", remarks: outcome.remarks },
  };
};

/** Which sheet photo to take next, or that it is enough, from examined sheet photos. */
export const guideCamera = (outcomes: readonly PhotoOutcome[]): Guidance =>
  guidanceFromFindings(outcomes, sheetId);

/** One simulated session through camera step, job and checks, laid beside the truth. */

import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { Result } from "../../../src/job/result/result.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { solveJob } from "../../../src/job/solve/solve.ts";
import { trueChecks } from "../../tools/phone/bay.ts";
import type { Session } from "../../tools/phone/session.ts";
import { jobOf } from "./job.ts";
import type { Views } from "./views.ts";

export interface CheckError {
  readonly error: number;
  readonly expanded: number;
}

export interface Judged {
  readonly seed: number;
  /** Why there is no result; null where there is one. */
  readonly refused: string | null;
  readonly checks: {
    readonly ahead: CheckError;
    readonly left: CheckError;
    readonly yaw: CheckError;
  };
  /** Remarks that blame a photo, a board or a reading, though nothing is wrong with any. */
  readonly falseRemarks: readonly string[];
  /** Boards said to have moved that did not: during the photos, and after the run. */
  readonly falseMoved: readonly string[];
  readonly bumped: boolean;
  /** Both stand boards (those that were seen) said to have moved. */
  readonly bumpFound: boolean;
  /** The true bump lies in the stated interval of every stand board. */
  readonly bumpInside: boolean;
  readonly varianceFactor: number;
  readonly sentence: string;
  /** Errors of the checks without motion, stretch and what is left of the lens; null where not asked. */
  readonly plain: Judged["checks"] | null;
}

/**
 * Every warning and error of a session blames something innocent, since all its photos, boards and
 * readings are in order, except what is true of it (a stretched or scaled print, a bent sheet, an
 * invented placement) and what is advice on photos that show little. That something moved is true only
 * where the stand was knocked.
 */
const notBlaming: ReadonlySet<string> = new Set([
  "print-scaled",
  "print-stretched",
  "sheet-stretched",
  "sheet-two-scales",
  "sheet-bent",
  "sheet-partly-seen",
  "sheet-invented",
  "noise-widened",
  "hand-turned",
  "corner-not-covered",
  "little-tilt",
  "photo-alike",
  "stand-photo-weak",
  "second-position-helps",
]);

const none: CheckError = { error: Number.NaN, expanded: Number.NaN };

const refusedWith = (session: Session, reason: string): Judged => ({
  seed: session.seed,
  refused: reason,
  checks: { ahead: none, left: none, yaw: none },
  falseRemarks: [],
  falseMoved: [],
  bumped: session.after.length > 0,
  bumpFound: false,
  bumpInside: false,
  varianceFactor: Number.NaN,
  sentence: "",
  plain: null,
});

/** `withPlain`: the same photos once more without motion, stretch and what is left of the lens. */
export const judge = (session: Session, views: Views, withPlain: boolean): Judged => {
  const sheet = views.sheet();
  const camera = learnCamera(sheet, "2026-01-02");
  if (!camera.ok) return refusedWith(session, `camera: ${camera.remarks[0]?.message ?? ""}`);
  const secondSheet = views.secondSheet?.() ?? [];
  const second = secondSheet.length > 0 ? learnCamera(secondSheet, "2026-01-02") : null;
  if (second && !second.ok)
    return refusedWith(session, `second camera: ${second.remarks[0]?.message ?? ""}`);
  const job = jobOf(
    session.bay,
    session.after.map(({ name }) => name),
  );
  const outcomes = views.photos(camera.camera.profile.lens);
  const answer = solveJob({
    job,
    camera: camera.camera,
    ...(second && { otherCameras: [second.camera] }),
    outcomes,
    measuredAt,
  });
  if (!answer.ok) return refusedWith(session, `job: ${answer.remarks[0]?.message ?? ""}`);
  const judged = compare(session, answer.result);
  return withPlain ? { ...judged, plain: plainChecks(session, sheet, outcomes) } : judged;
};

const measuredAt = "2026-01-02T03:04:05Z";

const plainChecks = (
  session: Session,
  sheet: readonly PhotoOutcome[],
  outcomes: readonly PhotoOutcome[],
): Judged["checks"] | null => {
  const left = { remainder: false, motionAndStretch: false };
  const camera = learnCamera(sheet, "2026-01-02", left);
  if (!camera.ok) return null;
  const after = new Set(session.after.map(({ name }) => name));
  const answer = solveJob({
    job: jobOf(session.bay, []),
    camera: { ...camera.camera, plainPhysics: true },
    outcomes: outcomes.filter((one) => !after.has(one.ok ? one.findings.name : one.name)),
    measuredAt,
  });
  return answer.ok ? compare(session, answer.result).checks : null;
};

const compare = (session: Session, result: Result): Judged => {
  const truth = trueChecks(session.bay);
  const checkOf = (id: string, exact: number): CheckError => {
    const check = result.checks.find((c) => c.id === id);
    if (!check) return none;
    return { error: check.measured - exact, expanded: check.expandedUncertainty };
  };
  const bump = Math.hypot(...session.bump);
  const remarks = result.remarks.filter(
    ({ code, severity }) =>
      severity !== "info" &&
      !notBlaming.has(code) &&
      !(code === "moved-after-run" && bump > 0 && session.after.length > 0),
  );
  const { stability } = result;
  const stand = (key: string): boolean => key.startsWith("31") || key.startsWith("32");
  const boards = stability?.boards ?? [];
  const ofStand = boards.filter(({ key }) => stand(key));
  const wrongly = boards.filter(({ key, moved }) => moved && !(stand(key) && bump > 0));
  const moved = remarks.filter(({ code }) => code === "board-moved" || code === "unsteady");
  return {
    seed: session.seed,
    refused: null,
    checks: {
      ahead: checkOf("ahead", truth.aheadMm),
      left: checkOf("left", truth.leftMm),
      yaw: checkOf("yaw", truth.yawDeg),
    },
    falseRemarks: remarks.map(({ code, message }) => `${code}: ${message}`),
    falseMoved: [
      ...new Set([...wrongly.map(({ key }) => key), ...moved.map(({ about }) => about ?? "?")]),
    ],
    bumped: bump > 0 && session.after.length > 0,
    bumpFound: ofStand.length > 0 && ofStand.every((board) => board.moved),
    bumpInside:
      ofStand.length > 0 &&
      ofStand.every((board) => Math.abs(board.shiftMm - bump) <= board.expandedMm),
    varianceFactor: result.network.varianceFactor,
    sentence: stability?.sentence ?? "",
    plain: null,
  };
};

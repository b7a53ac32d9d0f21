import { parseJobFile } from "../../src/job/file/parse-job.ts";
import { learnCamera } from "../../src/job/run/learn-camera.ts";
import type { CameraAnswer } from "../../src/job/run/run.ts";
import { solveJob } from "../../src/job/solve/solve.ts";
import { drawCase, withFault } from "./case.ts";
import type { Case, Fault } from "./fault.ts";

/**
 * named            the verdict is no confident one, or its numbers are right, and the fault is named
 * unnamed, safe    refused or not proven without naming it
 * harmless         a verdict whose numbers hold the truth, and nothing named
 * silent and wrong a confident verdict with a number outside its stated interval
 */
export type Kind = "named" | "unnamed, safe" | "harmless" | "silent and wrong";

export interface Judged {
  readonly fault: string;
  readonly strength: number;
  readonly seed: number;
  readonly kind: Kind;
  /** True where the fault does damage: unseen, a number would be wrong or no verdict would come. */
  readonly significant: boolean;
  readonly outcome: string;
  /** Largest error of a check over its expanded uncertainty. */
  readonly worst: number;
  readonly codes: readonly string[];
  readonly sentences: readonly string[];
}

/**
 * An error beyond so many expanded uncertainties is no chance: 2.9 standard uncertainties, 4 in 1000
 * single checks.
 */
const beyondChance = 1.5;

const cameras = new Map<string, CameraAnswer>();
/** The camera step of a bay whose sheet photos are in order is done once. */
const cameraOf = (job: Case, key: string | null): CameraAnswer => {
  const known = key === null ? undefined : cameras.get(key);
  const answer = known ?? learnCamera(job.sheet, "2026-01-02");
  if (key !== null) cameras.set(key, answer);
  return answer;
};

type Physics = "plain" | "full";

/** One fault at one strength in one bay; without a fault the bay as it is. */
export const judge = (
  fault: Fault | null,
  strength: number,
  seed: number,
  physics: Physics,
): Judged => {
  const job = withFault(drawCase(seed, physics), fault, strength);
  const name = fault?.name ?? "none";
  const judged = (outcome: string, worst: number, remarks: readonly Said[]): Judged => {
    const codes = [...new Set(remarks.map(({ code }) => code))];
    const named = fault?.said.some((code) => codes.includes(code)) ?? false;
    const kind = kindOf(outcome, worst, named);
    return {
      ...{ fault: name, strength, seed, kind, outcome, worst, codes },
      significant: kind !== "harmless" && !(kind === "named" && isHarmless(outcome, worst)),
      sentences: remarks.flatMap(({ message, remedy }) => [message, remedy]),
    };
  };
  const parsed = parseJobFile(job.job);
  if (!parsed.ok) {
    const remarks = parsed.problems.map((message) => ({ code: "job-input", message, remedy: "" }));
    return judged("refused", 0, remarks);
  }
  const camera: CameraAnswer = job.camera
    ? { ok: true, camera: job.camera }
    : cameraOf(job, fault?.camera ? null : `${seed} ${physics}`);
  if (!camera.ok) return judged("refused", 0, camera.remarks);
  const answer = solveJob({
    job: parsed.job,
    camera: camera.camera,
    outcomes: job.photos,
    measuredAt: "2026-01-02T03:04:05Z",
  });
  if (!answer.ok) return judged("refused", 0, [...answer.remarks, ...camera.camera.remarks]);
  const { result } = answer;
  const truth = [job.truth.aheadMm, job.truth.leftMm, job.truth.heightMm, job.truth.yawDeg];
  const worst = Math.max(
    ...["ahead", "left", "height", "yaw"].map((id, i) => {
      const found = result.checks.find((one) => one.id === id);
      return found ? Math.abs(found.measured - truth[i]) / found.expandedUncertainty : 0;
    }),
  );
  return judged(result.outcome, worst, result.remarks);
};

interface Said {
  readonly code: string;
  readonly message: string;
  readonly remedy: string;
}

const isConfident = (outcome: string): boolean => outcome === "all meet" || outcome === "some miss";
const isHarmless = (outcome: string, worst: number): boolean =>
  isConfident(outcome) && worst <= beyondChance;

const kindOf = (outcome: string, worst: number, named: boolean): Kind => {
  if (outcome === "all meet" && worst > beyondChance) return "silent and wrong";
  // A miss by a wrong number moves the stand: only a warning makes it safe.
  if (outcome === "some miss" && worst > beyondChance) return named ? "named" : "silent and wrong";
  if (named) return "named";
  return isConfident(outcome) ? "harmless" : "unnamed, safe";
};

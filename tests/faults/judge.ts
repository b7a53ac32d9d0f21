import { parseJobFile } from "../../src/job/file/parse-job.ts";
import type { Result } from "../../src/job/result/result.ts";
import { learnCamera } from "../../src/job/run/learn-camera.ts";
import type { CameraAnswer } from "../../src/job/run/run.ts";
import { solveJob } from "../../src/job/solve/solve.ts";
import { withFault } from "./case.ts";
import type { Case, Fault } from "./fault.ts";
import { isNamed, type Told } from "./naming.ts";

/**
 * named            the program says what is wrong, and no wrong number goes without a doubt
 * unnamed, safe    refused, held back or not proven, but the cause is not said
 * harmless         a verdict whose numbers hold the truth, and nothing said
 * silent and wrong a wrong number or a wrong verdict that nothing holds back, whatever else is said
 */
export type Kind = "named" | "unnamed, safe" | "harmless" | "silent and wrong";

/** What came out of one job with one fault, laid beside the truth; nothing is judged yet. */
export interface Facts {
  readonly fault: string;
  readonly strength: number;
  readonly seed: number;
  /** "refused" where there is no result. */
  readonly outcome: Result["outcome"] | "refused";
  readonly checks: readonly CheckFacts[];
  /** Codes of what holds the verdict back. */
  readonly heldBack: readonly string[];
  readonly remarks: readonly Told[];
}

export interface CheckFacts {
  readonly id: string;
  readonly verdict: string;
  readonly measured: number;
  readonly expanded: number;
  readonly truth: number;
  /** True where the truth lies inside what the procedure asks, whatever was typed of it. */
  readonly trulyInside: boolean;
}

export interface Judged extends Facts {
  readonly kind: Kind;
  /** True where the fault does damage: unseen, a number would be wrong or no verdict would come. */
  readonly significant: boolean;
  /** Largest error of a check over its expanded uncertainty. */
  readonly worst: number;
}

/**
 * An error beyond so many expanded uncertainties is no chance: 2.9 standard uncertainties, 4 in 1000
 * single checks.
 */
const beyondChance = 1.5;

export const judged = (fault: Fault | null, facts: Facts): Judged => {
  const { outcome, checks, heldBack } = facts;
  const worst = Math.max(0, ...checks.map(errorOverU));
  const right = worst <= beyondChance && checks.every(verdictIsRight);
  const confident = outcome === "all meet" || outcome === "some miss";
  const unheard = confident && (fault?.neverConfident ?? false);
  const open = outcome !== "refused" && heldBack.length === 0;
  const named = fault !== null && isNamed(fault, facts.remarks);
  const harmless = confident && right && !unheard;
  const kind: Kind =
    open && (!right || unheard)
      ? "silent and wrong"
      : named
        ? "named"
        : harmless
          ? "harmless"
          : "unnamed, safe";
  return { ...facts, kind, significant: !harmless, worst };
};

const errorOverU = ({ measured, truth, expanded }: CheckFacts): number =>
  Math.abs(measured - truth) / expanded;

const verdictIsRight = ({ verdict, trulyInside }: CheckFacts): boolean =>
  verdict === "not proven" || (verdict === "meets") === trulyInside;

const cameras = new Map<string, CameraAnswer>();
/** The camera step of a bay whose sheet photos are in order is done once. */
const cameraOf = (job: Case, key: string | null): CameraAnswer => {
  const known = key === null ? undefined : cameras.get(key);
  const answer = known ?? learnCamera(job.sheet, "2026-01-02");
  if (key !== null) cameras.set(key, answer);
  return answer;
};

/** One fault at one strength in one bay; without a fault the bay as it is. */
export const runFault = (
  drawn: Case,
  fault: Fault | null,
  strength: number,
  bay: string,
): Facts => {
  const asked = limitsOf(drawn);
  const job = withFault(drawn, fault, strength);
  const about = { fault: fault?.name ?? "none", strength, seed: job.session.seed };
  const refused = (remarks: readonly Told[]): Facts => refusedFacts(about, remarks);
  const parsed = parseJobFile(job.job);
  if (!parsed.ok)
    return refused(parsed.problems.map((message) => ({ code: "job-input", message, remedy: "" })));
  const camera: CameraAnswer = job.camera
    ? { ok: true, camera: job.camera }
    : cameraOf(job, fault?.camera ? null : bay);
  if (!camera.ok) return refused(camera.remarks);
  const answer = solveJob({
    job: parsed.job,
    camera: camera.camera,
    outcomes: job.photos,
    measuredAt: "2026-01-02T03:04:05Z",
  });
  if (!answer.ok) return refused([...answer.remarks, ...camera.camera.remarks]);
  const { result } = answer;
  return {
    ...about,
    outcome: result.outcome,
    checks: checksBesideTruth(result, job, asked),
    heldBack: result.heldBack.map(({ code }) => code),
    remarks: result.remarks.map(plain),
  };
};

type About = Pick<Facts, "fault" | "strength" | "seed">;

export const refusedFacts = (about: About, remarks: readonly Told[]): Facts => ({
  ...about,
  ...{ outcome: "refused", checks: [], heldBack: [], remarks: remarks.map(plain) },
});

export const plain = ({ code, message, remedy, values }: Told): Told => ({
  ...{ code, message, remedy },
  ...(values ? { values } : {}),
});

type Limits = ReadonlyMap<string, { readonly lower: number; readonly upper: number }>;

/** What the procedure asks, before anybody typed it wrongly. */
const limitsOf = ({ job }: Case): Limits =>
  new Map(
    job.placement.steps[0].checks.map((check: Record<string, number>) => [
      check.id,
      {
        lower: check.required + check.lowerDeviation,
        upper: check.required + check.upperDeviation,
      },
    ]),
  );

const checksBesideTruth = (result: Result, { truth }: Case, asked: Limits): CheckFacts[] => {
  const truths: Readonly<Record<string, number>> = {
    ahead: truth.aheadMm,
    left: truth.leftMm,
    height: truth.heightMm,
    yaw: truth.yawDeg,
  };
  return result.checks.map(({ id, verdict, measured, expandedUncertainty: expanded }) => {
    const { lower, upper } = asked.get(id)!;
    const trulyInside = truths[id] >= lower && truths[id] <= upper;
    return { id, verdict, measured, expanded, truth: truths[id], trulyInside };
  });
};

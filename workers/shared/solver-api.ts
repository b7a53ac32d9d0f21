import type { AcceptanceAnswer, AcceptanceInput } from "../../src/acceptance/acceptance.ts";
import type { Guidance } from "../../src/calibrate/guidance/guidance.ts";
import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { CameraAnswer, SolveAnswer, SolveInput } from "../../src/job/run/run.ts";
import type { TeachAnswer, TeachInput } from "../../src/job/teach/teach-target.ts";
import type { PlanAnswer } from "../../src/plan/plan-types.ts";
import type { PlanInput } from "../../src/plan/task.ts";

/** What the solver worker offers through comlink. */
export interface SolverApi {
  /** Runs on invented data until the code is fast, or until something is asked. */
  warmUp(): Promise<void>;
  calibrate(outcomes: readonly PhotoOutcome[], date: string): Promise<CameraAnswer>;
  guide(outcomes: readonly PhotoOutcome[]): Promise<Guidance>;
  solve(input: SolveInput): Promise<SolveAnswer>;
  teach(input: TeachInput): Promise<TeachAnswer>;
  plan(input: PlanInput): Promise<PlanAnswer>;
  accept(input: AcceptanceInput): Promise<AcceptanceAnswer>;
}

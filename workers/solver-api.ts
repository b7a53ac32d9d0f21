import type { PhotoOutcome } from "../src/detection/findings.ts";
import type { CameraAnswer, SolveAnswer, SolveInput } from "../src/job/run.ts";
import type { Guidance } from "../src/network/camera-step/guidance.ts";

/** What the solver worker offers through comlink. */
export interface SolverApi {
  calibrate(outcomes: readonly PhotoOutcome[], date: string): Promise<CameraAnswer>;
  guide(outcomes: readonly PhotoOutcome[]): Promise<Guidance>;
  solve(input: SolveInput): Promise<SolveAnswer>;
}

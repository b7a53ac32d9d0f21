import type { PhotoOutcome } from "../src/detection/findings.ts";
import type { CameraAnswer, SolveAnswer, SolveInput } from "../src/job/run.ts";

/** What the solver worker offers through comlink. */
export interface SolverApi {
  calibrate(outcomes: readonly PhotoOutcome[], date: string): Promise<CameraAnswer>;
  solve(input: SolveInput): Promise<SolveAnswer>;
}

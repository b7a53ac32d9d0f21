import type { AcceptanceAnswer, AcceptanceInput } from "../../acceptance/acceptance.ts";
import type { Guidance } from "../../calibrate/guidance/guidance.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { CameraAnswer, LensChoice, SolveAnswer, SolveInput } from "../../job/run/run.ts";
import type { TeachAnswer, TeachInput } from "../../job/teach/teach-target.ts";
import type { PlanAnswer } from "../../plan/plan-types.ts";
import type { PlanInput } from "../../plan/task.ts";

/**
 * Everything the screens need from the measuring engine. The real one runs in workers
 * (`engine-workers.ts`); tests of the screens use a stand-in.
 */

export interface ExamineRequest extends LensChoice {
  readonly name: string;
  readonly blob: Blob;
  readonly what: "boards" | "sheet";
}

export interface Engine {
  /** Photos that may be examined at the same time. */
  readonly parallel: number;
  /** Changes whenever findings of an earlier program are worth finding again. */
  readonly version: string;
  /** Loads the vision code; `share` runs from 0 to 1. `next`: which photos come first, if that is known. */
  prepare(onProgress: (share: number) => void, next?: ExamineRequest["what"]): Promise<void>;
  /** Photos were chosen and will come when they are stored. */
  expect?(): void;
  /** Rejects only when cancelled or when the workers cannot run at all. */
  examine(request: ExamineRequest, signal: AbortSignal): Promise<PhotoOutcome>;
  /** As all that computes, ends at once when `signal` aborts, and then rejects with its reason. */
  calibrate(outcomes: readonly PhotoOutcome[], signal?: AbortSignal): Promise<CameraAnswer>;
  /** Which sheet photo to take next; answered after what the engine was asked before. */
  guide(outcomes: readonly PhotoOutcome[]): Promise<Guidance>;
  solve(input: SolveInput, signal?: AbortSignal): Promise<SolveAnswer>;
  /** Where a target is against its stand boards, from photos with pointer boards. */
  teach(input: TeachInput): Promise<TeachAnswer>;
  /** Which photos of the bay to take, on top of those taken. */
  plan(input: PlanInput, signal?: AbortSignal): Promise<PlanAnswer>;
  accept(input: AcceptanceInput): Promise<AcceptanceAnswer>;
}

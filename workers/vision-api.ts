import type { Lens } from "../src/camera/lens.ts";
import type { PhotoOutcome } from "../src/detection/findings.ts";

/** One photo to examine. The bytes are copied to the worker: a retry needs them again. */
export interface ExamineTask {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly what: "boards" | "sheet";
  /** Lens of the camera step, where it is known: the pattern fit then bends with it. */
  readonly lens: Lens | null;
}

/** What a vision worker offers through comlink. */
export interface VisionApi {
  /** Loads the vision code; resolves when the worker can examine photos. */
  warmUp(): Promise<void>;
  examine(task: ExamineTask): Promise<PhotoOutcome>;
}

import type { PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { Lens } from "../../src/lens/lens.ts";
import type { DecodedPhoto } from "../../src/photo/decode.ts";

/** How a platform turns a file into a grey picture. */
export type PhotoDecoder = (bytes: Uint8Array, name: string) => Promise<DecodedPhoto>;

/** One photo to examine. */
export interface ExamineTask {
  readonly name: string;
  readonly bytes: Uint8Array;
  /**
   * Reads the bytes once more, for a second try. Where it is given, the bytes are handed over to the
   * worker instead of copied.
   */
  readonly again?: () => Promise<Uint8Array>;
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

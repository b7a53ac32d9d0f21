import type { BoardView, PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { SeenTag } from "../../src/detect/live-boards.ts";
import type { LensChoice } from "../../src/job/run/run.ts";
import type { DecodedPhoto } from "../../src/photo/decode.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** How a platform turns a file into a grey picture. The bytes are its own, to be used up. */
export type PhotoDecoder = (bytes: Uint8Array, name: string) => Promise<DecodedPhoto>;

/** One photo to examine. */
export interface ExamineTask extends LensChoice {
  readonly name: string;
  readonly bytes: Uint8Array;
  /**
   * Reads the bytes once more, for a second try. Where it is given, the bytes are handed over to the
   * worker instead of copied.
   */
  readonly again?: () => Promise<Uint8Array>;
  readonly what: "boards" | "sheet";
}

/** What a vision worker offers through comlink. */
export interface VisionApi {
  /**
   * Loads the vision code; resolves when the worker can examine photos. Then it practises for the
   * photos that are to come: of the sheet, after which those of the bay follow, or of the bay alone.
   */
  warmUp(next: ExamineTask["what"]): Promise<void>;
  examine(task: ExamineTask): Promise<PhotoOutcome>;
}

/** What a vision worker can do with frames of a stream. */
export interface StreamVision {
  /** Tags for guidance, quickly. */
  see(frame: LumaImage): Promise<readonly SeenTag[]>;
  /** Boards with their features, as in a photo. */
  boardsIn(frame: LumaImage): Promise<readonly BoardView[]>;
}

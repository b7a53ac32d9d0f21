import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import type { Lens } from "../../../src/lens/lens.ts";

/** What detection says of a session's photos; those of the bay need the lens of the camera step. */
export interface Views {
  sheet(): readonly PhotoOutcome[];
  /** Of the second phone, where there is one. */
  secondSheet?(): readonly PhotoOutcome[];
  photos(lens: Lens): readonly PhotoOutcome[];
}

import { type Guidance, openingGuidance } from "../../calibrate/guidance/guidance.ts";
import { startLens } from "../../lens/initial-lens.ts";

/** Frame of a 12 megapixel phone, for the drawing before the first photo. */
const [width, height] = [4032, 3024];

/** What to photograph first, known without asking the engine. */
export const firstGuidance: Guidance = openingGuidance({
  lens: startLens([], null, width, height).lens,
  width,
  height,
  photos: [],
  poses: [],
  remarks: [],
});

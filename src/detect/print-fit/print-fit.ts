/**
 * The door of this room: whole-print fits of boards and markers, and what they hand on. Everything
 * else in the room is for the fit alone. The room knows grey pictures, prints and the local form of
 * the lens (../picture); it knows nothing of searching, grading or of other photos.
 */
export { sagittaShare } from "./pattern-bend.ts";
export { centreOfFit, featurePoints, patternFeatures } from "./pattern-features.ts";
export {
  fitPattern,
  homographyOfFit,
  newPatternWorkspace,
  type PatternFit,
  type PatternWorkspace,
  showsPrint,
} from "./pattern-fit.ts";
export { greyContrast } from "./pattern-state.ts";
export { patternMemory } from "./print/pattern-memory.ts";

/**
 * Bare tags of family 36h11 (no ring around them) in real photos: a test-only pattern. They are found
 * by the product's tag finder and fitted by its whole-print fit, edges of the black border and of all
 * cells, so that everything after it (adjustment, start, covariance) is the product as it is.
 */
import { loadOpenCV } from "@opencvjs/web";
import { tagOutline } from "../../src/boards/pattern.ts";
import type { FeatureNoise } from "../../src/detect/findings/findings.ts";
import { type PlaneMap, planeMap } from "../../src/detect/picture/plane-map.ts";
import { patternFeatures } from "../../src/detect/print-fit/pattern-features.ts";
import {
  fitPattern,
  newPatternWorkspace,
  type PatternWorkspace,
  showsPrint,
} from "../../src/detect/print-fit/pattern-fit.ts";
import { openCvTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import type { TagFinder, TagSearch } from "../../src/detect/tags/tag-finder.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { fitHomography } from "../../src/maths/homography.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** One bare tag in one photo, features as the adjustment takes them. */
export interface TagView {
  readonly photo: string;
  readonly id: number;
  readonly boardPoints: Float64Array;
  readonly pixels: Float64Array;
  readonly noise: FeatureNoise;
}

/** A tag and where its outline is, or should be: x0 y0 .. x3 y3, px. */
export interface Outline {
  readonly id: number;
  readonly corners: Float64Array;
}

/** Three threshold windows at full size; the photos are small. */
const search: TagSearch = { windows: [3, 13, 23], minPerimeterPx: 32, darkerBy: 7 };

export const tagFinderFor = async (count: number): Promise<TagFinder> =>
  openCvTagFinder(await loadOpenCV(), { first: 0, count });

/** Every tag of the photo whose print the fit proves; an id that shows twice is left out. */
export function tagsIn(
  photo: string,
  image: LumaImage,
  finder: TagFinder,
  lens: Lens | null,
): TagView[] {
  const { tags } = finder.find(image, search);
  const once = tags.filter(({ id }) => tags.filter((t) => t.id === id).length === 1);
  return tagsAt(photo, image, once, lens);
}

/** Those of the outlines at which the whole print proves itself. */
export function tagsAt(
  photo: string,
  image: LumaImage,
  outlines: readonly Outline[],
  lens: Lens | null,
): TagView[] {
  // Small prints hardly show a bend: they are taken for flat, which a map without its lens says.
  const map: PlaneMap = { ...planeMap(lens), lens: null };
  const work = newPatternWorkspace();
  return outlines.flatMap((outline) => fitTag(photo, image, outline, map, work) ?? []);
}

function fitTag(
  photo: string,
  image: LumaImage,
  { id, corners }: Outline,
  map: PlaneMap,
  work: PatternWorkspace,
): TagView | null {
  const homography = fitHomography(tagOutline, map.toPlane(corners));
  if (!homography) return null;
  const fit = fitPattern(image, { id, fit: { homography, blurPx: 1 }, kind: "marker" }, map, work);
  const features = fit && showsPrint(fit) ? patternFeatures(fit, map) : null;
  return features && { photo, id, ...features };
}

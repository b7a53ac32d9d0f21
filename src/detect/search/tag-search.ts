import type { LumaImage } from "../../photo/grey/luma.ts";
import { patternMemory } from "../print-fit/print-fit.ts";
import type { TagFinder, TagFindings, TagSearch } from "../tags/tag-finder.ts";

/**
 * Tags down to 2.5 px a cell: 8 cells a side, four sides; a diagonal outline has fewer pixels than
 * its length by the square root of two, and a tag seen at a flat angle is shorter still.
 */
const minPerimeterPx = (4 * 8 * 2.5) / 2;
const usual = { minPerimeterPx, darkerBy: 7 };
const halfSizeSearch: TagSearch = { ...usual, windows: [7] };
const fullSizeSearch: TagSearch = { ...usual, windows: [3, 13, 23] };
/**
 * A finger or a cable across the white ring joins the tag with the checks around it; where it is
 * grey, a stricter threshold for black separates them again. The windows are those that found covered tags of
 * 4 and of 8 px a cell; the middle of black that is wider than a window is lost.
 */
const coveredSearch: TagSearch = { windows: [13, 23], minPerimeterPx, darkerBy: 30 };
/** Anything darker than its surroundings: what blur leaves of a tag, or of a whole board. */
const shapeSearch: TagSearch = { windows: [5], minPerimeterPx: 20, darkerBy: 1 };
/** Pictures of this many pixels or more are searched at half size first. Our own, no source. */
const pyramidFrom = 600_000;
/** A picture with a shorter side than this, px, is not searched. Our own, no source. */
const leastSidePx = 24;

/**
 * Tags in a picture, with corners in its pixels. Large pictures are searched at half size with one
 * threshold window, which takes an eighth of the time of the usual search; what cannot be read there
 * is among the other quads.
 */
export function findTags(image: LumaImage, finder: TagFinder): TagFindings {
  if (isTooSmall(image)) return { tags: [], otherQuads: [] };
  if (!isSearchedAtHalfSize(image)) return finder.find(image, fullSizeSearch);
  const half = finder.find(patternMemory().halve(image), halfSizeSearch);
  return {
    tags: half.tags.map((tag) => ({ id: tag.id, corners: doubled(tag.corners) })),
    otherQuads: half.otherQuads.map(doubled),
  };
}

const isTooSmall = ({ width, height }: LumaImage): boolean =>
  width < leastSidePx || height < leastSidePx;

export const isSearchedAtHalfSize = ({ width, height }: LumaImage): boolean =>
  width * height >= pyramidFrom;

/**
 * Full search of a large picture for what half the size does not show: boards below 4 px a cell, or
 * of 6 px at a flat angle. Takes several times as long.
 */
export const findSmallTags = (image: LumaImage, finder: TagFinder): TagFindings =>
  finder.find(image, fullSizeSearch);

/** Full search for tags that something grey joins with the checks around them. */
export const findCoveredTags = (image: LumaImage, finder: TagFinder): TagFindings =>
  isTooSmall(image) ? { tags: [], otherQuads: [] } : finder.find(image, coveredSearch);

/**
 * Dark shapes of however little contrast, for `blurredBoards`. Large pictures are searched at half
 * size: noise is half as strong there, and full size found few boards more in four times the time.
 */
export function findDarkShapes(image: LumaImage, finder: TagFinder): readonly Float64Array[] {
  if (isTooSmall(image)) return [];
  const atHalf = isSearchedAtHalfSize(image);
  const { tags, otherQuads } = finder.find(
    atHalf ? patternMemory().halve(image) : image,
    shapeSearch,
  );
  const shapes = [...tags.map(({ corners }) => corners), ...otherQuads];
  return atHalf ? shapes.map(doubled) : shapes;
}

/** Pixel (x, y) of the half-size picture is (2 x + 0.5, 2 y + 0.5) of the full one. */
const doubled = (corners: Float64Array): Float64Array => corners.map((c) => 2 * c + 0.5);

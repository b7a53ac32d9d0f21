import type { LumaImage } from "../photo/luma.ts";
import { patternMemory } from "./pattern-memory.ts";
import type { TagFinder, TagFindings, TagSearch } from "./tag-finder.ts";

/**
 * Tags down to 2.5 px a cell: 8 cells a side, four sides; a diagonal outline has fewer pixels than
 * its length by the square root of two, and a tag seen at a flat angle is shorter still.
 */
const minPerimeterPx = (4 * 8 * 2.5) / 2;
const halfSizeSearch: TagSearch = { windows: [7], minPerimeterPx };
const fullSizeSearch: TagSearch = { windows: [3, 13, 23], minPerimeterPx };
/** Pictures above this many pixels are searched at half size first. */
const pyramidFrom = 600_000;

/**
 * Tags in a picture, with corners in its pixels. Large pictures are searched at half size with one
 * threshold window, which takes an eighth of the time of the usual search; what cannot be read there
 * is among the other quads.
 */
export function findTags(image: LumaImage, finder: TagFinder): TagFindings {
  if (image.width < 24 || image.height < 24) return { tags: [], otherQuads: [] };
  if (!isSearchedAtHalfSize(image)) return finder.find(image, fullSizeSearch);
  const half = finder.find(patternMemory().halve(image), halfSizeSearch);
  return {
    tags: half.tags.map((tag) => ({ id: tag.id, corners: doubled(tag.corners) })),
    otherQuads: half.otherQuads.map(doubled),
  };
}

export const isSearchedAtHalfSize = ({ width, height }: LumaImage): boolean =>
  width * height >= pyramidFrom;

/**
 * Full search of a large picture for what half the size does not show: boards below 4 px a cell, or
 * of 6 px at a flat angle. Takes several times as long.
 */
export const findSmallTags = (image: LumaImage, finder: TagFinder): TagFindings =>
  finder.find(image, fullSizeSearch);

/** Pixel (x, y) of the half-size picture is (2 x + 0.5, 2 y + 0.5) of the full one. */
const doubled = (corners: Float64Array): Float64Array => corners.map((c) => 2 * c + 0.5);

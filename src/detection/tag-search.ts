import type { LumaImage } from "../photo/luma.ts";
import { patternMemory } from "./pattern-memory.ts";
import { quadArea } from "./ring-fit.ts";
import type { FoundTag, TagFinder, TagFindings, TagSearch } from "./tag-finder.ts";

/**
 * Tags down to 2.5 px a cell: 8 cells a side, four sides; a diagonal outline has fewer pixels than
 * its length by the square root of two, and a tag seen at a flat angle is shorter still.
 */
const minPerimeterPx = (4 * 8 * 2.5) / 2;
/** Twice the least length of the full size: a photo full of detail has many small outlines. */
const halfSizeSearch: TagSearch = { windows: [7], minPerimeterPx };
const fullSizeSearch: TagSearch = { windows: [11], minPerimeterPx };
const smallPictureSearch: TagSearch = { windows: [3, 13, 23], minPerimeterPx };
/** Pictures above this many pixels are searched at half size. */
const pyramidFrom = 600_000;

/**
 * Tags in a picture, with corners in its pixels. Large pictures are searched at half size with one
 * threshold window, which takes an eighth of the time of the usual search; what cannot be read there
 * is among the other quads. `thorough` searches the full size too, for boards below 4 px a cell.
 */
export function findTags(image: LumaImage, finder: TagFinder, thorough: boolean): TagFindings {
  if (image.width < 24 || image.height < 24) return { tags: [], otherQuads: [] };
  if (image.width * image.height < pyramidFrom) return finder.find(image, smallPictureSearch);
  const half = finder.find(patternMemory().halve(image), halfSizeSearch);
  const tags = half.tags.map((tag) => ({ id: tag.id, corners: doubled(tag.corners) }));
  const otherQuads = half.otherQuads.map(doubled);
  if (thorough) {
    const full = finder.find(image, fullSizeSearch);
    for (const tag of full.tags) if (!tags.some((known) => sameTag(known, tag))) tags.push(tag);
    otherQuads.push(...full.otherQuads);
  }
  return { tags, otherQuads };
}

/** Pixel (x, y) of the half-size picture is (2 x + 0.5, 2 y + 0.5) of the full one. */
const doubled = (corners: Float64Array): Float64Array => corners.map((c) => 2 * c + 0.5);

function sameTag(a: FoundTag, b: FoundTag): boolean {
  const side = Math.sqrt(Math.abs(quadArea(a.corners)));
  return Math.hypot(centre(a, 0) - centre(b, 0), centre(a, 1) - centre(b, 1)) < side / 2;
}

const centre = ({ corners }: FoundTag, axis: 0 | 1): number =>
  (corners[axis] + corners[2 + axis] + corners[4 + axis] + corners[6 + axis]) / 4;

import type { LumaImage } from "../photo/luma.ts";
import { quadArea } from "./ring-fit.ts";
import { halfSize } from "./sampling.ts";
import type { FoundTag, TagFinder, TagFindings, TagSearch } from "./tag-finder.ts";

/** Tags down to 2.5 px a cell: 8 cells a side, four sides. */
const minPerimeterPx = 4 * 8 * 2.5;
const halfSizeSearch: TagSearch = { windows: [5, 15], minPerimeterPx: minPerimeterPx / 2 };
const fullSizeSearch: TagSearch = { windows: [7], minPerimeterPx };
/** Pictures above this many pixels are searched at half size first. */
const pyramidFrom = 600_000;

/**
 * All tags in a picture, with corners in its pixels. Large pictures are searched at half size, which
 * is four times as fast, and once more at full size for what is too small there.
 */
export function findTags(image: LumaImage, finder: TagFinder): TagFindings {
  if (image.width < 24 || image.height < 24) return { tags: [], otherQuads: [] };
  if (image.width * image.height < pyramidFrom)
    return finder.find(image, { windows: [3, 13, 23], minPerimeterPx });
  const half = finder.find(halfSize(image), halfSizeSearch);
  const tags = half.tags.map((tag) => ({ id: tag.id, corners: doubled(tag.corners) }));
  const quads = half.otherQuads.map(doubled);
  const full = finder.find(image, fullSizeSearch);
  for (const tag of full.tags) if (!tags.some((known) => sameTag(known, tag))) tags.push(tag);
  return { tags, otherQuads: [...quads, ...full.otherQuads] };
}

const doubled = (corners: Float64Array): Float64Array => corners.map((c) => 2 * c + 0.5);

function sameTag(a: FoundTag, b: FoundTag): boolean {
  const side = Math.sqrt(Math.abs(quadArea(a.corners)));
  return Math.hypot(centre(a, 0) - centre(b, 0), centre(a, 1) - centre(b, 1)) < side / 2;
}

const centre = ({ corners }: FoundTag, axis: 0 | 1): number =>
  (corners[axis] + corners[2 + axis] + corners[4 + axis] + corners[6 + axis]) / 4;

import type { LumaImage } from "../../photo/grey/luma.ts";

/** A tag of family 36h11 in a picture. */
export interface FoundTag {
  readonly id: number;
  /** x0 y0 .. x3 y3: top left, top right, bottom right, bottom left of the black border, px. */
  readonly corners: Float64Array;
}

export interface TagFindings {
  readonly tags: readonly FoundTag[];
  /** Dark quadrilaterals that carry no tag of the family: mirrored prints are among them. */
  readonly otherQuads: readonly Float64Array[];
}

/** How a finder looks at a picture. */
export interface TagSearch {
  /** Side of the adaptive threshold's window, odd, px. One window takes a third of the time of three. */
  readonly windows: readonly number[];
  /**
   * Grey levels by which black must be darker than the mean of its window. Many: paper in shade and
   * grey things that lie on it count as paper. Few: blurred print counts as black.
   */
  readonly darkerBy: number;
  /** Shortest tag perimeter, px of the given picture. */
  readonly minPerimeterPx: number;
}

/**
 * The port through which a library that finds tags is used. The caller hands in the library, so
 * that everything here runs the same in a browser, in a worker and in Node.
 */
export interface TagFinder {
  find(image: LumaImage, search: TagSearch): TagFindings;
}

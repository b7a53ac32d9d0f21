import type { LumaImage } from "../photo/grey/luma.ts";
import { findTags } from "./search/tag-search.ts";
import type { TagFinder } from "./tags/tag-finder.ts";

/** A tag in a frame of a stream, for guidance only: its ring is not checked and nothing is fitted. */
export interface SeenTag {
  readonly id: number;
  /** x0 y0 .. x3 y3, px. */
  readonly corners: Float64Array;
  /** Share of pure white in a grid over the tag and a third of its side around it. */
  readonly burnt: number;
}

/** Grey from which a pixel of a stream counts as burnt out. */
const burntFrom = 252;
/** Samples a side. */
const grid = 16;

/** Quick enough for several frames a second. */
export function seeTags(image: LumaImage, finder: TagFinder): SeenTag[] {
  return findTags(image, finder).tags.map(({ id, corners }) => ({
    id,
    corners,
    burnt: burntShare(image, corners),
  }));
}

function burntShare({ width, height, data }: LumaImage, c: Float64Array): number {
  let [burnt, inside] = [0, 0];
  for (let j = 0; j < grid; j++) {
    for (let i = 0; i < grid; i++) {
      const [u, v] = [(1.66 * i) / (grid - 1) - 0.33, (1.66 * j) / (grid - 1) - 0.33];
      const at = (k: number) =>
        (1 - u) * (1 - v) * c[k] +
        u * (1 - v) * c[k + 2] +
        u * v * c[k + 4] +
        (1 - u) * v * c[k + 6];
      const [x, y] = [Math.round(at(0)), Math.round(at(1))];
      if (x < 0 || y < 0 || x >= width || y >= height) continue;
      inside++;
      if (data[y * width + x] >= burntFrom) burnt++;
    }
  }
  return inside > 0 ? burnt / inside : 0;
}

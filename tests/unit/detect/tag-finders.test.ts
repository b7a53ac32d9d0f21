import { readFileSync } from "node:fs";
import { loadOpenCV } from "@opencvjs/web";
import { beforeAll, describe, expect, it } from "vitest";
import { isSheetMarkerId, sheetMarkerCount } from "../../../src/boards/sheet.ts";
import { findTags } from "../../../src/detect/search/tag-search.ts";
import {
  boardTagFinder,
  openCvTagFinder,
  sheetTagFinder,
} from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { FoundTag, TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";
import { decodeJpeg } from "../../../src/photo/jpeg/jpeg.ts";

let whole: TagFinder;
let sheetOnly: TagFinder;
let boardsOnly: TagFinder;
beforeAll(async () => {
  const cv = (await loadOpenCV()) as never;
  whole = openCvTagFinder(cv);
  sheetOnly = sheetTagFinder(cv);
  boardsOnly = boardTagFinder(cv);
});

function photo(name: string): LumaImage {
  const outcome = decodeJpeg(new Uint8Array(readFileSync(`sample-images/demo-job/${name}`)));
  if (!outcome.ok) throw new Error(outcome.remark.message);
  return outcome.luma;
}

const sorted = (tags: readonly FoundTag[]) =>
  tags.map(({ id, corners }) => [id, ...corners]).sort((a, b) => a[0] - b[0]);

describe("finders of some of the family's ids", () => {
  it.each(["camera/sheet-01.jpg", "camera/sheet-12.jpg"])(
    "finds the same markers at the same places as a search of the whole family: %s",
    (name) => {
      const image = photo(name);
      const known = findTags(image, whole).tags.filter((tag) => isSheetMarkerId(tag.id));
      expect(known.length).toBe(sheetMarkerCount);
      expect(sorted(findTags(image, sheetOnly).tags)).toEqual(sorted(known));
    },
  );

  it("takes no board for a marker of the sheet, and leaves the whole family's search alone", () => {
    const image = photo("photos/bay-04.jpg");
    expect(findTags(image, sheetOnly).tags).toEqual([]);
    const boards = findTags(image, whole).tags;
    expect(boards.length).toBeGreaterThan(3);
    expect(boards.every((tag) => !isSheetMarkerId(tag.id))).toBe(true);
    expect(sorted(findTags(image, boardsOnly).tags)).toEqual(sorted(boards));
  });
});

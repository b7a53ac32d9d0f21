/** What a file says about itself, right or wrong, must not change what is measured in its picture. */
import { readFileSync } from "node:fs";
import { loadOpenCV } from "@opencvjs/web";
import { beforeAll, expect, it } from "vitest";
import type { PhotoFindings } from "../../../src/detect/findings/findings.ts";
import { boardTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import { examinePhoto } from "../../../src/job/run/examine.ts";
import { decodePhoto } from "../../../src/photo/decode.ts";
import { withoutExif } from "../../../src/photo/exif/exif.ts";
import { withExif, writeTiff } from "../../tools/exif-writer.ts";

const name = "bay-13.jpg";
let finder: TagFinder;
let bare: Uint8Array;
let plain: PhotoFindings;
beforeAll(async () => {
  finder = boardTagFinder((await loadOpenCV()) as never);
  bare = withoutExif(new Uint8Array(readFileSync(`sample-images/demo-job/photos/${name}`)));
  plain = examined(bare);
});

function examined(bytes: Uint8Array): PhotoFindings {
  const request = { name, what: "boards", lens: null } as const;
  const outcome = examinePhoto(decodePhoto(bytes, name), finder, request, 0, () => 0);
  if (!outcome.ok) throw new Error(outcome.remark.message);
  return outcome.findings;
}

it("the photo shows boards, and has no EXIF of its own any more", () => {
  expect(plain.boards.length).toBeGreaterThanOrEqual(5);
  expect(plain.exif).toBeNull();
});

it.each([1, 2, 3, 4, 5, 6, 7, 8])("EXIF orientation %i: the same boards", (orientation) => {
  const turned = examined(withExif(bare, writeTiff({ 274: orientation }, {}, true)));
  expect(turned.exif?.orientation).toBe(orientation);
  expect([turned.width, turned.height]).toEqual([plain.width, plain.height]);
  expect(turned.boards).toEqual(plain.boards);
});

it.each([
  ["no EXIF at all", new Uint8Array(40).fill(0xa5)],
  [
    "a directory that ends early",
    writeTiff({ 271: "Invented", 274: 6 }, { 41989: 26 }, true).subarray(0, 30),
  ],
])("damaged EXIF, %s: the same boards, and a remark", (_, block) => {
  const damaged = examined(withExif(bare, block));
  expect(damaged.remarks.map(({ code }) => code)).toContain("exif-damaged");
  expect(damaged.boards).toEqual(plain.boards);
});

import { readFileSync } from "node:fs";
import { join } from "node:path";
import fc from "fast-check";
import { expect, test } from "vitest";
import { decodePhoto } from "../../../src/photo/decode.ts";
import { readExif, readPreview, withoutExif } from "../../../src/photo/exif/exif.ts";
import { tiffWithPreview, withExif, writeTiff } from "../../tools/exif-writer.ts";

const jpeg = new Uint8Array(readFileSync(join(import.meta.dirname, "fixtures/grey.jpg")));

/** Tag numbers as in CIPA DC-008, written out here on their own. */
const main = { 271: "Invented", 272: "Bay One", 274: 6, 305: "Bay One 1.0" };
const detail = {
  33434: [1, 120],
  33437: [9, 5],
  34855: 64,
  36867: "2026:01:17 09:31:08",
  36881: "+01:00",
  37386: [5600, 1000],
  40962: 4032,
  40963: 3024,
  41985: 7,
  41988: [1, 1],
  41989: 26,
  42036: "Bay One main lens",
} as const;

test.each([true, false])("all facts, little endian %s", (littleEndian) => {
  const bytes = withExif(jpeg, writeTiff(main, detail, littleEndian));
  const { facts, remark } = readExif(bytes, "jpeg", "a.jpg");
  expect(remark).toBeNull();
  expect(facts).toEqual({
    make: "Invented",
    model: "Bay One",
    lensModel: "Bay One main lens",
    focalLengthMm: 5.6,
    focalLength35mm: 26,
    digitalZoom: 1,
    orientation: 6,
    exposureTimeS: 1 / 120,
    fNumber: 1.8,
    iso: 64,
    takenAt: "2026-01-17T09:31:08+01:00",
    software: "Bay One 1.0",
    exifWidth: 4032,
    exifHeight: 3024,
    customRendered: 7,
  });
});

test("no EXIF", () => {
  const { facts, remark } = readExif(jpeg, "jpeg", "a.jpg");
  expect(facts).toBeNull();
  expect(remark).toMatchObject({ code: "exif-missing", severity: "info", about: "a.jpg" });
});

test("nonsense values are left out", () => {
  const odd = { 33434: [1, 0], 36867: "0000:00:00 00:00:00", 37386: [0, 1], 34855: 0 } as const;
  const { facts } = readExif(
    withExif(jpeg, writeTiff({ 271: "   ", 272: "x", 274: 9 }, odd, true)),
    "jpeg",
    "",
  );
  expect(facts).toMatchObject({ make: null, model: "x", orientation: null, exposureTimeS: null });
  expect(facts).toMatchObject({ takenAt: null, focalLengthMm: null, iso: null });
});

test("a directory that points beyond the data", () => {
  const tiff = writeTiff(main, detail, true);
  const cut = tiff.subarray(0, 120);
  const { facts, remark } = readExif(withExif(jpeg, cut), "jpeg", "a.jpg");
  expect(remark?.code).toBe("exif-damaged");
  expect(facts?.orientation).toBe(6);
});

test("a wrong header", () => {
  const { facts, remark } = readExif(withExif(jpeg, new Uint8Array(20)), "jpeg", "a.jpg");
  expect(facts).toBeNull();
  expect(remark?.code).toBe("exif-damaged");
});

test("EXIF in PNG and WebP chunks", () => {
  const tiff = writeTiff(main, detail, false);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(tiff.length);
  const png = Buffer.concat([Buffer.alloc(8), length, Buffer.from("eXIf"), tiff, Buffer.alloc(4)]);
  expect(readExif(new Uint8Array(png), "png", "").facts?.model).toBe("Bay One");
  length.writeUInt32LE(tiff.length);
  const webp = Buffer.concat([Buffer.from("RIFF0000WEBPEXIF"), length, tiff]);
  expect(readExif(new Uint8Array(webp), "webp", "").facts?.model).toBe("Bay One");
});

test("random damage never throws, and words carry no control characters", () => {
  const tiff = writeTiff(main, detail, true);
  const change = fc.tuple(fc.nat(tiff.length - 1), fc.nat(255));
  let facts = 0;
  fc.assert(
    fc.property(fc.array(change, { minLength: 1, maxLength: 20 }), (changes) => {
      const damaged = tiff.slice();
      for (const [at, value] of changes) damaged[at] = value;
      const outcome = readExif(withExif(jpeg, damaged), "jpeg", "a.jpg");
      if (outcome.facts) {
        facts++;
        for (const value of Object.values(outcome.facts)) {
          if (typeof value === "string") expect(value).not.toMatch(/\p{Cc}/u);
          if (typeof value === "number") expect(Number.isFinite(value)).toBe(true);
        }
      } else {
        expect(outcome.remark).not.toBeNull();
      }
    }),
    { numRuns: 500 },
  );
  expect(facts).toBeGreaterThan(50);
});

test.each([true, false])("finds the camera's own small picture (little endian: %s)", (little) => {
  const small = Uint8Array.of(0xff, 0xd8, 1, 2, 3, 0xff, 0xd9);
  const block = tiffWithPreview(small, 6, little);
  expect(readPreview(withExif(jpeg, block), "jpeg")).toEqual({ jpeg: small, orientation: 6 });
  // Cut short, it reaches beyond the block.
  expect(readPreview(withExif(jpeg, block.subarray(0, block.length - 1)), "jpeg")).toBeNull();
  expect(readPreview(withExif(jpeg, writeTiff({ 274: 6 }, {}, little)), "jpeg")).toBeNull();
  expect(readPreview(jpeg, "jpeg")).toBeNull();
});

test("a file without its EXIF is the same picture, to be shown as it is stored", () => {
  const turned = withExif(jpeg, writeTiff({ 274: 6 }, {}, false));
  expect(readExif(turned, "jpeg", "x").facts?.orientation).toBe(6);
  const bare = withoutExif(turned);
  expect(readExif(bare, "jpeg", "x").facts).toBeNull();
  expect(bare.length).toBe(turned.length);
  const [before, after] = [decodePhoto(turned, "x"), decodePhoto(bare, "x")];
  expect(before.ok && after.ok && Buffer.compare(before.luma.data, after.luma.data)).toBe(0);
});

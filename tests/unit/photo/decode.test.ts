/** From any file to a grey picture or a sentence that says what to do. */
import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { crc32 } from "node:zlib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { decodePhoto } from "../../../src/photo/decode.ts";
import { type PhotoFormat, sniffFormat } from "../../../src/photo/file/sniff.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";
import { decodePng } from "../../../src/photo/png/png.ts";
import { withExif, writeTiff } from "../../tools/exif-writer.ts";
import { writeFlatJpeg } from "../../tools/tiny-jpeg.ts";
import expected from "./fixtures/expected.json" with { type: "json" };

const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(join(import.meta.dirname, "fixtures", name)));
const text = (value: string): Uint8Array => new Uint8Array(Buffer.from(value, "latin1"));

function luma(bytes: Uint8Array): LumaImage {
  const photo = decodePhoto(bytes, "x");
  if (!photo.ok) throw new Error(photo.remark.message);
  return photo.luma;
}

function codes(bytes: Uint8Array): string[] {
  const photo = decodePhoto(bytes, "photo.bin");
  const remarks = photo.ok ? photo.remarks : [photo.remark];
  for (const remark of remarks) {
    expect(remark.about).toBe("photo.bin");
    expect(remark.message).toMatch(/\.$/);
    expect(remark.remedy).toMatch(/\.$/);
  }
  return remarks.map((remark) => remark.code);
}

describe("formats by content", () => {
  const dng = writeTiff({ 271: "Invented", 50706: 1 }, {}, true);
  const cases: [PhotoFormat, Uint8Array][] = [
    ["jpeg", fixture("grey.jpg")],
    ["png", fixture("rgb8.png")],
    ["webp", fixture("photo.webp")],
    ["heic", text("\0\0\0\x18ftypheic\0\0\0\0mif1heic")],
    ["heic", text("\0\0\0\x18ftypmif1\0\0\0\0mif1heic")],
    ["avif", text("\0\0\0\x1cftypavif\0\0\0\0avifmif1miaf")],
    ["avif", text("\0\0\0\x1cftypmif1\0\0\0\0mif1avifmiaf")],
    ["video", text("\0\0\0\x18ftypisom\0\0\0\0isommp42")],
    ["video", text("\0\0\0\x14ftypqt  \0\0\0\0qt  ")],
    ["video", text("RIFF\0\0\0\0AVI LIST")],
    ["video", text("\x1a\x45\xdf\xa3rest")],
    ["tiff", writeTiff({ 271: "Invented" }, {}, false)],
    ["raw", dng],
    ["gif", text("GIF89a")],
    ["bmp", text("BM123456")],
    ["pdf", text("%PDF-1.7")],
    ["jpeg-xl", text("\xff\x0a123")],
    ["empty", new Uint8Array(0)],
    ["unknown", text("hello")],
    ["unknown", text("\xff")],
    ["unknown", text("PK\x03\x04")],
  ];

  test.each(cases)("%s", (format, bytes) => {
    expect(sniffFormat(bytes)).toBe(format);
    if (format !== "jpeg" && format !== "png")
      expect(codes(bytes)).toEqual([`photo-format-${format}`]);
  });

  test("HEIC says how to get JPEG", () => {
    const photo = decodePhoto(text("\0\0\0\x18ftypheic\0\0\0\0mif1heic"), "a.heic");
    expect(photo.ok ? "" : photo.remark.remedy).toContain("JPEG");
  });

  test("only as many bytes as the file has", () => {
    for (const [, bytes] of cases)
      for (let length = 0; length < Math.min(20, bytes.length); length++)
        expect(sniffFormat(bytes.subarray(0, length))).toBeTypeOf("string");
  });
});

describe("sizes", () => {
  test("1 x 1 px", () => {
    expect(codes(writeFlatJpeg(1, 1, () => 9))).toEqual(["photo-too-small"]);
  });
  test("a photo that was shrunk on its way", () => {
    const bytes = writeFlatJpeg(800, 600, () => 128);
    expect(codes(bytes)).toEqual(["exif-missing", "photo-shrunk"]);
  });
  test("a whole photo", () => {
    const bytes = withExif(
      writeFlatJpeg(4032, 3024, (c) => c & 255),
      writeTiff({ 272: "Bay One" }, {}, true),
    );
    expect(codes(bytes)).toEqual([]);
  });
});

test("EXIF orientation is reported and never applied", () => {
  const plain = luma(fixture("base420.jpg"));
  let checked = 0;
  for (let orientation = 1; orientation <= 8; orientation++) {
    const bytes = withExif(fixture("base420.jpg"), writeTiff({ 274: orientation }, {}, false));
    const photo = decodePhoto(bytes, "x");
    if (!photo.ok) throw new Error(photo.remark.message);
    expect(photo.exif?.orientation).toBe(orientation);
    expect([photo.luma.width, photo.luma.height]).toEqual([157, 93]);
    expect(Buffer.compare(photo.luma.data, plain.data)).toBe(0);
    checked++;
  }
  expect(checked).toBe(8);
});

describe("PNG", () => {
  /** Rec. 601 weights on the same picture at 8 bits, from the standard's formula. */
  test("8-bit RGB, RGBA and 16-bit RGB agree within one grey level", () => {
    const rgb = luma(fixture("rgb8.png"));
    for (const name of ["rgba8.png", "rgb16.png"]) {
      const other = luma(fixture(name));
      expect(other.data.length).toBe(157 * 93);
      const worst = other.data.reduce((most, g, i) => Math.max(most, Math.abs(g - rgb.data[i])), 0);
      expect(worst, name).toBeLessThanOrEqual(1);
    }
  });

  test("grey PNG as OpenCV reads it", () => {
    const { data } = luma(fixture("grey8.png"));
    const hash = createHash("sha256").update(data).digest("hex");
    expect(hash).toBe(expected.greyPng["grey8.png"].sha256);
  });

  test("interlaced files are refused by name", () => {
    const outcome = decodePng(fixture("interlaced.png"));
    expect(outcome.ok ? "" : outcome.remark.code).toBe("png-unsupported");
  });

  test("a changed byte is noticed by the check sum", () => {
    const bytes = fixture("rgb8.png");
    bytes[Math.floor(bytes.length / 2)] ^= 1;
    const outcome = decodePng(bytes);
    expect(outcome.ok ? "" : outcome.remark.code).toBe("png-damaged");
  });

  test("truncation says how many rows are there", () => {
    const bytes = fixture("rgb8.png");
    const outcome = decodePng(bytes.subarray(0, bytes.length >> 1));
    expect(outcome.ok ? "" : outcome.remark.message).toMatch(/only [1-9]\d* of 93 rows/);
  });

  /** Width and height of the header replaced, with the check sum that belongs to them. */
  function sized(width: number, height: number): Uint8Array {
    const bytes = Buffer.from(fixture("rgb8.png"));
    bytes.writeUInt32BE(width, 16);
    bytes.writeUInt32BE(height, 20);
    bytes.writeUInt32BE(crc32(bytes.subarray(12, 29)), 29);
    return new Uint8Array(bytes);
  }

  test("more than 200 megapixels, before any memory is taken", () => {
    const large = decodePng(sized(20000, 20000));
    if (large.ok) throw new Error("a picture of 400 megapixels was decoded");
    expect(large.remark.code).toBe("photo-too-large");
    expect(large.remark.message).toContain("20000 x 20000");
    // The same header with fewer pixels passes: what was refused was the size.
    const same = decodePng(sized(157, 93));
    expect(same.ok && same.luma.data.length).toBe(157 * 93);
  });
});

test("random bytes and random damage never throw", () => {
  const names = ["rgb8.png", "rgb16.png", "base420.jpg", "progressive420.jpg", "photo.webp"];
  const files = names.map(fixture);
  const change = fc.tuple(fc.nat(), fc.nat(255));
  let refused = 0;
  fc.assert(
    fc.property(
      fc.nat(files.length - 1),
      fc.array(change, { minLength: 1, maxLength: 8 }),
      fc.nat(),
      (which, changes, cut) => {
        const damaged = files[which].slice(0, cut % 2 ? cut % files[which].length : undefined);
        for (const [at, value] of changes) if (damaged.length) damaged[at % damaged.length] = value;
        const photo = decodePhoto(damaged, "x");
        if (!photo.ok) refused++;
      },
    ),
    { numRuns: 400 },
  );
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      expect(decodePhoto(bytes, "x").ok).toBe(false);
    }),
    { numRuns: 300 },
  );
  expect(refused).toBeGreaterThan(100);
});

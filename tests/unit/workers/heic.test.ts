/** HEIC to grey values: the same as Debian's heif-convert (libheif 1.15) and dec265 give, and named faults. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { turnOf } from "../../../src/photo/exif/turn-of.ts";
import { readHeif } from "../../../src/photo/heif/heif.ts";
import { asStored } from "../../../workers/browser/as-stored.ts";
import { nodeDecoder } from "../../../workers/node/decode-node.ts";
import { heicDecoder } from "../../../workers/shared/heic.ts";
import { withExif, writeTiff } from "../../tools/exif-writer.ts";
import { convertHeic, decodeStream, encodeHeic, ensureHeifTools } from "../../tools/heif-tools.ts";
import { codedPicture, type HeifWish, writeHeif } from "../../tools/heif-writer.ts";
import { writeFlatJpeg } from "../../tools/tiny-jpeg.ts";

beforeAll(ensureHeifTools);

const decode = nodeDecoder();
const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(join(import.meta.dirname, "../photo/fixtures", name)));

async function photoOf(bytes: Uint8Array) {
  const photo = await decode(bytes, "photo.heic");
  if (!photo.ok) throw new Error(photo.remark.message);
  return photo;
}

/** Our picture, shown as its orientation asks, is heif-convert's, pixel for pixel. */
async function expectSame(heic: Uint8Array): Promise<void> {
  const { luma, exif } = await photoOf(heic);
  const theirs = convertHeic(heic);
  const [a, b, c, d, e, f] = turnOf(exif?.orientation ?? 1, luma.width, luma.height);
  const shown = new Uint8Array(theirs.width * theirs.height);
  for (let y = 0; y < luma.height; y++) {
    for (let x = 0; x < luma.width; x++) {
      const column = a * (x + 0.5) + c * (y + 0.5) + e - 0.5;
      const row = b * (x + 0.5) + d * (y + 0.5) + f - 0.5;
      shown[row * theirs.width + column] = luma.data[y * luma.width + x];
    }
  }
  expect(shown.length).toBe(luma.data.length);
  expect(Buffer.compare(shown, theirs.data)).toBe(0);
}

const tile = (seed: number, side = 128): Uint8Array =>
  writeFlatJpeg(side, side, (x, y) => (x * (3 + seed) + y * 5 + seed * 40) & 255);
const coded = (seed: number) => codedPicture(encodeHeic([tile(seed)], ["-L"]));

function tiled(wish: Partial<HeifWish> = {}): Uint8Array {
  const tiles = [0, 1, 2, 3, 4, 5].map(coded);
  return writeHeif({ tiles, columns: 3, width: 350, height: 234, ...wish });
}

test.each(["base420.jpg", "base422.jpg", "base444.jpg", "grey.jpg"])(
  "grey values of %s equal dec265's",
  async (name) => {
    const heic = encodeHeic([fixture(name)], ["-q", "90"]);
    const { luma } = await photoOf(heic);
    const theirs = decodeStream(codedPicture(heic));
    // An odd width is coded with one column more.
    const stride = luma.width + (luma.width & 1);
    const rows = Array.from({ length: luma.height }, (_, y) =>
      theirs.subarray(y * stride, y * stride + luma.width),
    );
    expect(Buffer.compare(Buffer.concat(rows), luma.data)).toBe(0);
  },
);

describe("grey values equal heif-convert's", () => {
  test("a picture of 2016 x 1512 px", async () => {
    const jpeg = writeFlatJpeg(2016, 1512, (x, y) => (x * 7 + y * 13) & 255);
    const heic = encodeHeic([jpeg], ["-L"]);
    expect((await photoOf(heic)).luma).toMatchObject({ width: 2016, height: 1512 });
    await expectSame(heic);
  });

  test("tiles, as phones write them", async () => {
    const heic = tiled();
    expect((await photoOf(heic)).luma).toMatchObject({ width: 350, height: 234 });
    await expectSame(heic);
  });

  test.each([
    [1, undefined, 8],
    [2, undefined, 3],
    [3, undefined, 6],
    [undefined, 0, 4],
    [undefined, 1, 2],
    [1, 1, 7],
  ] as const)("%s quarter turns, flip %s", async (quarters, flip, orientation) => {
    const heic = tiled({ quarters, flip });
    const { luma, exif } = await photoOf(heic);
    expect(exif?.orientation).toBe(orientation);
    expect([luma.width, luma.height]).toEqual([350, 234]);
    await expectSame(heic);
  });
});

describe("EXIF", () => {
  const exif = writeTiff({ 271: "Invented", 272: "Bay One", 274: 6 }, {}, true);

  test("is read from its item", async () => {
    const photo = await photoOf(tiled({ exif }));
    expect(photo.exif).toMatchObject({ make: "Invented", model: "Bay One" });
  });

  test("does not turn what the file turns already", async () => {
    expect((await photoOf(tiled({ exif, quarters: 3 }))).exif?.orientation).toBe(6);
    expect((await photoOf(tiled({ exif, quarters: 2 }))).exif?.orientation).toBe(3);
    expect((await photoOf(tiled({ exif }))).exif?.orientation).toBe(1);
  });

  test("as heif-enc takes it over from a JPEG", async () => {
    const photo = await photoOf(encodeHeic([withExif(fixture("base420.jpg"), exif)]));
    expect(photo.exif).toMatchObject({ make: "Invented", model: "Bay One" });
  });

  test("is not needed", async () => {
    const photo = await photoOf(tiled());
    expect(photo.exif).toBeNull();
    expect(photo.remarks.map(({ code }) => code)).toEqual(["exif-missing", "photo-shrunk"]);
  });
});

describe("several pictures in one file", () => {
  test("the main one is used, and it is said", async () => {
    const photo = await photoOf(tiled({ others: [coded(7), coded(8)] }));
    const said = photo.remarks.find(({ code }) => code === "heic-several-pictures");
    expect(said?.values).toEqual({ count: 3 });
    expect([photo.luma.width, photo.luma.height]).toEqual([350, 234]);
  });

  test("as heif-enc writes them", async () => {
    const heic = encodeHeic([tile(1), tile(2)], ["-L"]);
    expect((await photoOf(heic)).remarks.map(({ code }) => code)).toContain(
      "heic-several-pictures",
    );
    await expectSame(heic);
  });

  test("a preview counts as none", async () => {
    const heic = encodeHeic([fixture("base420.jpg")], ["-t", "64"]);
    expect(readHeif(heic)?.pictures).toBe(1);
  });
});

describe("a picture that the browser turned", () => {
  test.each([1, 2, 3, 4, 5, 6, 7, 8])(
    "orientation %i goes back to stored pixels",
    (orientation) => {
      const [width, height] = [7, 4];
      const stored = Uint8Array.from({ length: width * height }, (_, i) => i);
      const [a, b, c, d, e, f] = turnOf(orientation, width, height);
      const wide = orientation >= 5 ? height : width;
      const shown = new Uint8Array(stored.length);
      for (let y = 0; y < height; y++) {
        for (let x = 0; x < width; x++) {
          const column = a * (x + 0.5) + c * (y + 0.5) + e - 0.5;
          shown[(b * (x + 0.5) + d * (y + 0.5) + f - 0.5) * wide + column] = stored[y * width + x];
        }
      }
      const luma = { width: wide, height: stored.length / wide, data: shown };
      const facts = { size: { width, height }, cut: null, orientation, exif: null, pictures: 1 };
      expect(asStored(luma, facts)?.data).toEqual(stored);
      expect(asStored(luma, { ...facts, size: { width: 8, height: 8 } })).toBeNull();
    },
  );
});

describe("what cannot be used is named", () => {
  test("a file that ends early, at any place", async () => {
    const heic = tiled();
    for (let share = 1; share < 12; share++) {
      const photo = await decode(
        heic.subarray(0, Math.floor((heic.length * share) / 12)),
        "a.heic",
      );
      expect(photo.ok ? "read" : photo.remark.code).toBe("heic-damaged");
    }
  });

  test("a decoder that cannot be loaded", async () => {
    const without = heicDecoder(() => Promise.reject(new Error("offline")));
    const photo = await without(tiled(), "a.heic");
    expect(photo.ok ? null : photo.remark).toMatchObject({
      code: "photo-format-heic",
      about: "a.heic",
    });
  });

  test("a platform's own decoder goes first", async () => {
    const own = { width: 350, height: 234, data: new Uint8Array(350 * 234).fill(9) };
    const first = heicDecoder(
      () => Promise.reject(new Error("not asked")),
      undefined,
      async () => own,
    );
    const photo = await first(tiled(), "a.heic");
    expect(photo.ok && photo.luma.data[0]).toBe(9);
  });
});

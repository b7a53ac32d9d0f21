import { crc32, deflateSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { decodePng } from "../../../src/photo/png/png.ts";

const chunk = (name: string, data: Uint8Array): Buffer => {
  const body = Buffer.concat([Buffer.from(name), data]);
  const head = Buffer.alloc(4);
  head.writeUInt32BE(data.length);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(body));
  return Buffer.concat([head, body, check]);
};

/** A picture of 4 x 2 pixels with a palette (ISO/IEC 15948, colour type 3), rows without filter. */
const paletted = (
  colours: number,
  depth: 2 | 8,
  rows: readonly number[][],
  cut = 0,
): Uint8Array => {
  const header = Buffer.from([0, 0, 0, 4, 0, 0, 0, 2, depth, 3, 0, 0, 0]);
  const palette = Uint8Array.from({ length: 3 * colours - cut }, () => 255);
  const bytes = rows.flatMap((row) => [
    0,
    ...(depth === 8 ? row : [row.reduce((sum, index) => sum * 4 + index, 0)]),
  ]);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    chunk("PLTE", palette),
    chunk("IDAT", deflateSync(Uint8Array.from(bytes))),
    chunk("IEND", new Uint8Array()),
  ]);
};

describe("a palette", () => {
  const inside = [
    [0, 1, 2, 0],
    [2, 1, 0, 2],
  ];
  const beyond = [
    [0, 1, 2, 0],
    [2, 1, 3, 2],
  ];

  test.each([2, 8] as const)("of three colours, %i bits: all white is white", (depth) => {
    const decoded = decodePng(paletted(3, depth, inside));
    expect(decoded.ok && [...decoded.luma.data]).toEqual(Array.from({ length: 8 }, () => 255));
  });

  // Without this the fourth colour came out as black, and the picture as a whole one.
  test.each([2, 8] as const)("that lacks a colour of the picture is damage, %i bits", (depth) => {
    const decoded = decodePng(paletted(3, depth, beyond));
    expect(decoded.ok || decoded.remark.code).toBe("png-damaged");
    expect(decoded.ok || decoded.remark.message).toContain("palette");
  });

  test("of no whole colours, or of none, is damage", () => {
    for (const picture of [paletted(3, 8, inside, 1), paletted(0, 8, inside)]) {
      const decoded = decodePng(picture);
      expect(decoded.ok || decoded.remark.code).toBe("png-damaged");
    }
  });
});

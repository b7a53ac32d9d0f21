import { describe, expect, test } from "vitest";
import { greyStatistics } from "../../../src/photo/grey-statistics.ts";
import type { LumaImage } from "../../../src/photo/luma.ts";
import { thumbnail } from "../../../src/photo/thumbnail.ts";

const image = (
  width: number,
  height: number,
  grey: (x: number, y: number) => number,
): LumaImage => ({
  width,
  height,
  data: Uint8Array.from({ length: width * height }, (_, i) =>
    grey(i % width, Math.floor(i / width)),
  ),
});

/** Mean over a cell's area by brute force: 60 x 60 sample points of every cell. */
function sampledMean(from: LumaImage, to: LumaImage, x: number, y: number): number {
  let sum = 0;
  for (let j = 0; j < 60; j++)
    for (let i = 0; i < 60; i++) {
      const column = Math.floor(((x + (i + 0.5) / 60) * from.width) / to.width);
      const row = Math.floor(((y + (j + 0.5) / 60) * from.height) / to.height);
      sum += from.data[row * from.width + column];
    }
  return sum / 3600;
}

describe("thumbnail", () => {
  test("a small picture comes back as it is", () => {
    const small = image(5, 3, (x) => x);
    expect(thumbnail(small, 5)).toBe(small);
  });

  test.each([
    [100, 75, 20],
    [101, 67, 33],
    [30, 200, 47],
    [1000, 3, 100],
    [2, 300, 7],
  ])("%i x %i to %i is the mean over areas", (width, height, side) => {
    const large = image(width, height, (x, y) => (x * 31 + y * 57 + x * y) % 256);
    const small = thumbnail(large, side);
    expect(Math.max(small.width, small.height)).toBe(side);
    let checked = 0;
    for (let y = 0; y < small.height; y++)
      for (let x = 0; x < small.width; x++) {
        const grey = small.data[y * small.width + x];
        // Half a grey level of rounding and the error of sampling the edges of cells.
        expect(Math.abs(grey - sampledMean(large, small, x, y))).toBeLessThan(3);
        checked++;
      }
    expect(checked).toBe(small.data.length);
  });

  test("white stays white", () => {
    const small = thumbnail(
      image(333, 222, () => 255),
      100,
    );
    expect(small.data.every((grey) => grey === 255)).toBe(true);
  });
});

describe("grey statistics", () => {
  test("a ramp", () => {
    const ramp = greyStatistics(image(256, 4, (x) => x));
    expect(ramp.mean).toBe(127.5);
    expect([ramp.p5, ramp.p50, ramp.p95]).toEqual([12, 127, 243]);
    expect(ramp.clippedDark).toBe(3 / 256);
    expect(ramp.clippedBright).toBe(3 / 256);
    expect([...ramp.histogram]).toEqual(new Array(256).fill(4));
  });

  test("every second pixel", () => {
    const half = greyStatistics(
      image(10, 10, (x, y) => (x % 2 === 0 && y % 2 === 0 ? 255 : 0)),
      2,
    );
    expect(half.histogram[255]).toBe(25);
    expect([half.clippedBright, half.clippedDark]).toEqual([1, 0]);
  });
});

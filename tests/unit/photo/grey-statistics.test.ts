import { describe, expect, test } from "vitest";
import { greyStatistics } from "../../../src/photo/grey/grey-statistics.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";

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

import { describe, expect, it } from "vitest";
import { lensRemainder } from "../../../src/calibrate/estimate/lens-remainder.ts";
import { featuresAt, frameOf, modelSize } from "../../../src/calibrate/estimate/remainder-model.ts";
import type { PhotoNormals } from "../../../src/calibrate/estimate/sheet-normals.ts";
import {
  displacementAt,
  type LensRemainder,
  restAt,
  withoutRemainder,
} from "../../../src/lens/remainder.ts";
import { Chance } from "../../tools/phone/maths.ts";

const frame = { width: 4032, height: 3024 };
const middle = [2015.5, 1511.5] as const;

/** Residuals (seen minus computed, px) of one photo at pixels x0 y0 x1 y1 .. */
interface PhotoResiduals {
  readonly pixels: ArrayLike<number>;
  readonly residuals: ArrayLike<number>;
}

/** Normal equations of the coefficients alone, for residuals of this noise. */
const normalsOf = ({ pixels, residuals }: PhotoResiduals, noisePx: number): PhotoNormals => {
  const n = new Float64Array(modelSize ** 2);
  const g = new Float64Array(modelSize);
  let squares = 0;
  for (let i = 0; i < pixels.length; i += 2) {
    const { at, ofX, ofY } = featuresAt(frameOf(frame, middle), pixels[i], pixels[i + 1]);
    const [rx, ry] = [residuals[i] / noisePx, residuals[i + 1] / noisePx];
    squares += rx ** 2 + ry ** 2;
    at.forEach((k, a) => {
      g[k] += (ofX[a] * rx + ofY[a] * ry) / noisePx;
      at.forEach((l, b) => {
        n[k * modelSize + l] += (ofX[a] * ofX[b] + ofY[a] * ofY[b]) / noisePx ** 2;
      });
    });
  }
  return { n, g, squares };
};

const remainderOf = (given: readonly PhotoResiduals[], noisePx: number): LensRemainder | null => {
  const parts = given.map((photo) => normalsOf(photo, noisePx));
  const priors = {
    n: new Float64Array(modelSize ** 2),
    g: new Float64Array(modelSize),
    squares: 0,
  };
  const found = lensRemainder(
    { photos: parts, priors, others: 0, lensAt: 0 },
    frameOf(frame, middle),
  );
  return found?.withDoubt(null) ?? null;
};

/** Standard deviation of what is not known there, px: modes and the rest. */
const doubtAt = (remainder: LensRemainder, x: number, y: number): number => {
  const rest = restAt(remainder, frame, x, y);
  const modes = (remainder.modes ?? []).map((mode) =>
    displacementAt({ ...remainder, ...mode }, frame, x, y),
  );
  return Math.sqrt(rest ** 2 + modes.reduce((sum, { dx, dy }) => sum + (dx ** 2 + dy ** 2) / 2, 0));
};

/** A radial ripple of four half waves to the corner, with a thin prism, px. */
const ripple = (x: number, y: number): readonly [number, number] => {
  const [u, v] = [x - 2015.5, y - 1511.5];
  const r = Math.hypot(u, v) / 2520;
  const along = (0.12 * Math.sin(4 * Math.PI * r) * r) / Math.max(r, 1e-9) / 2520;
  return [along * u + 0.05 * r * r, along * v];
};

/** Twelve photos of a sheet of 35 markers, spread over the frame. */
const photos = (
  c: Chance,
  noisePx: number,
  field: (x: number, y: number) => readonly [number, number],
): PhotoResiduals[] =>
  Array.from({ length: 12 }, () => {
    const pixels: number[] = [];
    const residuals: number[] = [];
    const [left, top] = [c.even(0, 1700), c.even(0, 1100)];
    for (let i = 0; i < 35; i++) {
      const x = left + (2300 * (i % 7)) / 6;
      const y = top + (1900 * Math.floor(i / 7)) / 4;
      const [dx, dy] = field(x, y);
      pixels.push(x, y);
      residuals.push(dx + c.normal(noisePx), dy + c.normal(noisePx));
    }
    return { pixels, residuals };
  });

/** The same displacement everywhere. */
const even = (dx: number, dy: number): LensRemainder => ({
  centre: [...middle],
  radialStepPx: 252,
  radialPx: new Array(13).fill(0),
  radialUnitPx: 2520,
  columns: 4,
  rows: 3,
  alongX: new Array(42).fill(dx),
  alongY: new Array(42).fill(dy),
  sdPx: new Array(20).fill(0),
});

describe("what the lens model leaves", () => {
  it("is found where photos share it, with a spread that holds", () => {
    let inside = 0;
    let count = 0;
    for (let seed = 1; seed <= 5; seed++) {
      const c = new Chance(seed);
      const found = remainderOf(photos(c, 0.015, ripple), 0.015);
      expect(found).not.toBeNull();
      let [before, after] = [0, 0];
      for (let i = 0; i < 200; i++) {
        const [x, y] = [c.even(300, 3700), c.even(300, 2700)];
        const [dx, dy] = ripple(x, y);
        const told = displacementAt(found!, frame, x, y);
        const sd = doubtAt(found!, x, y);
        before += dx * dx + dy * dy;
        after += (told.dx - dx) ** 2 + (told.dy - dy) ** 2;
        inside += [told.dx - dx, told.dy - dy].filter((e) => Math.abs(e) <= 1.96 * sd).length;
        count += 2;
      }
      expect(after).toBeLessThan(0.15 * before);
    }
    expect(inside / count).toBeGreaterThan(0.85);
  });

  it("is nothing where residuals are noise", () => {
    let found = 0;
    for (let seed = 1; seed <= 20; seed++)
      if (
        remainderOf(
          photos(new Chance(seed), 0.015, () => [0, 0]),
          0.015,
        )
      )
        found++;
    expect(found).toBe(0);
  });

  it("is nothing where every photo has a displacement of its own", () => {
    let found = 0;
    for (let seed = 1; seed <= 10; seed++) {
      const c = new Chance(seed);
      const own = photos(c, 0.01, () => [0, 0]).map(({ pixels, residuals }) => {
        const phase = c.even(0, 6);
        return {
          pixels,
          residuals: Float64Array.from(
            residuals,
            (v, i) => v + 0.05 * Math.sin(pixels[2 * (i >> 1)] / 400 + phase),
          ),
        };
      });
      if (remainderOf(own, 0.03)) found++;
    }
    expect(found).toBeLessThanOrEqual(1);
  });

  it("is taken off pixels, also of a smaller copy", () => {
    const remainder = even(0.3, -0.2);
    const same = withoutRemainder(remainder, frame, frame, Float64Array.of(100, 200));
    expect(same[0]).toBeCloseTo(99.7, 12);
    expect(same[1]).toBeCloseTo(200.2, 12);
    const half = { width: 2016, height: 1512 };
    const small = withoutRemainder(remainder, frame, half, Float64Array.of(100, 200));
    expect(small[0]).toBeCloseTo(99.85, 12);
    expect(small[1]).toBeCloseTo(200.1, 12);
  });

  it("is the same everywhere where all coefficients are, beyond the frame that of the rim", () => {
    for (const [x, y] of [
      [0, 0],
      [1234, 77],
      [9999, -50],
    ]) {
      const { dx, dy } = displacementAt(even(0.3, -0.2), frame, x, y);
      expect(dx).toBeCloseTo(0.3, 12);
      expect(dy).toBeCloseTo(-0.2, 12);
    }
  });

  it("points away from the centre in its radial part", () => {
    const radial = { ...even(0, 0), radialPx: new Array(13).fill(0.5) };
    const { dx, dy } = displacementAt(radial, frame, 2015.5 + 300, 1511.5 - 400);
    expect([dx, dy]).toEqual(
      [0.5 * (300 / 2520), -0.5 * (400 / 2520)].map((v) => expect.closeTo(v, 12)),
    );
  });
});

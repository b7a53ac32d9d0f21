import type { LumaImage } from "../photo/luma.ts";
import { crossingsPerSide, type PatternSteps, tileCount } from "./pattern-cells.ts";
import { type TileBlur, valueAtCrossing, valueInWindow, valueSlots } from "./pattern-value.ts";
import { rowPolynomial, type StraightPatch } from "./straight-patch.ts";
import { toneScale, toneTable } from "./tone.ts";

/**
 * Local unknowns of a tile, in the order of its sums: shift along u and v (cells), blur along u and
 * v (cells) and its correlation, two tone coefficients, sharpening, gain, offset; the residual comes
 * last.
 */
export const localUnknowns = 10;
const columns = localUnknowns + 1;
/** Products of the columns, lower triangle row by row; `productIndex(i, j)`, i >= j. */
export const productCount = (columns * (columns + 1)) / 2;
export const residualColumn = localUnknowns;
export const productIndex = (i: number, j: number): number => (i * (i + 1)) / 2 + j;

/** What the pixel loop needs to know about every tile. */
export interface TileState {
  readonly blurU: Float64Array;
  readonly blurV: Float64Array;
  readonly correlation: Float64Array;
  readonly softU: Float64Array;
  readonly softV: Float64Array;
  /** Light at the tile: offset and gain, each with slopes along u and v (6 per tile). */
  readonly light: Float64Array;
  /** Grey of black, and grey difference between white and black, at the tile. */
  readonly dark: Float64Array;
  readonly contrast: Float64Array;
  /** 0 leaves the tile out. */
  readonly weight: Float64Array;
}

export interface TileSums {
  /** productCount per tile. */
  readonly products: Float64Array;
  /** Pixels per tile. */
  readonly count: Float64Array;
}

export const newTileSums = (): TileSums => ({
  products: new Float64Array(tileCount * productCount),
  count: new Float64Array(tileCount),
});

export interface PassInput {
  readonly image: LumaImage;
  /** Region of the board in the photo: x0, y0, x1, y1 (inclusive). */
  readonly box: readonly [number, number, number, number];
  readonly patch: StraightPatch;
  /** Plane coordinates to grid units, last number 1. */
  readonly gridFromPlane: Float64Array;
  readonly steps: PatternSteps;
  readonly tiles: TileState;
  readonly tone1: number;
  readonly tone2: number;
  readonly sharpening: number;
  /** Use every n-th row, beginning with `firstRow`. */
  readonly rowStep: number;
  readonly firstRow: number;
}

/** Beyond this distance from a line, in standard deviations, a pixel says nothing about it. */
const edgeReach = 3.3;
const saturated = 254;

/**
 * One pass over the board's pixels: grey residuals and derivatives, summed up per tile. The
 * derivatives with respect to the board's unknowns follow from the tile's sums, which saves most of
 * the work per pixel. Model: g = T(offset + gain t(P)), grey = g + k (g - soft copy of g), with the
 * blurred print P, the sRGB curve T and t(P) = P + P (1 - P) (c1 + c2 (1 - 2 P)).
 */
export function runPass(input: PassInput, sums: TileSums): void {
  const { image, patch, gridFromPlane: m, steps, tiles, tone1, tone2, sharpening } = input;
  const [boxX0, boxY0, boxX1, boxY1] = input.box;
  const { data, width } = image;
  const { light, weight } = tiles;
  const { products, count } = sums;
  const { busy, lines } = steps;
  const pattern = steps.steps;
  const perTile = (lines + 1) * (lines + 1);
  const rowX = new Float64Array(6);
  const rowY = new Float64Array(6);
  const value = new Float64Array(valueSlots);
  const blur: TileBlur = { blurU: 1, blurV: 1, correlation: 0, softU: 1, softV: 1 };
  products.fill(0);
  count.fill(0);
  const inverseScale = 1 / patch.scale;
  const end = crossingsPerSide - 0.5;
  let tile = -1;
  for (let py = boxY0 + input.firstRow; py <= boxY1; py += input.rowStep) {
    const y = (py - patch.cy) * inverseScale;
    rowPolynomial(patch.forX, y, rowX);
    rowPolynomial(patch.forY, y, rowY);
    const line = py * width;
    for (let px = boxX0; px <= boxX1; px++) {
      const x = (px - patch.cx) * inverseScale;
      const planeX =
        rowX[0] + x * (rowX[1] + x * (rowX[2] + x * (rowX[3] + x * (rowX[4] + x * rowX[5]))));
      const planeY =
        rowY[0] + x * (rowY[1] + x * (rowY[2] + x * (rowY[3] + x * (rowY[4] + x * rowY[5]))));
      const w = 1 / (m[6] * planeX + m[7] * planeY + 1);
      const u = (m[0] * planeX + m[1] * planeY + m[2]) * w;
      const v = (m[3] * planeX + m[4] * planeY + m[5]) * w;
      if (!(u > -0.5 && v > -0.5 && u < end && v < end)) continue;
      const i = (u + 0.5) | 0;
      const j = (v + 0.5) | 0;
      const here = j * crossingsPerSide + i;
      if (weight[here] === 0 || busy[here] === 0) continue;
      if (here !== tile) {
        tile = here;
        blur.blurU = tiles.blurU[tile];
        blur.blurV = tiles.blurV[tile];
        blur.correlation = tiles.correlation[tile];
        blur.softU = tiles.softU[tile];
        blur.softV = tiles.softV[tile];
      }
      const du = u - i;
      const dv = v - j;
      if (lines === 1) {
        if (Math.abs(du) > edgeReach * blur.blurU && Math.abs(dv) > edgeReach * blur.blurV)
          continue;
        valueAtCrossing(pattern, tile * perTile, du, dv, blur, value);
      } else valueInWindow(pattern, tile * perTile, lines, du, dv, blur, value);
      const white = value[0];
      const bow = white * (1 - white);
      const tilt = 1 - 2 * white;
      const toned = white + bow * (tone1 + tone2 * tilt);
      const tonedSlope = 1 + tone1 * tilt + tone2 * (tilt * tilt - 2 * bow);
      const l = tile * 6;
      const gain = light[l + 3] + light[l + 4] * du + light[l + 5] * dv;
      const brightness = light[l] + light[l + 1] * du + light[l + 2] * dv + gain * toned;
      const at = brightness * toneScale;
      let grey: number;
      let greySlope: number;
      if (at > 0 && at < toneScale) {
        const k = at | 0;
        const f = at - k;
        grey = toneTable[2 * k] + f * (toneTable[2 * k + 2] - toneTable[2 * k]);
        greySlope = toneTable[2 * k + 1] + f * (toneTable[2 * k + 3] - toneTable[2 * k + 1]);
      } else {
        greySlope = at <= 0 ? toneTable[1] : toneTable[2 * toneScale + 1];
        grey = at <= 0 ? brightness * greySlope : 255 + (brightness - 1) * greySlope;
      }
      // Sharpening acts on grey values: k (grey - soft grey). The soft grey is the soft print, plus
      // the tone curve's bulge at the edge, whose area the softening keeps while it widens.
      const soft = value[6];
      const softBow = soft * (1 - soft);
      const softTilt = 1 - 2 * soft;
      const softToned = soft + softBow * (tone1 + tone2 * softTilt);
      const share = blur.blurU / blur.softU;
      const step = tiles.contrast[tile];
      const dark = tiles.dark[tile];
      const softLight = light[l] + light[l + 3] * softToned;
      let softAt = softLight * toneScale;
      if (softAt < 0) softAt = 0;
      else if (softAt > toneScale) softAt = toneScale;
      const s = softAt | 0;
      const curve = toneTable[2 * s] + (softAt - s) * (toneTable[2 * s + 2] - toneTable[2 * s]);
      const softGrey = (1 - share) * (dark + step * soft) + share * curve;
      const softSlope =
        (1 - share) * step +
        share *
          toneTable[2 * s + 1] *
          light[l + 3] *
          (1 + tone1 * softTilt + tone2 * (softTilt * softTilt - 2 * softBow));
      const byK = grey - softGrey;
      greySlope *= 1 + sharpening;
      grey += sharpening * byK;
      const seen = data[line + px];
      if (seen >= saturated && grey >= saturated) continue;
      if (seen <= 1 && grey <= 1) continue;
      const sharp = sharpening * softSlope;
      const slope = greySlope * gain * tonedSlope;
      const byTone = greySlope * gain * bow;
      count[tile]++;
      addProducts(
        products,
        tile * productCount,
        slope * value[1] - sharp * value[7],
        slope * value[2] - sharp * value[8],
        slope * value[3],
        slope * value[4],
        slope * value[5],
        byTone,
        byTone * tilt,
        byK,
        greySlope * toned,
        greySlope,
        seen - grey,
      );
    }
  }
}

/** Adds the lower triangle of the outer product of eleven numbers; written out for speed. */
function addProducts(
  p: Float64Array,
  at: number,
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
  g: number,
  h: number,
  i: number,
  j: number,
  r: number,
): void {
  let o = at;
  p[o++] += a * a;
  p[o++] += b * a;
  p[o++] += b * b;
  p[o++] += c * a;
  p[o++] += c * b;
  p[o++] += c * c;
  p[o++] += d * a;
  p[o++] += d * b;
  p[o++] += d * c;
  p[o++] += d * d;
  p[o++] += e * a;
  p[o++] += e * b;
  p[o++] += e * c;
  p[o++] += e * d;
  p[o++] += e * e;
  p[o++] += f * a;
  p[o++] += f * b;
  p[o++] += f * c;
  p[o++] += f * d;
  p[o++] += f * e;
  p[o++] += f * f;
  p[o++] += g * a;
  p[o++] += g * b;
  p[o++] += g * c;
  p[o++] += g * d;
  p[o++] += g * e;
  p[o++] += g * f;
  p[o++] += g * g;
  p[o++] += h * a;
  p[o++] += h * b;
  p[o++] += h * c;
  p[o++] += h * d;
  p[o++] += h * e;
  p[o++] += h * f;
  p[o++] += h * g;
  p[o++] += h * h;
  p[o++] += i * a;
  p[o++] += i * b;
  p[o++] += i * c;
  p[o++] += i * d;
  p[o++] += i * e;
  p[o++] += i * f;
  p[o++] += i * g;
  p[o++] += i * h;
  p[o++] += i * i;
  p[o++] += j * a;
  p[o++] += j * b;
  p[o++] += j * c;
  p[o++] += j * d;
  p[o++] += j * e;
  p[o++] += j * f;
  p[o++] += j * g;
  p[o++] += j * h;
  p[o++] += j * i;
  p[o++] += j * j;
  p[o++] += r * a;
  p[o++] += r * b;
  p[o++] += r * c;
  p[o++] += r * d;
  p[o++] += r * e;
  p[o++] += r * f;
  p[o++] += r * g;
  p[o++] += r * h;
  p[o++] += r * i;
  p[o++] += r * j;
  p[o] += r * r;
}

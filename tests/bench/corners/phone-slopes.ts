import type { Scene } from "../../tools/render-board.ts";
import type { GreySlopes } from "./bound.ts";
import { greyOf } from "./develop.ts";
import { coloursOf, type Optics } from "./optics.ts";
import type { PhoneEffect } from "./phone-conditions.ts";

/** Samples a pixel in each direction: a bound needs one per cent, and eight would take six times as long. */
const samples = 4;
/** Half a sample, px. */
const step = 1 / 8;
const lightStep = 1e-3;
/** Pairs of rays: the bound needs no picture without grain. */
const pairs = 48;

/** Slopes of a phone's grey picture before noise, by pictures that are shifted or changed a little. */
export function phoneSlopes(whole: Scene, { optics, development }: PhoneEffect): GreySlopes {
  const scene = { ...whole, samples };
  const { tone } = development;
  const grey = (shift: [number, number], change: Partial<Optics> = {}) =>
    greyOf(coloursOf(scene, { ...optics, ...change }, shift, pairs), tone);
  const difference = (up: Float64Array, down: Float64Array, over: number) =>
    up.map((g, i) => (g - down[i]) / over);
  const light = coloursOf(scene, optics, [0, 0], pairs);
  const lit = (change: (x: number) => number) =>
    greyOf(
      light.map((plane) => plane.map(change)),
      tone,
    );
  return {
    alongX: difference(grey([step, 0]), grey([-step, 0]), 2 * step),
    alongY: difference(grey([0, step]), grey([0, -step]), 2 * step),
    nuisances: [
      difference(
        lit((x) => x * (1 + lightStep)),
        lit((x) => x * (1 - lightStep)),
        2 * lightStep,
      ),
      difference(
        lit((x) => x + lightStep),
        lit((x) => x - lightStep),
        2 * lightStep,
      ),
      difference(
        grey([0, 0], { blurPx: optics.blurPx + 0.05 }),
        grey([0, 0], { blurPx: optics.blurPx - 0.05 }),
        0.1,
      ),
    ],
  };
}

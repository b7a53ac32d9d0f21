/** A random phone in a random hand. */
import { drawHolding, type Holding } from "./hand.ts";
import { drawLens } from "./lens.ts";
import type { Chance } from "./maths.ts";
import { phoneRanges as ranges } from "./ranges.ts";
import type { Phone } from "./shots.ts";

export interface PhoneOptions {
  /** How the phone is held, instead of a hand drawn at random. */
  readonly holding?: Holding;
  /** Read-out time, s: 0 is a global shutter. */
  readonly readoutS?: number;
  /** No lens stabilisation, whatever was drawn. */
  readonly unstabilised?: boolean;
}

export const drawPhone = (c: Chance, options: PhoneOptions = {}): Phone => {
  const lens = drawLens(c);
  const readoutS = c.even(...ranges.readoutS);
  const stabilised = c.even() < ranges.stabilisedShare;
  const stabilisation = c.even(...ranges.stabilisation);
  const restShiftSdPx = c.even(...ranges.restShiftSdPx);
  const holding = drawHolding(c);
  return {
    lens,
    readoutS: options.readoutS ?? readoutS,
    stabilisation: stabilised && !options.unstabilised ? stabilisation : 0,
    restShiftSdPx: stabilised ? restShiftSdPx : restShiftSdPx / 5,
    holding: options.holding ?? holding,
  };
};

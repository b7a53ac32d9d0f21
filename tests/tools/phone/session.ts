/**
 * One whole session at random: a bay, a phone, its photos of sheet and bay, and photos after the run
 * with the stand knocked. The same seed gives the same session on every machine.
 */
import { drawBay, type TrueBay, type TruePrint, withStandMoved } from "./bay.ts";
import { onTripod } from "./hand.ts";
import { Chance, type V3 } from "./maths.ts";
import { drawPhone, type PhoneOptions } from "./phone.ts";
import { bayShots, type Phone, type Shot, sheetShots, shotsAfter } from "./shots.ts";

/** Parts of the physics that can be left out, to see what each of them does. */
export const parts = ["motion", "stretch", "bend", "lens", "focus"] as const;
export type Part = (typeof parts)[number];

export interface SessionOptions extends PhoneOptions {
  readonly without?: readonly Part[];
  readonly sheetPhotos?: number;
  /** How far the stand is knocked before the photos after the run, mm; 0 = not. */
  readonly bumpMm?: number;
  /** The bay is photographed with another phone than the sheet. */
  readonly otherPhone?: boolean;
  /** Two phones work on the bay: every other photo is the second one's, which has sheet photos, too. */
  readonly secondPhone?: boolean;
}

export interface Session {
  readonly seed: number;
  readonly bay: TrueBay;
  /** The bay as it stands when the photos after the run are taken. */
  readonly bayAfter: TrueBay;
  readonly bump: V3;
  readonly phone: Phone;
  readonly sheet: readonly Shot[];
  /** Sheet photos of the second phone; none where there is one phone only. */
  readonly secondSheet: readonly Shot[];
  readonly photos: readonly Shot[];
  readonly after: readonly Shot[];
}

const usualBumpMm = 2;

/** Prints without stretch or bend: both scales become their mean. */
const plainPrints = (bay: TrueBay, without: ReadonlySet<Part>): TrueBay => {
  const plain = <P extends TruePrint>(print: P): P => {
    const cell = (print.cellX + print.cellY) / 2;
    return {
      ...print,
      ...(without.has("stretch") ? { cellX: cell, cellY: cell } : {}),
      ...(without.has("bend") ? { curvature: 0 } : {}),
    };
  };
  const bar = (bay.bars.across + bay.bars.along) / 2;
  return {
    ...bay,
    boards: bay.boards.map(plain),
    sheet: plain(bay.sheet),
    bars: without.has("stretch") ? { across: bar, along: bar } : bay.bars,
  };
};

/** A phone that does less than a real one: held still, a Brown lens, the same at every focus. */
const plainPhone = (phone: Phone, without: ReadonlySet<Part>): Phone => ({
  ...phone,
  ...(without.has("motion") ? { holding: onTripod, readoutS: 0, stabilisation: 0 } : {}),
  lens: {
    ...phone.lens,
    ...(without.has("lens") ? { ripplePx: 0, prismPx: [0, 0] } : {}),
    ...(without.has("focus") ? { focusDistortion: 0 } : {}),
  },
});

/** Each part draws from a stream of its own, so that an option changes nothing but its own part. */
export const drawSession = (seed: number, options: SessionOptions = {}): Session => {
  const without = new Set(options.without ?? []);
  const bay = plainPrints(drawBay(new Chance(seed, 1)), without);
  const phone = plainPhone(drawPhone(new Chance(seed, 2), options), without);
  const user = options.otherPhone
    ? plainPhone(drawPhone(new Chance(seed, 12), options), without)
    : phone;
  const second = options.secondPhone
    ? plainPhone(drawPhone(new Chance(seed, 22), options), without)
    : null;
  const inTurn = (shots: (phone: Phone) => Shot[]): Shot[] => {
    if (!second) return shots(user);
    const others = shots(second);
    return shots(user).map((shot, i) => (i % 2 === 0 ? shot : (others[i] ?? shot)));
  };
  const knock = new Chance(seed, 3);
  const towards = knock.even(0, 2 * Math.PI);
  const length = options.bumpMm ?? usualBumpMm;
  const bump: V3 = [length * Math.cos(towards), length * Math.sin(towards), 0];
  const bayAfter = withStandMoved(bay, bump);
  return {
    seed,
    bay,
    bayAfter,
    bump,
    phone,
    sheet: sheetShots(phone, options.sheetPhotos ?? 12, new Chance(seed, 4)),
    secondSheet: second ? sheetShots(second, options.sheetPhotos ?? 12, new Chance(seed, 24)) : [],
    photos: inTurn((phone) => bayShots(bay, phone, new Chance(seed, 5))),
    after: inTurn((phone) => shotsAfter(bayAfter, phone, new Chance(seed, 6))),
  };
};

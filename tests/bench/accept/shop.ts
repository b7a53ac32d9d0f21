/**
 * A simulated shop puts its phone to the test: boards in a volume of 2 x 2 x 1.5 m, lengths measured by
 * hand with instruments that err within their papers, two or three rounds of photos, and perhaps one
 * fault. Phones, prints, hands and lenses are those of tests/tools/phone.
 */
import { drawBay, type TrueBay, type TrueBoard } from "../../tools/phone/bay.ts";
import { drawHand } from "../../tools/phone/hand.ts";
import {
  after,
  Chance,
  fromAxes,
  minus,
  outer,
  plus,
  type Rigid,
  rad,
  size,
  turn,
  type V3,
} from "../../tools/phone/maths.ts";
import { drawPhone } from "../../tools/phone/phone.ts";
import { phoneRanges, photoRanges, printRanges } from "../../tools/phone/ranges.ts";
import { lookingAt, type Phone, type Shot, sheetShots } from "../../tools/phone/shots.ts";

export const faults = [
  "none",
  "phone: sheet taken with another one",
  "phone: shaken hard",
  "phone: zoom drifts",
  "print: bar misread",
  "print: one board of another printer",
  "tape: hook worn",
  "tape: stretched",
  "tape: one reading mistyped",
] as const;
export type Fault = (typeof faults)[number];

export interface Shop {
  readonly seed: number;
  readonly fault: Fault;
  readonly bay: TrueBay;
  readonly rounds: readonly {
    readonly name: string;
    readonly phone: string;
    readonly person: string;
    readonly sheet: readonly Shot[];
    readonly photos: readonly Shot[];
  }[];
  /** acceptance.json of this shop. */
  readonly file: Record<string, unknown>;
  trueLength(from: number, to: number): number;
}

const uprightAt = (facing: number, lean: number): Rigid["q"] => {
  const z: V3 = [Math.cos(facing), Math.sin(facing), 0];
  const y: V3 = [0, 0, 1];
  return after(fromAxes(outer(y, z), y), turn([-lean, 0, 0]));
};
const flat = (c: Chance, spin: number): Rigid["q"] =>
  after(turn([c.normal(rad(0.3)), c.normal(rad(0.3)), 0]), turn([0, 0, rad(spin)]));

/** Half sides of the volume and its height, mm. */
const half = 1000;
const height = 1500;
/** Ids, places: floor, then bar ends and stand boards up to the volume's top. */
const onFloor: readonly (readonly [number, number, number])[] = [
  [11, -half, -half],
  [12, half, -half],
  [13, half, half],
  [14, -half, half],
  [15, 0, -0.9 * half],
  [16, 0.9 * half, 0],
  [17, 0, 0.9 * half],
  [18, -0.9 * half, 0],
];
/** Upright boards look to the middle and a little down. */
const uprights: readonly (readonly [number, number, number, number])[] = [
  [31, -half, -half, height],
  [32, half, half, height],
  [33, half, -half, height],
  [34, -half, half, height],
];
/** Ends of two bars that lie on trestles, boards up: a board's bulge then is not along the bar. */
const barEnds: readonly (readonly [number, number, number, number])[] = [
  [51, -half, -300, 650],
  [52, half, -250, 650],
  [53, -300, half, 750],
  [54, -250, -half, 750],
];

/** Two calibrated bars give the scale; the rest is tested. */
const scalePairs = [
  [51, 52],
  [53, 54],
] as const;
const tapePairs = [
  [11, 12],
  [12, 13],
  [11, 13],
  [12, 14],
  [15, 17],
  [11, 15],
  [16, 13],
  [11, 31],
  [13, 32],
] as const;
const secondPairs = [
  [31, 13],
  [33, 14],
  [34, 12],
  [16, 18],
] as const;

const layOut = (seed: number): TrueBay => {
  const c = new Chance(seed, 21);
  const bay = drawBay(new Chance(seed, 1));
  const prints = bay.boards;
  const shaken = (place: V3, sd: number): V3 => plus(place, [c.normal(sd), c.normal(sd), 0]);
  let next = 0;
  const board = (id: number, role: TrueBoard["role"], worldFromBoard: Rigid): TrueBoard => ({
    ...prints[next++],
    id,
    role,
    worldFromBoard,
  });
  const boards = [
    ...onFloor.map(([id, x, y]) => {
      const p = plus(shaken([x, y, 0], 40), [0, 0, c.normal(0.5)]);
      return board(id, "floor", { q: flat(c, c.even(0, 360)), p });
    }),
    ...uprights.map(([id, x, y, z]) => {
      const facing = Math.atan2(-y, -x) + c.normal(rad(8));
      return board(id, "stand", {
        q: uprightAt(facing, rad(-12 + c.normal(4))),
        p: shaken([x, y, z], 40),
      });
    }),
  ];
  for (const [id, x, y, z] of barEnds)
    boards.push(board(id, "stand", { q: flat(c, c.even(0, 360)), p: shaken([x, y, z], 40) }));
  // Nobody stands in the way: a body without extent, far off.
  const far: V3 = [1e6, 1e6, 1e6];
  return { ...bay, boards, body: { low: far, high: far }, lengths: [] };
};

const usualShots = 14;

/** Around the volume, high and low, aiming near its middle; every fourth photo is turned upright. */
const shotsOf = (phone: Phone, name: string, fault: Fault, c: Chance, count: number): Shot[] =>
  Array.from({ length: count }, (_, i) => {
    const angle = (2 * Math.PI * (i + c.even(-0.3, 0.3))) / count;
    const radius = c.even(2500, 3000);
    const from: V3 = [radius * Math.cos(angle), radius * Math.sin(angle), c.even(1300, 2000)];
    const at: V3 = [c.normal(150), c.normal(150), c.even(350, 650)];
    const roll = rad((i % 4 === 3 ? 90 : 0) + c.normal(2.5));
    const dioptres = 1000 / size(minus(at, from)) + c.normal(photoRanges.focusErrorSd);
    return {
      name: `${name}-${String(i + 1).padStart(2, "0")}.jpg`,
      worldFromCamera: lookingAt(from, at, roll),
      hand: drawHand(phone.holding, c),
      state: {
        focusMm: 1000 / Math.max(0.05, dioptres),
        focalError: c.normal(
          fault === "phone: zoom drifts" ? zoomDrift : phoneRanges.focalRepeatSd,
        ),
        rest: [c.normal(phone.restShiftSdPx), c.normal(phone.restShiftSdPx)] as const,
      },
      exposureS: c.even(...photoRanges.exposureS),
      phone,
    };
  });

/** A tape of class I without hook error: within 0.1 + 0.1 mm for each begun metre (OIML R 35-1). */
const tapeReader = (c: Chance, fault: Fault) => {
  const used = c.even(-1, 1);
  const zero = fault === "tape: hook worn" ? 1.5 : 0;
  const stretch = fault === "tape: stretched" ? 0.001 : 0;
  return (mm: number): number => {
    const limit = 0.1 + 0.1 * Math.ceil(mm / 1000);
    return mm - used * limit - zero - stretch * mm;
  };
};

const readingSdMm = 0.4;
const barSdMm = 0.03;

const statedLengths = (bay: TrueBay, fault: Fault, c: Chance) => {
  const place = (id: number): V3 => bay.boards.find((b) => b.id === id)!.worldFromBoard.p;
  const truth = (from: number, to: number): number => size(minus(place(from), place(to)));
  const tape = tapeReader(c, fault);
  const laserZero = c.normal(0.4);
  const read = (mm: number, instrument: string) => ({
    instrument,
    readingSdMm: instrument === "bars" ? 0.01 : readingSdMm,
    readingsMm: Array.from(
      { length: 3 },
      () => Math.round(10 * (mm + c.normal(instrument === "bars" ? 0 : readingSdMm))) / 10,
    ),
  });
  const scale = scalePairs.map(([from, to]) => ({
    from,
    to,
    instrument: "bars",
    readingSdMm: 0.01,
    readingsMm: [truth(from, to) + c.normal(barSdMm)],
  }));
  const wrong = c.whole(0, tapePairs.length - 1);
  const lengths = [
    ...tapePairs.map(([from, to], i) => {
      const slip = fault === "tape: one reading mistyped" && i === wrong ? 10 : 0;
      const length = read(tape(truth(from, to)), "tape");
      return { from, to, ...length, readingsMm: length.readingsMm.map((mm) => mm + slip) };
    }),
    ...secondPairs.map(([from, to]) => ({
      from,
      to,
      ...read(truth(from, to) + laserZero, "laser"),
    })),
  ];
  return { scale, lengths, truth };
};

const withPrintFault = (bay: TrueBay, fault: Fault, c: Chance): TrueBay => {
  if (fault !== "print: one board of another printer") return bay;
  const odd = c.whole(0, bay.boards.length - 1);
  const scale = 1 + (c.even() < 0.5 ? -1 : 1) * c.even(0.004, 0.01);
  return {
    ...bay,
    boards: bay.boards.map((board, i) =>
      i === odd ? { ...board, cellX: board.cellX * scale, cellY: board.cellY * scale } : board,
    ),
  };
};

/** Each photo has a focal length of its own, by some percent. */
const zoomDrift = 0.02;

const shakenHard = (phone: Phone, fault: Fault): Phone => {
  if (fault !== "phone: shaken hard") return phone;
  const scaled = Object.fromEntries(
    Object.entries(phone.holding).map(([name, value]) => [
      name,
      typeof value === "number" && !name.endsWith("Hz") ? value * 12 : value,
    ]),
  );
  return { ...phone, holding: scaled as unknown as Phone["holding"] };
};

export const drawShop = (seed: number, fault: Fault, shots = usualShots): Shop => {
  const c = new Chance(seed, 22);
  const bay = withPrintFault(layOut(seed), fault, c);
  const phones = [drawPhone(new Chance(seed, 2)), drawPhone(new Chance(seed, 13))];
  const two = c.even() < 0.25;
  const rounds = ["round 1", "round 2", ...(two ? ["second phone"] : [])].map((name, i) => {
    const at = i === 2 ? 1 : 0;
    const phone = shakenHard(phones[at], fault);
    const ofSheet =
      fault === "phone: sheet taken with another one" ? pretending(seed, phone) : phone;
    return {
      name,
      phone: `phone ${at + 1}`,
      person: `person ${at + 1}`,
      sheet: sheetShots(ofSheet, 12, new Chance(seed, 40 + at)),
      photos: shotsOf(phone, name.replace(" ", "-"), fault, new Chance(seed, 50 + i), shots),
    };
  });
  const { scale, lengths, truth } = statedLengths(bay, fault, c);
  const misread = fault === "print: bar misread" ? 1.5 : 0;
  const file = {
    format: "plumbshot-acceptance",
    version: 1,
    title: `Simulated shop ${seed}`,
    invented: true,
    boards: {
      cellMm: 13,
      printCheck: {
        horizontal: { nominalMm: 200, readingMm: bay.bars.across + misread },
        vertical: { nominalMm: 200, readingMm: bay.bars.along + misread },
        readingSdMm: printRanges.readingSdMm,
      },
    },
    floorUnevennessMm: 0.5,
    bayTemperatureC: 20,
    instruments: [
      { kind: "steel tape", name: "tape", class: "I", fromHook: false },
      { kind: "laser meter", name: "laser", withinMm: 1 },
      { kind: "calibrated length", name: "bars", expandedMm: 2 * barSdMm },
    ],
    // Who trusts a misread bar measured no length: the prints alone carry the scale.
    scale: fault === "print: bar misread" ? [] : scale,
    lengths,
    rounds: rounds.map(({ name, phone, person }) => ({
      name,
      photos: name,
      camera: phone,
      phone,
      person,
    })),
  };
  return { seed, fault, bay, rounds, file, trueLength: truth };
};

/** Another phone of the same model, by its papers: the lens is 0.6 % longer. */
const pretending = (seed: number, phone: Phone): Phone => {
  const c = new Chance(seed, 23);
  const { lens } = phone;
  return {
    ...phone,
    lens: { ...lens, focalPx: lens.focalPx * (1 + (c.even() < 0.5 ? -0.006 : 0.006)) },
  };
};

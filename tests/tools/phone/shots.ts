/**
 * Where a person stands and what he aims at: photos of the bay, photos after the run, photos of the
 * camera sheet; and what the phone does in each (focus, exposure, motion).
 */
import { boardPlaces, bodyHides, type TrueBay, type TrueBoard } from "./bay.ts";
import { drawHand, type Hand, type Holding, poseAt } from "./hand.ts";
import { cornerRadius, fieldOfViewDeg, type LensState, seenAt, type TrueLens } from "./lens.ts";
import {
  after,
  apply,
  axisOf,
  type Chance,
  direction,
  fromAxes,
  inner,
  inverse,
  minus,
  outer,
  plus,
  type Rigid,
  rad,
  size,
  turn,
  type V3,
} from "./maths.ts";
import { bayRanges, phoneRanges, photoRanges } from "./ranges.ts";

export interface Phone {
  readonly lens: TrueLens;
  readonly readoutS: number;
  /** Share of the hand's turn that the stabilised lens takes away; 0 without one. */
  readonly stabilisation: number;
  readonly restShiftSdPx: number;
  readonly holding: Holding;
}

/** One photo about to be rendered: everything but what is in front of the camera. */
export interface Shot {
  readonly name: string;
  readonly worldFromCamera: Rigid;
  readonly hand: Hand;
  readonly state: LensState;
  readonly exposureS: number;
  readonly phone: Phone;
}

/** Time of a row of the stored picture, s; 0 in the middle. */
export const timeOfRow = ({ phone }: Shot, row: number): number =>
  (row / (phone.lens.height - 1) - 0.5) * phone.readoutS;

/**
 * Shift of the picture by the stabilised lens at time t, px: it works against the turns about the
 * camera's x and y axes, as a shift of the whole picture.
 */
export const stabilisedShift = (shot: Shot, turned: V3): [number, number] => {
  const { stabilisation, lens } = shot.phone;
  // A camera turned by w about y sees the scene move by -f w along x; about x, by +f w along y.
  return [stabilisation * lens.focalPx * turned[1], -stabilisation * lens.focalPx * turned[0]];
};

/** Camera at a place, looking at another, rolled about the line of sight (rad). */
export const lookingAt = (from: V3, at: V3, roll: number): Rigid => {
  const z = direction(minus(at, from));
  const x = direction(outer(z, [0, 0, 1]));
  const level = fromAxes(x, outer(z, x));
  return { q: after(level, turn([0, 0, roll])), p: from };
};

/** Stations: place, what is aimed at, roll in degrees. Lengths mm for a wheelbase of 2600. */
const stations: readonly (readonly [V3, V3, number])[] = [
  [[660, 3480, 1640], [300, 1100, 300], 0],
  [[-1250, 3560, 1740], [-1330, 920, 300], 0],
  [[-3390, 3130, 1480], [-2510, 1270, 300], 90],
  [[-4570, 2900, 1640], [-3050, 1190, 300], 0],
  [[-5540, 210, 1900], [-3580, 70, 300], 0],
  [[-4640, -2780, 1600], [-2970, -1020, 300], 0],
  [[-3150, -3280, 1490], [-2490, -1240, 300], 0],
  [[-1310, -3630, 1740], [-1280, -920, 300], 0],
  [[710, -3480, 1640], [300, -1180, 300], 0],
  [[2300, -3100, 1620], [500, -450, 300], 0],
  [[2300, 3100, 1660], [500, 450, 300], 0],
  [[260, 2360, 1580], [2400, -130, 600], 0],
  [[140, -2440, 1710], [2400, 130, 600], 0],
  [[870, 1490, 1660], [2550, -200, 600], 0],
  [[-600, -2950, 1760], [1450, -250, 500], 0],
  [[-700, 2950, 1740], [1450, 250, 500], 0],
];

/** Six of them show stand and wheels of both sides, and hang together. */
const stationsAfter = [11, 12, 14, 15, 0, 8];

/** A photo of the bay needs so many boards to be worth taking. */
const fewestBoards = 3;

const shotAt = (
  name: string,
  worldFromCamera: Rigid,
  aimedMm: number,
  phone: Phone,
  c: Chance,
): Shot => {
  const dioptres = 1000 / aimedMm + c.normal(photoRanges.focusErrorSd);
  const rest = [c.normal(phone.restShiftSdPx), c.normal(phone.restShiftSdPx)] as const;
  return {
    name,
    worldFromCamera,
    hand: drawHand(phone.holding, c),
    state: {
      focusMm: 1000 / Math.max(0.05, dioptres),
      focalError: c.normal(phoneRanges.focalRepeatSd),
      rest,
    },
    exposureS: c.even(...photoRanges.exposureS),
    phone,
  };
};

const bayShot = (bay: TrueBay, phone: Phone, station: number, name: string, c: Chance): Shot => {
  const [from, at, roll] = stations[station];
  const scaled = ([x, y, z]: V3): V3 => {
    // Behind the front axle lengths go with the wheelbase, ahead of it with the stand's distance.
    const along = x < 0 ? (x * bay.wheelbaseMm) / 2600 : (x * bay.aheadMm) / 2500;
    return [along, y, z];
  };
  const sd = bayRanges.stationSdMm;
  const shaken = (p: V3): V3 => plus(p, [c.normal(sd), c.normal(sd), c.normal(sd / 2)]);
  const place = shaken(scaled(from));
  const aim = shaken(scaled(at));
  const pose = lookingAt(place, aim, rad(roll + c.normal(2.5)));
  return shotAt(name, pose, size(minus(aim, place)), phone, c);
};

const numbered = (stem: string, i: number): string =>
  `${stem}-${String(i + 1).padStart(2, "0")}.jpg`;

const shotsAt = (
  bay: TrueBay,
  phone: Phone,
  places: readonly number[],
  stem: string,
  c: Chance,
): Shot[] =>
  places.map((station, i) => {
    for (let tries = 0; ; tries++) {
      const shot = bayShot(bay, phone, station, numbered(stem, i), c);
      if (tries > 20 || visibleBoards(bay, shot).length >= fewestBoards) return shot;
    }
  });

export const bayShots = (bay: TrueBay, phone: Phone, c: Chance): Shot[] =>
  shotsAt(
    bay,
    phone,
    stations.map((_, i) => i),
    "bay",
    c,
  );

export const shotsAfter = (bay: TrueBay, phone: Phone, c: Chance): Shot[] =>
  shotsAt(bay, phone, stationsAfter, "after", c);

/** World of the sheet photos: the sheet's own frame. */
export const sheetShots = (phone: Phone, count: number, c: Chance): Shot[] =>
  Array.from({ length: count }, (_, i) => {
    const tilt = rad(i % 7 === 0 ? c.even(3, 10) : c.even(22, 45));
    const towards = rad(i * 77 + c.even(-20, 20));
    const distance = c.even(330, 480);
    const spin = rad(([0, 90, 180, 270][(3 * i) % 4] ?? 0) + c.even(-12, 12));
    const corner = sheetCorners[i % sheetCorners.length];
    const half = Math.tan(rad(fieldOfViewDeg(phone.lens) / 2));
    // The sheet in the camera's frame: face towards the camera, spun, tilted, put off centre.
    const faceOn = fromAxes([1, 0, 0], [0, -1, 0]);
    const tilted = after(turn([tilt * Math.cos(towards), tilt * Math.sin(towards), 0]), faceOn);
    const cameraFromSheet: Rigid = {
      q: after(tilted, turn([0, 0, spin])),
      p: [
        (corner[0] + c.even(-0.06, 0.06)) * half * distance,
        (corner[1] + c.even(-0.06, 0.06)) * half * 0.75 * distance,
        distance,
      ],
    };
    const name = numbered("sheet", i);
    return shotAt(name, inverse(cameraFromSheet), distance * c.even(0.97, 1.03), phone, c);
  });

/** Where the sheet's middle is put in the frame, share of half its width and height. */
const sheetCorners = [
  [0, 0],
  [-0.5, -0.45],
  [0.5, -0.45],
  [0.5, 0.45],
  [-0.5, 0.45],
  [0, 0.1],
  [0.1, 0],
] as const;

/** A board seen flatter than this is no use. */
const flattest = Math.cos(rad(70));
const marginPx = 14;
/** No line of sight beyond this share of the corner's field angle (its tangent) is in the frame. */
const widestField = 1.15;

/** Boards that a photo shows whole: inside the frame, turned towards it, not behind the car. */
export const visibleBoards = (bay: TrueBay, shot: Shot): TrueBoard[] => {
  const cameraFromWorld = inverse(shot.worldFromCamera);
  const eye = shot.worldFromCamera.p;
  const { lens } = shot.phone;
  return bay.boards.filter((board) => {
    const sight = direction(minus(eye, board.worldFromBoard.p));
    if (inner(axisOf(board.worldFromBoard.q, 2), sight) < flattest) return false;
    return boardPlaces(board).every((place) => {
      const [x, y, z] = apply(cameraFromWorld, place);
      // Far outside the field the lens's polynomial folds back into the frame.
      if (z < 100 || Math.hypot(x, y) > widestField * cornerRadius(lens) * z) return false;
      const [u, v] = seenAt(lens, shot.state, x / z, y / z);
      const inside =
        u > marginPx &&
        v > marginPx &&
        u < lens.width - 1 - marginPx &&
        v < lens.height - 1 - marginPx;
      return inside && !bodyHides(bay, eye, place);
    });
  });
};

/** Pose of the camera while a row is read. */
export const cameraAtRow = (shot: Shot, row: number): Rigid =>
  poseAt(shot.worldFromCamera, shot.hand, timeOfRow(shot, row));

/**
 * A random invented bay: car, wheel boards, floor boards, stand with target, all prints with their
 * stretch and bend. The world is an ISO 8855 vehicle frame, nearly: x ahead, y left, z up, floor
 * z = 0; the car stands a little askew in it, so that nothing is zero by construction.
 */
import {
  after,
  apply,
  axisOf,
  type Chance,
  chain,
  fromAxes,
  inner,
  minus,
  outer,
  plus,
  type Rigid,
  rad,
  rotate,
  size,
  times,
  turn,
  type V3,
} from "./maths.ts";
import { bayRanges, printRanges } from "./ranges.ts";

/** One printed page as it really is. */
export interface TruePrint {
  /** Tag id of a board, or "sheet". */
  readonly id: number | "sheet";
  /** Sides of one cell (of the sheet: of one square), mm. */
  readonly cellX: number;
  readonly cellY: number;
  /** Bend: z = curvature s^2 / 2 with s the distance from the centre along `bendAngle`, 1/mm, rad. */
  readonly curvature: number;
  readonly bendAngle: number;
  /** Reflectance of toner and paper. */
  readonly black: number;
  readonly white: number;
}

export type BoardRole = "wheel" | "floor" | "stand";

export interface TrueBoard extends TruePrint {
  readonly id: number;
  readonly role: BoardRole;
  readonly worldFromBoard: Rigid;
}

export interface TakenLength {
  readonly from: number;
  readonly to: number;
  readonly lengthMm: number;
}

export interface TaughtBoard {
  readonly board: number;
  readonly centreMm: V3;
  /** Degrees about x, y, z: R = Rx Ry Rz. */
  readonly turnDeg: V3;
}

export interface TrueBay {
  readonly boards: readonly TrueBoard[];
  readonly sheet: TruePrint;
  readonly worldFromTarget: Rigid;
  readonly taught: readonly TaughtBoard[];
  readonly standOffMm: number;
  /** What the ruler says on the 200 mm bars, across and along the page. */
  readonly bars: { readonly across: number; readonly along: number };
  readonly lengths: readonly TakenLength[];
  /** The car's body as a box in the world, which hides what is behind it. */
  readonly body: { readonly low: V3; readonly high: V3 };
  readonly wheelbaseMm: number;
  readonly aheadMm: number;
}

export const cellMm = 13;
export const squareMm = 25;
const barMm = 200;
const cellsAcross = 14;

export const wheelIds = [1, 2, 3, 4] as const;
export const standIds = [31, 32] as const;

const drawPrints = (c: Chance) => {
  const common = 1 + c.normal(printRanges.scaleSd);
  const stretch = c.normal(printRanges.stretchSd);
  const across = common * (1 + stretch / 2);
  const along = common * (1 - stretch / 2);
  const tone = () => ({
    black: c.even(...printRanges.black),
    white: c.even(...printRanges.white),
  });
  const board = (id: number) => {
    const own = 1 + c.normal(printRanges.ownScaleSd);
    const width = cellsAcross * cellMm;
    return {
      id,
      cellX: cellMm * across * own,
      cellY: cellMm * along * own,
      curvature: (8 * c.normal(printRanges.bulgeSdMm)) / width ** 2,
      bendAngle: c.even(0, Math.PI),
      ...tone(),
    };
  };
  const sheet: TruePrint = {
    id: "sheet",
    cellX: squareMm * across,
    cellY: squareMm * along,
    curvature: (8 * c.normal(printRanges.sheetBulgeSdMm)) / 250 ** 2,
    bendAngle: Math.PI / 2 + c.normal(0.2),
    ...tone(),
  };
  const bars = {
    across: barMm * across + c.normal(printRanges.readingSdMm),
    along: barMm * along + c.normal(printRanges.readingSdMm),
  };
  return { board, sheet, bars };
};

/** A board standing upright that faces `facing` (horizontal angle, rad), leaning and spun. */
const upright = (facing: number, lean: number, spin: number): Rigid["q"] => {
  const z: V3 = [Math.cos(facing), Math.sin(facing), 0];
  const y: V3 = [0, 0, 1];
  const faceOn = fromAxes(outer(y, z), y);
  return after(after(faceOn, turn([-lean, 0, 0])), turn([0, 0, spin]));
};

/** Floor points of the kit around a car of this wheelbase and a stand this far ahead. */
const floorPlaces = (
  wheelbase: number,
  ahead: number,
): (readonly [number, number, number, number])[] => [
  [11, 0.52 * ahead, 760, 180],
  [12, 0.52 * ahead, -720, 180],
  [13, 150, 1650, -95],
  [14, -0.5 * wheelbase, 1620, -90],
  [15, -0.95 * wheelbase, 1700, -92],
  [16, 150, -1630, 90],
  [17, -0.5 * wheelbase, -1610, 92],
  [18, -0.97 * wheelbase, -1680, 95],
  [19, -wheelbase - 1350, 1190, 0],
  [20, -wheelbase - 1330, -1190, 0],
  [21, ahead - 350, 1540, 180],
  [22, ahead - 370, -1560, 180],
];

/** Places of one bay, drawn from the stated ranges. */
export const drawBay = (c: Chance): TrueBay => {
  const prints = drawPrints(c);
  const wheelbase = c.even(...bayRanges.wheelbaseMm);
  const track = c.even(...bayRanges.trackMm);
  const standOff = bayRanges.plateStandOffMm;
  const carAskew: Rigid = {
    q: turn([0, 0, rad(c.normal(0.4))]),
    p: [c.normal(15), c.normal(15), 0],
  };
  const boards: TrueBoard[] = wheelIds.map((id, i) => {
    const side = i % 2 === 0 ? 1 : -1;
    const facing = side * (Math.PI / 2 + rad(c.normal(bayRanges.toeDeg)));
    const q = upright(facing, rad(c.normal(bayRanges.camberDeg)), rad(c.normal(2)));
    const hub: V3 = [
      (i < 2 ? 0 : -wheelbase) + c.normal(3),
      (side * track) / 2 + c.normal(3),
      c.even(...bayRanges.wheelCentreMm),
    ];
    const p = plus(hub, times(axisOf(q, 2), standOff));
    return { ...prints.board(id), role: "wheel", worldFromBoard: chain(carAskew, { q, p }) };
  });
  const aheadMm = c.even(...bayRanges.targetAheadMm);
  for (const [id, x, y, spin] of floorPlaces(wheelbase, aheadMm)) {
    const tilt = rad(bayRanges.floorTiltSdDeg);
    const q = after(
      turn([c.normal(tilt), c.normal(tilt), 0]),
      turn([0, 0, rad(spin - 90 + c.normal(6))]),
    );
    const p: V3 = [x + c.normal(60), y + c.normal(60), c.normal(bayRanges.floorSdMm)];
    boards.push({ ...prints.board(id), role: "floor", worldFromBoard: { q, p } });
  }
  const small = () => rad(c.normal(bayRanges.targetTurnSdDeg));
  const worldFromTarget: Rigid = {
    q: after(upright(Math.PI + small(), small() / 2, small() / 2), turn([0, 0, 0])),
    p: [
      aheadMm + carAskew.p[0],
      c.normal(bayRanges.targetLeftSdMm),
      c.even(...bayRanges.targetHeightMm),
    ],
  };
  const taught = standIds.map((board, i): TaughtBoard => {
    const turnDeg: V3 = [c.normal(0.4), c.normal(0.4), c.normal(0.3)];
    return { board, centreMm: [(i === 0 ? -450 : 450) + c.normal(2), c.normal(15), 14], turnDeg };
  });
  for (const { board, centreMm, turnDeg } of taught) {
    const [x, y, z] = turnDeg;
    const q = after(after(turn([rad(x), 0, 0]), turn([0, rad(y), 0])), turn([0, 0, rad(z)]));
    const worldFromBoard = chain(worldFromTarget, { q, p: centreMm });
    boards.push({ ...prints.board(board), role: "stand", worldFromBoard });
  }
  const place = (id: number): V3 => boards.find((b) => b.id === id)!.worldFromBoard.p;
  const lengths = (
    [
      [21, 15],
      [22, 18],
      [19, 21],
    ] as const
  ).map(([from, to]) => ({
    from,
    to,
    lengthMm: size(minus(place(from), place(to))) + c.normal(bayRanges.lengthSdMm),
  }));
  const half = track / 2 + 80;
  return {
    boards,
    sheet: prints.sheet,
    worldFromTarget,
    taught,
    standOffMm: standOff,
    bars: prints.bars,
    lengths,
    body: { low: [-wheelbase - 800, -half, 180], high: [850, half, 1400] },
    wheelbaseMm: wheelbase,
    aheadMm,
  };
};

/** The same bay after somebody knocked the stand: it slid by so many mm over the floor. */
export const withStandMoved = (bay: TrueBay, shift: V3): TrueBay => {
  const moved = (pose: Rigid): Rigid => ({ q: pose.q, p: plus(pose.p, shift) });
  return {
    ...bay,
    worldFromTarget: moved(bay.worldFromTarget),
    boards: bay.boards.map((board) =>
      board.role === "stand" ? { ...board, worldFromBoard: moved(board.worldFromBoard) } : board,
    ),
  };
};

/** A place of the print, cells from its centre (x right, y up), in the board's frame, mm. */
export const onPrint = (print: TruePrint, x: number, y: number): V3 => {
  const [a, b] = [x * print.cellX, y * print.cellY];
  const s = a * Math.cos(print.bendAngle) + b * Math.sin(print.bendAngle);
  return [a, b, (print.curvature * s * s) / 2];
};

export interface TrueChecks {
  /** Of the target's reference point, from the front axle line along the centreline, mm. */
  readonly aheadMm: number;
  readonly leftMm: number;
  readonly heightMm: number;
  /** Counter-clockwise seen from above, degrees; 0 = square to the centreline, facing the car. */
  readonly yawDeg: number;
}

/** What the checks must find: plain geometry over the floor z = 0. */
export const trueChecks = (bay: TrueBay): TrueChecks => {
  const centre = (id: number): V3 => {
    const { worldFromBoard } = bay.boards.find((b) => b.id === id)!;
    return minus(worldFromBoard.p, times(axisOf(worldFromBoard.q, 2), bay.standOffMm));
  };
  const middle = (a: V3, b: V3): V3 => times(plus(a, b), 0.5);
  const front = middle(centre(1), centre(2));
  const rear = middle(centre(3), centre(4));
  const base = minus(front, rear);
  const length = Math.hypot(base[0], base[1]);
  const ahead: V3 = [base[0] / length, base[1] / length, 0];
  const left: V3 = [-ahead[1], ahead[0], 0];
  const from = minus(bay.worldFromTarget.p, front);
  const back = times(rotate(bay.worldFromTarget.q, [0, 0, 1]), -1);
  return {
    aheadMm: inner(from, ahead),
    leftMm: inner(from, left),
    heightMm: bay.worldFromTarget.p[2],
    yawDeg: (Math.atan2(inner(back, left), inner(back, ahead)) * 180) / Math.PI,
  };
};

/** Does the body of the car stand between two places? */
export const bodyHides = ({ body }: TrueBay, from: V3, to: V3): boolean => {
  let enter = 0;
  let leave = 1;
  for (let k = 0; k < 3; k++) {
    const d = to[k] - from[k];
    if (Math.abs(d) < 1e-9) {
      if (from[k] < body.low[k] || from[k] > body.high[k]) return false;
      continue;
    }
    const a = (body.low[k] - from[k]) / d;
    const b = (body.high[k] - from[k]) / d;
    enter = Math.max(enter, Math.min(a, b));
    leave = Math.min(leave, Math.max(a, b));
  }
  return enter < leave;
};

/** Outer corners and centre of a board in the world. */
export const boardPlaces = (board: TrueBoard): V3[] =>
  (
    [
      [-7, 7],
      [7, 7],
      [7, -7],
      [-7, -7],
      [0, 0],
    ] as const
  ).map(([x, y]) => apply(board.worldFromBoard, onPrint(board, x, y)));

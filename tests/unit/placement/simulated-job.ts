/**
 * Simulated measurements with known truth: an invented car on wheels with crooked plates, an uneven
 * floor, a stand taught with errors, photos of all of it with noise, in one or two car positions.
 * Everything that the set-up states with a standard deviation is drawn from it.
 */

import type { NetworkProblem, StateView } from "../../../src/adjust/problem/problem.ts";
import { type Lens, lensSize } from "../../../src/lens/lens.ts";
import {
  compose,
  dot,
  expRotation,
  identity3,
  invert,
  type Pose,
  radians,
  sub,
  transform,
  unit,
  type Vec3,
} from "../../../src/maths/pose.ts";
import { placementPieces } from "../../../src/placement/assemble.ts";
import type { PlacementSetup } from "../../../src/placement/checks/checks.ts";
import {
  rotationOf,
  type TargetSetup,
  targetFromBoard,
  targetKey,
} from "../../../src/placement/target/target.ts";
import { wheelFromPlate } from "../../../src/vehicle/lines.ts";
import { withPieces } from "../../../src/vehicle/pieces.ts";
import {
  boardAt,
  defaults,
  isFront,
  pointKey,
  type VehicleSetup,
  type WheelPlace,
  wheelPlaces,
} from "../../../src/vehicle/setup.ts";
import { carried, truePixelOf } from "../../oracle/camera.ts";
import {
  gridPoints,
  lensPriorCovariance,
  lookAt,
  type Random,
  random,
  testLens,
} from "../adjust/bay.ts";
import { fakeView } from "./fake-solution.ts";
import { bayFromVehicle, wheelBoard, wheelbase, wheelHeight, wheelPose } from "./scene.ts";

export interface SimulationWish {
  readonly seed: number;
  readonly positions: 1 | 2;
  /** The second time the plates were taken off and fitted again, with the car left where it is. */
  readonly refitted?: boolean;
  /** Deviation of the target from 1500 mm ahead on the centreline, 1200 mm high. */
  readonly target?: { readonly shiftMm: Vec3; readonly turnDeg: Vec3 };
  readonly sigmaPx?: number;
  /** Roll of the wheels between the positions, degrees. */
  readonly turnDeg?: number;
  /** A plate knocked between the positions: tilt added about its x axis, degrees. */
  readonly slipDeg?: Partial<Record<WheelPlace, number>>;
}

export interface SimulatedJob {
  readonly problem: NetworkProblem;
  readonly setup: PlacementSetup;
  /** Truth as a state: every quantity evaluated in it is the true value. */
  readonly truth: StateView;
}

const cellMm = 13;
const standOff = 60;
const floorSpots: readonly (readonly [number, number])[] = [
  [700, 1150],
  [700, -1150],
  [1500, 900],
  [1500, -900],
  [-1300, 1350],
  [-1300, -1350],
  [-2700, 1250],
  [-2700, -1250],
];

/** A point dropped from the front of the body, marked by floor board 21. */
export const bodyPoint = "body centre front";
const bodySpot = [850, 0] as const;

const floorBoards: readonly (readonly [string, readonly [number, number]])[] = [
  ...floorSpots.map((spot, i) => [String(11 + i), spot] as const),
  ["21", bodySpot],
];

const vehicle = ({ positions, refitted }: SimulationWish): VehicleSetup => ({
  wheels: Object.fromEntries(
    wheelPlaces.map((place) => [
      place,
      { plate: { board: wheelBoard[place], standOffMm: standOff } },
    ]),
  ),
  positions: positions === 2 ? [{ key: "B", kind: refitted ? "refitted" : "rolled" }] : [],
  points: [{ name: bodyPoint, board: "21" }],
  floor: {
    kind: "boards",
    boards: floorBoards.map(([board]) => ({ board, heightMm: 3 })),
  },
});

export const simulatedTarget: TargetSetup = {
  name: "test board",
  boards: [
    { board: "31", centreInTargetMm: [-350, 0, 20], shiftSdMm: 0.4, turnSdDeg: 0.05 },
    { board: "32", centreInTargetMm: [350, 0, 20], shiftSdMm: 0.4, turnSdDeg: 0.05 },
  ],
  widthMm: 1000,
  heightMm: 600,
};

const deviated = (pose: Pose, r: Random, turnSd: number, shiftSd: number): Pose => ({
  R: compose(pose, {
    R: expRotation([r.normal(turnSd), r.normal(turnSd), r.normal(turnSd)]),
    t: [0, 0, 0],
  }).R,
  t: transform(pose, [r.normal(shiftSd), r.normal(shiftSd), r.normal(shiftSd)]),
});

const floorHeightSd = 1;
const floorTiltSd = radians(0.3);

/** How a plate sits once it is fitted. */
const drawMount = (standOffMm: number, r: Random): number[] => {
  const tilt = radians(defaults.tiltSdDeg);
  const [a, b] = [r.normal(tilt), r.normal(tilt)];
  return [a, b, 0, r.normal(defaults.centringSdMm), r.normal(defaults.centringSdMm), standOffMm];
};

interface Truth {
  readonly poses: Record<string, Pose>;
  readonly scalars: Record<string, number[]>;
}

const drawTruth = (wish: SimulationWish, r: Random): Truth => {
  const poses: Record<string, Pose> = {};
  const scalars: Record<string, number[]> = {
    "floor:target": [r.normal(defaults.unevenSdMm)],
    [pointKey(bodyPoint)]: [r.normal(defaults.pointSdMm), r.normal(defaults.pointSdMm)],
  };
  const wheels = {} as Record<WheelPlace, Pose>;
  for (const place of wheelPlaces) {
    const mount = drawMount(standOff + r.normal(defaults.standOffSdMm), r);
    scalars[`plate:${place}`] = mount;
    const wheel = compose(
      bayFromVehicle,
      compose(wheelPose(place, r.normal(0.2), r.normal(0.8)), {
        R: expRotation([0, 0, r.normal(radians(5))]),
        t: [0, 0, r.normal(3)],
      }),
    );
    wheels[place] = wheel;
    poses[wheelBoard[place]] = compose(wheel, wheelFromPlate(mount));
  }
  for (const [key, [x, y]] of floorBoards) {
    const flat: Pose = {
      R: compose(
        { R: expRotation([0, 0, r.uniform(-3, 3)]), t: [0, 0, 0] },
        { R: expRotation([r.normal(floorTiltSd), r.normal(floorTiltSd), 0]), t: [0, 0, 0] },
      ).R,
      t: [x, y, 3 + r.normal(floorHeightSd)],
    };
    poses[key] = compose(bayFromVehicle, flat);
  }
  const { shiftMm, turnDeg } = wish.target ?? { shiftMm: [0, 0, 0], turnDeg: [0, 0, 0] };
  const target = compose(bayFromVehicle, {
    R: rotationOf("rearward", radians(turnDeg[0]), radians(turnDeg[1]), radians(turnDeg[2])),
    t: [1500 + shiftMm[0], shiftMm[1], 1200 + shiftMm[2]],
  });
  poses[targetKey(simulatedTarget.name)] = target;
  for (const taught of simulatedTarget.boards) {
    poses[taught.board] = deviated(
      compose(target, targetFromBoard(taught)),
      r,
      radians(taught.turnSdDeg),
      taught.shiftSdMm,
    );
  }
  if (wish.positions === 2) {
    if (wish.refitted) refit(poses, scalars, wheels, r);
    else rollOn(poses, scalars, wheels, wish, r);
  }
  return { poses, scalars };
};

/** Adds the plate boards of position B: the car rolled ahead, wheels turned, front ones steered. */
const rollOn = (
  poses: Record<string, Pose>,
  scalars: Record<string, number[]>,
  wheels: Record<WheelPlace, Pose>,
  wish: SimulationWish,
  r: Random,
): void => {
  const turn = radians(wish.turnDeg ?? 180 + r.normal(10));
  const lean = radians(defaults.rollLeanSdDeg);
  const inVehicle: Pose = {
    R: expRotation([r.normal(lean), r.normal(lean), r.normal(radians(0.5))]),
    t: [wheelHeight * turn, r.normal(10), r.normal(defaults.rollHeightSdMm)],
  };
  const bayFromCentre = compose(bayFromVehicle, { R: identity3, t: [-wheelbase / 2, 0, 0] });
  const motion = compose(compose(bayFromCentre, inVehicle), invert(bayFromCentre));
  for (const place of wheelPlaces) {
    const spin = (turn + r.normal(radians(1))) * (place.endsWith("left") ? 1 : -1);
    const steer = isFront(place) ? r.normal(radians(0.5)) : 0;
    const wheel = compose(
      compose(compose(motion, wheels[place]), { R: expRotation([0, steer, 0]), t: [0, 0, 0] }),
      { R: expRotation([0, 0, spin]), t: [0, 0, 0] },
    );
    const slip = expRotation([radians(wish.slipDeg?.[place] ?? 0), 0, 0]);
    poses[boardAt(wheelBoard[place], "B")] = deviated(
      compose(compose(wheel, wheelFromPlate(scalars[`plate:${place}`])), { R: slip, t: [0, 0, 0] }),
      r,
      radians(defaults.plateFlexDeg),
      defaults.plateFlexMm,
    );
  }
};

/** Adds the plate boards of time B: fitted anew at any angle, the car moved a little by it. */
const refit = (
  poses: Record<string, Pose>,
  scalars: Record<string, number[]>,
  wheels: Record<WheelPlace, Pose>,
  r: Random,
): void => {
  const turn = radians(defaults.refittedTurnSdDeg);
  const shift = defaults.refittedShiftSdMm;
  const motion: Pose = {
    R: expRotation([r.normal(turn), r.normal(turn), r.normal(turn)]),
    t: [r.normal(shift), r.normal(shift), r.normal(shift)],
  };
  for (const place of wheelPlaces) {
    const mount = drawMount(scalars[`plate:${place}`][5], r);
    const spin: Pose = { R: expRotation([0, 0, r.normal(radians(20))]), t: [0, 0, 0] };
    const steer = isFront(place) ? r.normal(radians(0.2)) : 0;
    const wheel = compose(wheels[place], { R: expRotation([0, steer, 0]), t: [0, 0, 0] });
    poses[boardAt(wheelBoard[place], "B")] = deviated(
      compose(compose(compose(motion, wheel), spin), wheelFromPlate(mount)),
      r,
      radians(defaults.plateFlexDeg),
      defaults.plateFlexMm,
    );
  }
};

/** From where to where, vehicle frame, for the left side; mirrored for the right. */
const walk: readonly (readonly [Vec3, Vec3])[] = [
  [
    [-3600, 2900, 1500],
    [-2300, 800, 200],
  ],
  [
    [-1500, 3300, 1500],
    [-2300, 800, 200],
  ],
  [
    [-1100, 3300, 1500],
    [-300, 800, 200],
  ],
  [
    [900, 3000, 1500],
    [100, 800, 200],
  ],
  [
    [-300, 2400, 1600],
    [1300, 100, 700],
  ],
  [
    [300, 1900, 1700],
    [1450, -200, 700],
  ],
  [
    [2600, 2500, 1600],
    [700, 700, 100],
  ],
  [
    [-4700, 900, 1700],
    [-2800, 0, 100],
  ],
];

/** A walk around the car, each photo a little different. */
const stations = (r: Random): Pose[] =>
  [1, -1].flatMap((side) =>
    walk.map(([from, to]) => {
      const wobble = (p: Vec3, sd: number): Vec3 => [
        p[0] + r.normal(sd),
        side * p[1] + r.normal(sd),
        p[2] + r.normal(sd / 2),
      ];
      return lookAt(
        transform(bayFromVehicle, wobble(from, 120)),
        transform(bayFromVehicle, wobble(to, 60)),
        r.normal(0.05),
      );
    }),
  );

const corners = [
  [-7, -7],
  [7, -7],
  [7, 7],
  [-7, 7],
] as const;

const sees = (camera: Pose, board: Pose): boolean => {
  const toCamera = sub(invert(camera).t, board.t);
  if (dot(unit(toCamera), [board.R[2], board.R[5], board.R[8]]) < 0.2) return false;
  return corners.every(([x, y]) => {
    const p = carried([camera, board], [x * cellMm, y * cellMm, 0]);
    if (p[2] < 300 || Math.hypot(p[0], p[1]) > 0.9 * p[2]) return false;
    const pixel = truePixelOf(testLens, [], p);
    return pixel !== null && pixel[0] > 10 && pixel[0] < 4022 && pixel[1] > 10 && pixel[1] < 3014;
  });
};

const statedLens = (r: Random): Lens => {
  const stated = { ...testLens };
  const sd = [1.5, 1.5, 1.2, 1.2, 0.002, 0.01, 0.0001, 0.0001, 0.02];
  const common = r.normal();
  stated.fx += sd[0] * (Math.sqrt(0.9) * common + Math.sqrt(0.1) * r.normal());
  stated.fy += sd[1] * (Math.sqrt(0.9) * common + Math.sqrt(0.1) * r.normal());
  for (const [i, name] of (["cx", "cy", "k1", "k2", "p1", "p2", "k3"] as const).entries())
    stated[name] += r.normal(sd[i + 2]);
  return stated;
};

/** Board keys that stand in one position: those with its mark, and everything without a mark. */
const inPosition = (keys: readonly string[], position: "A" | "B"): string[] => {
  const plates = new Set(Object.values(wheelBoard));
  return keys.filter((key) =>
    position === "A" ? !key.endsWith("@B") : key.endsWith("@B") || !plates.has(key),
  );
};

export const simulateJob = (wish: SimulationWish): SimulatedJob => {
  const r = random(wish.seed);
  const truth = drawTruth(wish, r);
  const boardKeys = Object.keys(truth.poses).filter((key) => !key.startsWith("target:"));
  const printChange = r.normal(0.0005);
  const cells = new Map(boardKeys.map((key) => [key.split("@")[0], cellMm * (1 + printChange)]));
  const grid = gridPoints(6);
  const sigma = wish.sigmaPx ?? 0.1;
  const photos: NetworkProblem["photos"][number][] = [];
  const observations: NetworkProblem["observations"][number][] = [];
  for (const position of wish.positions === 2 ? (["A", "B"] as const) : (["A"] as const)) {
    const keys = inPosition(boardKeys, position);
    for (const [i, camera] of stations(r).entries()) {
      const key = `${position}${i}`;
      const change = { focal: r.normal(0.003), shiftX: r.normal(8), shiftY: r.normal(8) };
      const seen = keys.filter((board) => sees(camera, truth.poses[board]));
      if (seen.length === 0) continue;
      photos.push({ key, camera: "phone" });
      for (const board of seen) {
        const cell = cells.get(board.split("@")[0]) ?? cellMm;
        const pixels = new Float64Array(grid.length);
        for (let k = 0; k < grid.length; k += 2) {
          const point: Vec3 = [grid[k] * cell, grid[k + 1] * cell, 0];
          const pixel = truePixelOf(testLens, [camera, truth.poses[board]], point, change);
          if (!pixel) throw new Error("A simulated point lies behind the camera.");
          pixels[k] = pixel[0] + r.normal(sigma);
          pixels[k + 1] = pixel[1] + r.normal(sigma);
        }
        observations.push({
          photo: key,
          board,
          boardPoints: grid,
          pixels,
          noise: { kind: "isotropic", sigmaPx: sigma },
        });
      }
    }
  }
  const seen = new Set(observations.map((o) => o.board));
  const setup: PlacementSetup = { vehicle: vehicle(wish), targets: [simulatedTarget] };
  const between = sub(truth.poses["12"].t, truth.poses["17"].t);
  const base: NetworkProblem = {
    cameras: [
      {
        key: "phone",
        lens: statedLens(r),
        priorCovariance: lensPriorCovariance(),
        free: new Array(lensSize).fill(true),
        focalSd: 0.003,
        shiftSdPx: 8,
      },
    ],
    photos,
    boards: [...seen].map((key) => ({ key, cellMm, cellSd: 0, print: "run", bendSd: 0 })),
    prints: [{ key: "run", scaleSd: 0.0005 }],
    observations,
    lengths: [
      {
        key: "diagonal",
        from: { board: "12" },
        to: { board: "17" },
        lengthMm: Math.sqrt(dot(between, between)) + r.normal(1),
        sdMm: 1,
      },
    ],
    floor: floorBoards.flatMap(([board]) =>
      seen.has(board)
        ? [
            {
              board,
              heightMm: 3,
              heightSdMm: floorHeightSd,
              tiltSd: floorTiltSd,
            },
          ]
        : [],
    ),
    frames: [],
    scalars: [],
    chains: [],
  };
  const present = (key: string) => seen.has(key);
  const start = (key: string): Pose | undefined => nudged(truth.poses[key], key);
  const pieces = placementPieces(setup, { present, start });
  return { problem: withPieces(base, pieces), setup, truth: fakeView(truth) };
};

/** A start pose a little off the truth, as a first adjustment without the car would give it. */
const nudged = (pose: Pose | undefined, key: string): Pose | undefined => {
  if (!pose) return undefined;
  const r = random(key.length * 7919 + key.charCodeAt(0));
  return deviated(pose, r, radians(0.2), 2);
};

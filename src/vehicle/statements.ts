import { expRotation, type Pose, radians } from "../geometry/pose.ts";
import type {
  ChainStatement,
  FrameStatement,
  Link,
  NetworkProblem,
  ScalarStatement,
} from "../network/problem.ts";
import {
  boardAt,
  defaults,
  floorAtTargetKey,
  isFront,
  isLeft,
  motionKey,
  type PlateSetup,
  type PositionSetup,
  plateKey,
  pointKey,
  type StartPoses,
  spinKey,
  steerKey,
  type VehicleSetup,
  type WheelPlace,
  wheelHeightKey,
  wheelPlaces,
} from "./setup.ts";

/** What a part of the set-up adds to the adjustment. */
export type ProblemPieces = Pick<NetworkProblem, "frames" | "scalars" | "chains">;

export const joinPieces = (...pieces: readonly ProblemPieces[]): ProblemPieces => ({
  frames: pieces.flatMap((p) => p.frames),
  scalars: pieces.flatMap((p) => p.scalars),
  chains: pieces.flatMap((p) => p.chains),
});

/** A number that must have a spread but shall not move. */
const heldRad = 1e-6;

const plateScalars = (place: WheelPlace, plate: PlateSetup): ScalarStatement => {
  const tilt = radians(plate.tiltSdDeg ?? defaults.tiltSdDeg);
  const centring = plate.centringSdMm ?? defaults.centringSdMm;
  return {
    key: plateKey(place),
    mean: [0, 0, 0, 0, 0, plate.standOffMm],
    sd: [tilt, tilt, heldRad, centring, centring, plate.standOffSdMm ?? defaults.standOffSdMm],
    source: "wheel plates",
  };
};

const pointScalars = (setup: VehicleSetup): ScalarStatement[] =>
  (setup.points ?? []).map((point) => {
    const sd = point.sdMm ?? defaults.pointSdMm;
    return { key: pointKey(point.name), mean: [0, 0], sd: [sd, sd], source: "other" };
  });

const floorScalars = (setup: VehicleSetup): ScalarStatement[] => {
  const floor = setup.floor;
  const uneven = floor.kind === "boards" ? floor.unevenSdMm : floor.sdMm;
  const local: ScalarStatement = {
    key: floorAtTargetKey,
    mean: [0],
    sd: [uneven ?? defaults.unevenSdMm],
    source: "floor",
  };
  if (floor.kind === "boards") return [local];
  const sd = floor.sdMm ?? defaults.wheelHeightSdMm;
  return [
    local,
    { key: wheelHeightKey, mean: [0, 0, 0, 0], sd: [sd, sd, sd, sd], source: "floor" },
  ];
};

/** Start of a further position's motion: straight ahead by the stated roll, in the bay frame. */
const startMotion = (position: PositionSetup, start: StartPoses, setup: VehicleSetup): Pose => {
  const centre = (key: (board: string) => string) => {
    const poses = wheelPlaces.flatMap((place) => {
      const board = setup.wheels[place]?.plate?.board;
      const pose = board === undefined ? undefined : start(key(board));
      return pose ? [pose] : [];
    });
    return poses.length === 4
      ? ([0, 1, 2] as const).map((k) => poses.reduce((sum, p) => sum + p.t[k], 0) / 4)
      : null;
  };
  const before = centre((board) => board);
  const after = centre((board) => boardAt(board, position.key));
  const R = expRotation([0, 0, 0]);
  if (!before || !after) return { R, t: [0, 0, 0] };
  return { R, t: [after[0] - before[0], after[1] - before[1], 0] };
};

/**
 * How far a plate has turned about its own normal between the positions, rad, from the start poses:
 * angle of the later board's x axis in the earlier board's frame.
 */
const startSpin = (
  board: string,
  position: PositionSetup,
  place: WheelPlace,
  start: StartPoses,
) => {
  const before = start(board);
  const after = start(boardAt(board, position.key));
  if (before && after) {
    const a = before.R;
    const b = after.R;
    const along = a[0] * b[0] + a[3] * b[3] + a[6] * b[6];
    const across = a[1] * b[0] + a[4] * b[3] + a[7] * b[6];
    return Math.atan2(across, along);
  }
  // A wheel rolling ahead turns counter-clockwise seen from the car's left.
  return radians(position.turnDeg ?? 180) * (isLeft(place) ? 1 : -1);
};

/** Turn of a board about its normal against upright, rad, from its start pose; upright without. */
const leanOf = (board: string, start: StartPoses): number => {
  const pose = start(board);
  return pose ? Math.atan2(pose.R[6], pose.R[7]) : 0;
};

const aboutZ = (angle: number): Link => ({
  kind: "fixed",
  pose: { R: expRotation([0, 0, angle]), t: [0, 0, 0] },
});

/**
 * Ties a plate board in a further position to the same plate in the first one:
 *
 *   bayFromBoard' = motion . bayFromWheel . steer . spin . wheelFromBoard
 *
 * with bayFromWheel = bayFromBoard . wheelFromBoard^-1 in the first position, wheelFromBoard the
 * plate's constant mount (tilt, centring, stand-off), spin the turn about the spindle, steer the
 * turn of a front wheel about its upright, and motion the car's own movement in the bay. Rolling
 * the wheel by about half a turn turns the mount's tilt over, so that both become observable and
 * the run-out of the plate drops out of the spindle.
 */
const wheelChain = (
  place: WheelPlace,
  plate: PlateSetup,
  position: PositionSetup,
  start: StartPoses,
): ChainStatement => {
  const lean = leanOf(plate.board, start);
  const steer: Link[] = isFront(place)
    ? [
        aboutZ(-lean),
        { kind: "turn", key: steerKey(position.key, place), index: 0, axis: 1 },
        aboutZ(lean),
      ]
    : [];
  const flex = radians(defaults.plateFlexDeg);
  // A steered front wheel also moves about its own swivel, whose place is not known.
  const shift = defaults.plateFlexMm;
  const inPlane = isFront(place) ? defaults.steerShiftMm : shift;
  return {
    key: `wheel:${place}@${position.key}`,
    links: [
      { kind: "pose", key: boardAt(plate.board, position.key), inverse: true },
      { kind: "pose", key: motionKey(position.key) },
      { kind: "pose", key: plate.board },
      { kind: "small", key: plateKey(place), inverse: true },
      ...steer,
      { kind: "turn", key: spinKey(position.key, place), index: 0, axis: 2 },
      { kind: "small", key: plateKey(place) },
    ],
    sd: [flex, flex, flex, inPlane, inPlane, shift],
    source: "wheel plates",
  };
};

/** The car keeps its height and lean when it is rolled; it hardly moves when wheels are turned. */
const motionChain = (position: PositionSetup, onFloor: boolean): ChainStatement[] => {
  const link: Link = { kind: "pose", key: motionKey(position.key) };
  const key = `motion:${position.key}`;
  if (position.kind === "turned") {
    const turn = radians(defaults.turnedTurnSdDeg);
    const shift = defaults.turnedShiftSdMm;
    return [
      { key, links: [link], sd: [turn, turn, turn, shift, shift, shift], source: "wheel plates" },
    ];
  }
  // Without floor boards the bay's z axis is not the floor's normal, and nothing can be said.
  if (!onFloor) return [];
  const lean = radians(defaults.rollLeanSdDeg);
  const free = Number.POSITIVE_INFINITY;
  const sd = [lean, lean, free, free, free, defaults.rollHeightSdMm] as const;
  return [{ key, links: [link], sd, source: "wheel plates" }];
};

const positionPieces = (
  position: PositionSetup,
  setup: VehicleSetup,
  start: StartPoses,
): ProblemPieces => {
  const plates = wheelPlaces.flatMap((place) => {
    const plate = setup.wheels[place]?.plate;
    return plate ? [{ place, plate }] : [];
  });
  const spins: ScalarStatement[] = plates.map(({ place, plate }) => ({
    key: spinKey(position.key, place),
    mean: [startSpin(plate.board, position, place, start)],
    sd: [Number.POSITIVE_INFINITY],
    source: "wheel plates",
  }));
  const steers: ScalarStatement[] = plates
    .filter(({ place }) => isFront(place))
    .map(({ place }) => ({
      key: steerKey(position.key, place),
      mean: [0],
      sd: [radians(position.steerSdDeg ?? defaults.steerSdDeg)],
      source: "wheel plates",
    }));
  const frame: FrameStatement = {
    key: motionKey(position.key),
    start: startMotion(position, start, setup),
  };
  return {
    frames: [frame],
    scalars: [...spins, ...steers],
    chains: [
      ...plates.map(({ place, plate }) => wheelChain(place, plate, position, start)),
      ...motionChain(position, setup.floor.kind === "boards"),
    ],
  };
};

/**
 * What the car's set-up adds to the adjustment. `start` gives approximate board poses (bayFromBoard)
 * where they are known; with further positions of the car they should be, so that the turns of the
 * wheels start near the truth.
 */
export const vehiclePieces = (
  setup: VehicleSetup,
  start: StartPoses = () => undefined,
): ProblemPieces => {
  const plates = wheelPlaces.flatMap((place) => {
    const plate = setup.wheels[place]?.plate;
    return plate ? [plateScalars(place, plate)] : [];
  });
  return joinPieces(
    {
      frames: [],
      scalars: [...plates, ...pointScalars(setup), ...floorScalars(setup)],
      chains: [],
    },
    ...(setup.positions ?? []).map((position) => positionPieces(position, setup, start)),
  );
};

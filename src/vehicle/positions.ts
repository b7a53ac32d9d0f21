import type { ChainStatement, Link, ScalarStatement } from "../adjust/problem/problem.ts";
import {
  add,
  compose,
  expRotation,
  identity3,
  identityPose,
  invert,
  logRotation,
  matVec,
  type Pose,
  radians,
  scale,
  sub,
  type Vec3,
} from "../maths/pose.ts";
import { mountScalars } from "./mount.ts";
import { joinPieces, noPieces, type ProblemPieces } from "./pieces.ts";
import {
  boardAt,
  defaults,
  isFront,
  isLeft,
  levelKey,
  motionKey,
  type PlateSetup,
  type PositionSetup,
  plateKey,
  refitKey,
  type StartPoses,
  spinKey,
  steerKey,
  type VehicleSetup,
  type WheelPlace,
  wheelPlaces,
} from "./setup.ts";

/** Board poses of the four plates in one position, where all are known. */
const platePoses = (
  setup: VehicleSetup,
  start: StartPoses,
  key: (board: string) => string,
): Record<WheelPlace, Pose> | null => {
  const poses: Partial<Record<WheelPlace, Pose>> = {};
  for (const place of wheelPlaces) {
    const board = setup.wheels[place]?.plate?.board;
    const pose = board === undefined ? undefined : start(key(board));
    if (!pose) return null;
    poses[place] = pose;
  }
  return poses as Record<WheelPlace, Pose>;
};

const centreOf = (plates: Record<WheelPlace, Pose>): Vec3 =>
  scale(
    wheelPlaces.reduce<Vec3>((sum, place) => add(sum, plates[place].t), [0, 0, 0]),
    1 / wheelPlaces.length,
  );

/** Start of a motion from the plates' start poses, bay frame: yaw and shift on the floor. */
const startMotion = (position: PositionSetup, start: StartPoses, setup: VehicleSetup) => {
  const before = platePoses(setup, start, (board) => board);
  const after = platePoses(setup, start, (board) => boardAt(board, position.key));
  if (!before || !after) return null;
  const forward = (p: Record<WheelPlace, Pose>): Vec3 =>
    sub(add(p["front left"].t, p["front right"].t), add(p["rear left"].t, p["rear right"].t));
  const [a, b] = [forward(before), forward(after)];
  const yaw = Math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]);
  return { yaw, from: centreOf(before), to: centreOf(after) };
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
 * The car's movement between two positions, as a product of poses that does not depend on the bay
 * frame: reference . small . reference^-1. For a rolled car on a floor the reference is a level
 * frame on the floor, so that "kept its height and lean" can be said; else it is a plate board.
 */
const motionLinks = (position: PositionSetup, reference: string): Link[] => [
  { kind: "pose", key: reference },
  { kind: "small", key: motionKey(position.key) },
  { kind: "pose", key: reference, inverse: true },
];

/**
 * Ties a plate board in a further position to the same plate in the first one:
 *
 *   bayFromBoard' = motion . bayFromWheel . steer . spin . wheelFromBoard
 *
 * with bayFromWheel = bayFromBoard . wheelFromBoard^-1 in the first position, wheelFromBoard the
 * plate's constant mount (tilt, centring, stand-off), spin the turn about the spindle, steer the
 * turn of a front wheel about its upright, and motion the car's own movement in the bay. Rolling
 * the wheel by about half a turn reverses the mount's tilt, so that both become observable and
 * the run-out of the plate drops out of the spindle. Plates that were fitted again have a mount of
 * their own in the last place instead, and the spindle lies between what both fittings say; how far
 * the face stands out is one reading for both, so that nothing is said along the spindle.
 */
const wheelChain = (
  place: WheelPlace,
  plate: PlateSetup,
  position: PositionSetup,
  start: StartPoses,
  reference: string,
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
  const refitted = position.kind === "refitted";
  const mount = refitted ? refitKey(position.key, place) : plateKey(place);
  return {
    key: `wheel:${place}@${position.key}`,
    links: [
      { kind: "pose", key: boardAt(plate.board, position.key), inverse: true },
      ...motionLinks(position, reference),
      { kind: "pose", key: plate.board },
      { kind: "small", key: plateKey(place), inverse: true },
      ...steer,
      { kind: "turn", key: spinKey(position.key, place), index: 0, axis: 2 },
      { kind: "small", key: mount },
    ],
    sd: [flex, flex, flex, inPlane, inPlane, refitted ? Number.POSITIVE_INFINITY : shift],
    source: "wheel plates",
  };
};

/** How a position's movement is known beforehand, six numbers: three turns, three shifts. */
const motionSd = (position: PositionSetup, onFloor: boolean): number[] => {
  const free = Number.POSITIVE_INFINITY;
  if (position.kind !== "rolled") {
    const lifted = position.kind === "turned";
    const turn = radians(lifted ? defaults.turnedTurnSdDeg : defaults.refittedTurnSdDeg);
    const shift = lifted ? defaults.turnedShiftSdMm : defaults.refittedShiftSdMm;
    return [turn, turn, turn, shift, shift, shift];
  }
  if (!onFloor) return [free, free, free, free, free, free];
  const lean = radians(defaults.rollLeanSdDeg);
  return [lean, lean, free, free, free, defaults.rollHeightSdMm];
};

const motionScalars = (
  position: PositionSetup,
  setup: VehicleSetup,
  start: StartPoses,
  reference: string,
): ScalarStatement => {
  const motion = startMotion(position, start, setup);
  const onFloor = reference === levelKey;
  const at = onFloor ? levelStart(setup, start) : start(reference);
  const bayFromBay: Pose | null = motion && {
    R: expRotation([0, 0, motion.yaw]),
    t: sub(motion.to, matVec(expRotation([0, 0, motion.yaw]), motion.from)),
  };
  const own = bayFromBay && at ? compose(invert(at), compose(bayFromBay, at)) : null;
  const mean = own ? [...logRotation(own.R), ...own.t] : [0, 0, 0, position.rollMm ?? 0, 0, 0];
  const sd = motionSd(position, onFloor);
  // A start value only where nothing is stated; what is stated has its mean at "no change".
  return {
    key: motionKey(position.key),
    mean: mean.map((m, i) => (Number.isFinite(sd[i]) ? 0 : m)),
    sd,
    source: "wheel plates",
  };
};

/** The level frame's start: on the floor below the middle of the car. */
const levelStart = (setup: VehicleSetup, start: StartPoses): Pose | undefined => {
  const plates = platePoses(setup, start, (board) => board);
  if (!plates) return undefined;
  const centre = centreOf(plates);
  return { R: identity3, t: [centre[0], centre[1], 0] };
};

const firstFloorBoard = (setup: VehicleSetup): string | undefined =>
  setup.floor.kind === "boards" ? setup.floor.boards[0]?.board : undefined;

/**
 * A level frame on the floor, for statements about "upright" and "same height". It is auxiliary:
 * exactly level by definition, and held in plan, loosely, to a floor board; it adds no knowledge.
 */
const levelPieces = (setup: VehicleSetup, start: StartPoses): ProblemPieces => {
  const board = firstFloorBoard(setup);
  if (board === undefined) return noPieces;
  const level = levelStart(setup, start);
  const pose = start(board);
  const boardFromLevel = level && pose ? compose(invert(pose), level) : identityPose;
  const [exactRad, exactMm, looseRad, looseMm] = [1e-5, 1e-2, 0.1, 100];
  return {
    floor: [{ board: levelKey, heightMm: 0, heightSdMm: exactMm, tiltSd: exactRad }],
    frames: [{ key: levelKey, start: level }],
    scalars: [],
    chains: [
      {
        key: "level in plan",
        links: [
          { kind: "pose", key: board, inverse: true },
          { kind: "pose", key: levelKey },
          { kind: "fixed", pose: invert(boardFromLevel) },
        ],
        sd: [looseRad, looseRad, looseRad, looseMm, looseMm, looseMm],
        source: "floor",
      },
    ],
  };
};

/** Spin, steering, movement of one further position and its chains to the first. */
const positionPieces = (
  position: PositionSetup,
  setup: VehicleSetup,
  start: StartPoses,
  present: (board: string) => boolean,
): ProblemPieces => {
  const plates = wheelPlaces.flatMap((place) => {
    const plate = setup.wheels[place]?.plate;
    return plate && present(boardAt(plate.board, position.key)) ? [{ place, plate }] : [];
  });
  const reference = referenceOf(position, setup);
  if (reference === undefined) return noPieces;
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
  const refits =
    position.kind === "refitted"
      ? plates.map(({ place, plate }) => mountScalars(refitKey(position.key, place), plate))
      : [];
  return {
    floor: [],
    frames: [],
    scalars: [motionScalars(position, setup, start, reference), ...spins, ...steers, ...refits],
    chains: plates.map(({ place, plate }) => wheelChain(place, plate, position, start, reference)),
  };
};

/**
 * What the car's movement is counted from: a level frame on the floor where the car rolled, else a
 * rear plate. Undefined without either; such a position says nothing.
 */
export const referenceOf = (position: PositionSetup, setup: VehicleSetup): string | undefined =>
  position.kind === "rolled" && firstFloorBoard(setup) !== undefined
    ? levelKey
    : (setup.wheels["rear left"]?.plate?.board ?? setup.wheels["rear right"]?.plate?.board);

/** What all further positions of the car add to the adjustment. */
export const positionsPieces = (
  setup: VehicleSetup,
  start: StartPoses,
  present: (board: string) => boolean,
): ProblemPieces => {
  const positions = setup.positions ?? [];
  const level = positions.some((p) => referenceOf(p, setup) === levelKey);
  return joinPieces(
    ...(level ? [levelPieces(setup, start)] : []),
    ...positions.map((position) => positionPieces(position, setup, start, present)),
  );
};

import {
  compose,
  expRotation,
  invert,
  type Mat3,
  matMul,
  type Pose,
  radians,
  type Vec3,
} from "../../../src/maths/pose.ts";
import type { PlacementSetup } from "../../../src/placement/checks/checks.ts";
import type { PlacementSheet, Step } from "../../../src/placement/sheet/sheet.ts";
import {
  type Facing,
  rotationOf,
  type TargetSetup,
  targetFromBoard,
  targetKey,
} from "../../../src/placement/target/target.ts";
import { wheelFromPlate } from "../../../src/vehicle/lines.ts";
import { type VehicleSetup, type WheelPlace, wheelPlaces } from "../../../src/vehicle/setup.ts";
import type { FakeUnknowns } from "./fake-solution.ts";

/**
 * An invented car on an invented floor, laid out by hand in the vehicle frame (ISO 8855), then
 * turned and shifted into a bay frame, so that nothing can lean on the bay's axes.
 */
export interface SceneWish {
  /** Heading of each wheel against X, degrees, counter-clockwise positive. */
  readonly headingDeg?: Partial<Record<WheelPlace, number>>;
  /** Top outward positive, degrees. */
  readonly camberDeg?: Partial<Record<WheelPlace, number>>;
  readonly target?: {
    readonly positionMm: Vec3;
    readonly facing?: Facing;
    readonly yawDeg?: number;
    readonly pitchDeg?: number;
    readonly rollDeg?: number;
  };
  /** Extra floor boards or points: plan position and rise, vehicle frame. */
  readonly rises?: Record<string, number>;
}

export const wheelbase = 2600;
export const track = 1500;
export const wheelHeight = 310;
const standOff = 60;

export const bayFromVehicle: Pose = { R: expRotation([0, 0, 0.7]), t: [1300, -420, 0] };

const centres: Record<WheelPlace, Vec3> = {
  "front left": [0, track / 2, wheelHeight],
  "front right": [0, -track / 2, wheelHeight],
  "rear left": [-wheelbase, track / 2, wheelHeight],
  "rear right": [-wheelbase, -track / 2, wheelHeight],
};
export const wheelBoard: Record<WheelPlace, string> = {
  "front left": "1",
  "front right": "2",
  "rear left": "3",
  "rear right": "4",
};

/** Axes x right, y up, z outward of an upright plate on the car's left or right side. */
const plateAxes = (left: boolean): Mat3 =>
  left ? [-1, 0, 0, 0, 0, 1, 0, 1, 0] : [1, 0, 0, 0, 0, -1, 0, 1, 0];

/** vehicleFromWheel with heading and camber as stated. */
export const wheelPose = (place: WheelPlace, headingDeg: number, camberDeg: number): Pose => {
  const left = place.endsWith("left");
  const lean = radians(camberDeg) * (left ? -1 : 1);
  const R = matMul(
    matMul(expRotation([0, 0, radians(headingDeg)]), expRotation([lean, 0, 0])),
    plateAxes(left),
  );
  return { R, t: centres[place] };
};

export const floorSpots: Record<string, readonly [number, number]> = {
  "11": [900, 800],
  "12": [900, -800],
  "13": [1900, 700],
  "14": [1900, -700],
  "15": [-1300, 1200],
  "16": [-1300, -1200],
};

export const vehicleSetup: VehicleSetup = {
  wheels: Object.fromEntries(
    wheelPlaces.map((place) => [
      place,
      { plate: { board: wheelBoard[place], standOffMm: standOff } },
    ]),
  ),
  floor: {
    kind: "boards",
    boards: Object.keys(floorSpots).map((board) => ({ board, heightMm: 3 })),
  },
};

export const targetSetup: TargetSetup = {
  name: "test board",
  boards: [
    { board: "31", centreInTargetMm: [-300, 0, 0], shiftSdMm: 0.3, turnSdDeg: 0.05 },
    { board: "32", centreInTargetMm: [300, 0, 0], shiftSdMm: 0.3, turnSdDeg: 0.05 },
  ],
  widthMm: 1000,
  heightMm: 600,
};

export const setup: PlacementSetup = { vehicle: vehicleSetup, targets: [targetSetup] };

export const buildScene = (wish: SceneWish = {}): FakeUnknowns => {
  const poses: Record<string, Pose> = {};
  const scalars: Record<string, number[]> = { "floor:target": [0] };
  for (const place of wheelPlaces) {
    const plate = [0, 0, 0, 0, 0, standOff];
    scalars[`plate:${place}`] = plate;
    const vehicleFromWheel = wheelPose(
      place,
      wish.headingDeg?.[place] ?? 0,
      wish.camberDeg?.[place] ?? 0,
    );
    poses[wheelBoard[place]] = compose(
      bayFromVehicle,
      compose(vehicleFromWheel, wheelFromPlate(plate)),
    );
  }
  for (const [board, [x, y]] of Object.entries(floorSpots)) {
    const rise = wish.rises?.[board] ?? 0;
    poses[board] = compose(bayFromVehicle, { R: expRotation([0, 0, 0.3]), t: [x, y, 3 + rise] });
  }
  const target = wish.target ?? { positionMm: [1500, 0, 1200] };
  const vehicleFromTarget: Pose = {
    R: rotationOf(
      target.facing ?? "rearward",
      radians(target.yawDeg ?? 0),
      radians(target.pitchDeg ?? 0),
      radians(target.rollDeg ?? 0),
    ),
    t: target.positionMm,
  };
  const bayFromTarget = compose(bayFromVehicle, vehicleFromTarget);
  poses[targetKey(targetSetup.name)] = bayFromTarget;
  for (const taught of targetSetup.boards) {
    poses[taught.board] = compose(bayFromTarget, targetFromBoard(taught));
  }
  return { poses, scalars };
};

export const inVehicle = (pose: Pose): Pose => compose(invert(bayFromVehicle), pose);

const from = (text: string) => ({ reference: text });

export const step: Step = {
  id: "front",
  title: "Front board",
  target: { name: "test board", kind: "board", facing: "rearward" },
  checks: [
    {
      kind: "distance",
      id: "distance",
      required: 1500,
      lowerDeviation: -5,
      upperDeviation: 5,
      ...from("invented"),
    },
    {
      kind: "lateral offset",
      id: "lateral",
      required: 0,
      lowerDeviation: -5,
      upperDeviation: 5,
      ...from("invented"),
    },
    {
      kind: "height",
      id: "height",
      required: 1200,
      lowerDeviation: -5,
      upperDeviation: 5,
      ...from("invented"),
    },
    {
      kind: "yaw",
      id: "yaw",
      required: 0,
      lowerDeviation: -0.5,
      upperDeviation: 0.5,
      ...from("invented"),
    },
    {
      kind: "pitch",
      id: "pitch",
      required: 0,
      lowerDeviation: -0.5,
      upperDeviation: 0.5,
      ...from("invented"),
    },
    {
      kind: "roll",
      id: "roll",
      required: 0,
      lowerDeviation: -0.5,
      upperDeviation: 0.5,
      ...from("invented"),
    },
  ],
};

export const sheet: PlacementSheet = {
  format: "plumbshot-placement",
  version: 1,
  title: "Invented sheet for tests",
  invented: true,
  source: "invented",
  origin: { kind: "front-axle line" },
  axis: "geometric centreline",
  heightReference: "floor under the car",
  steps: [step],
};

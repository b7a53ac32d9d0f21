import type { ScalarStatement } from "../adjust/problem/problem.ts";
import { radians } from "../maths/pose.ts";
import { joinPieces, noPieces, type ProblemPieces } from "./pieces.ts";
import { positionsPieces } from "./positions.ts";
import {
  defaults,
  floorAtTargetKey,
  type PlateSetup,
  plateKey,
  pointKey,
  type StartPoses,
  type VehicleSetup,
  type WheelPlace,
  wheelHeightKey,
  wheelPlaces,
} from "./setup.ts";

/** Not an unknown: a turn of the plate about its own spindle means nothing. */
const held = 0;

const plateScalars = (place: WheelPlace, plate: PlateSetup): ScalarStatement => {
  const tilt = radians(plate.tiltSdDeg ?? defaults.tiltSdDeg);
  const centring = plate.centringSdMm ?? defaults.centringSdMm;
  return {
    key: plateKey(place),
    mean: [0, 0, 0, 0, 0, plate.standOffMm],
    sd: [tilt, tilt, held, centring, centring, plate.standOffSdMm ?? defaults.standOffSdMm],
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

/**
 * What the car's set-up adds to the adjustment. `start` gives approximate board poses (bayFromBoard)
 * where they are known; with further positions of the car they should be, so that the turns of the
 * wheels start near the truth.
 */
export const vehiclePieces = (
  setup: VehicleSetup,
  start: StartPoses = () => undefined,
  present: (board: string) => boolean = () => true,
): ProblemPieces => {
  const plates = wheelPlaces.flatMap((place) => {
    const plate = setup.wheels[place]?.plate;
    return plate ? [plateScalars(place, plate)] : [];
  });
  return joinPieces(
    {
      ...noPieces,
      scalars: [...plates, ...pointScalars(setup), ...floorScalars(setup)],
    },
    positionsPieces(setup, start, present),
  );
};

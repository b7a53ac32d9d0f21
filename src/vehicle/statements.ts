import type { ScalarStatement } from "../adjust/problem/problem.ts";
import { mountScalars } from "./mount.ts";
import { joinPieces, noPieces, type ProblemPieces } from "./pieces.ts";
import { positionsPieces } from "./positions.ts";
import {
  defaults,
  floorAtTargetKey,
  plateKey,
  pointKey,
  type StartPoses,
  type VehicleSetup,
  wheelHeightKey,
  wheelPlaces,
} from "./setup.ts";

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
    return plate ? [mountScalars(plateKey(place), plate)] : [];
  });
  return joinPieces(
    {
      ...noPieces,
      scalars: [...plates, ...pointScalars(setup), ...floorScalars(setup)],
    },
    positionsPieces(setup, start, present),
  );
};

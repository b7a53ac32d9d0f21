import { referenceOf } from "../../vehicle/positions.ts";
import {
  boardAt,
  type PositionSetup,
  type VehicleSetup,
  type WheelPlace,
  type WheelSetup,
  wheelPlaces,
} from "../../vehicle/setup.ts";
import type { Remark } from "../sheet/codes.ts";
import type { PlacementSetup } from "./checks.ts";

type Present = (board: string) => boolean;

/**
 * The set-up without what no photo shows: plates, points, floor boards, taught boards, and car
 * positions that say nothing about the first one ({@link lostPositions} names these).
 */
export const keepPresent = (setup: PlacementSetup, present: Present): PlacementSetup => ({
  vehicle: keepPresentVehicle(setup.vehicle, present),
  targets: setup.targets
    .map((target) => ({ ...target, boards: target.boards.filter((b) => present(b.board)) }))
    .filter((target) => target.boards.length > 0),
});

const keepPresentVehicle = (vehicle: VehicleSetup, present: Present): VehicleSetup => {
  const seen = keepSeen(vehicle, present);
  const positions = (vehicle.positions ?? []).filter((p) => lackOf(p, seen, present) === null);
  return { ...seen, positions };
};

/** All but the positions, which hang on the wheels and the floor that were seen. */
const keepSeen = (vehicle: VehicleSetup, present: Present): VehicleSetup => {
  const points = (vehicle.points ?? []).filter((p) => present(p.board));
  const has = (name: string | undefined) => points.some((p) => p.name === name);
  const wheels: Partial<Record<WheelPlace, WheelSetup>> = {};
  for (const place of wheelPlaces) {
    const wheel = vehicle.wheels[place];
    const plate = wheel?.plate && present(wheel.plate.board) ? wheel.plate : undefined;
    const plumbPoint = has(wheel?.plumbPoint) ? wheel?.plumbPoint : undefined;
    if (plate || plumbPoint) wheels[place] = { plate, plumbPoint };
  }
  return {
    ...vehicle,
    wheels,
    points,
    floor:
      vehicle.floor.kind === "boards"
        ? { ...vehicle.floor, boards: vehicle.floor.boards.filter((b) => present(b.board)) }
        : vehicle.floor,
  };
};

/** Fewest plates of a further car position: one plate alone only determines the car's movement. */
const fewestPlates = 2;

/**
 * What a further car position lacks to be of use: wheel plates seen in it and in the first one,
 * or something that the car's movement is counted from. Null where it counts.
 */
type Lack = "plates" | "floor" | "rear plates";

const lackOf = (position: PositionSetup, seen: VehicleSetup, present: Present): Lack | null => {
  if (platesIn(position, seen, present) < fewestPlates) return "plates";
  if (referenceOf(position, seen) !== undefined) return null;
  return position.kind === "rolled" ? "floor" : "rear plates";
};

const platesIn = ({ key }: PositionSetup, { wheels }: VehicleSetup, present: Present): number =>
  wheelPlaces.filter((place) => {
    const board = wheels[place]?.plate?.board;
    return board !== undefined && present(boardAt(board, key));
  }).length;

/** Car positions that do not count, each with what is missing. */
export const lostPositions = ({ vehicle }: PlacementSetup, present: Present): Remark[] => {
  const seen = keepSeen(vehicle, present);
  return (vehicle.positions ?? []).flatMap((position) => {
    const lack = lackOf(position, seen, present);
    if (lack === null) return [];
    const count = platesIn(position, seen, present);
    const { why, remedy } = words(count)[lack];
    return [
      {
        code: "position-not-used",
        values: { position: position.key, lack, count },
        severity: "warning" as const,
        message: `Car position "${position.key}" does not count: ${why}.`,
        remedy,
        about: position.key,
      },
    ];
  });
};

const words = (plates: number): Record<Lack, { why: string; remedy: string }> => ({
  plates: {
    why:
      `${plates === 0 ? "no wheel plate is" : "only one wheel plate is"} seen both in it and in ` +
      "the first position, and two are needed",
    remedy:
      "Photograph the wheel plates of both positions, each time with boards that stayed in place.",
  },
  floor: {
    why: "without three floor boards and without a rear wheel plate nothing tells how the car moved",
    remedy:
      "Lay out three floor boards or more, or put plates on the rear wheels, and take the photos " +
      "of both positions again.",
  },
  "rear plates": {
    why: "without a rear wheel plate nothing tells how the car moved",
    remedy: "Put plates on the rear wheels and take the photos of both positions again.",
  },
});

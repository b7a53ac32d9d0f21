import type { Propagated, Quantity, StateView } from "../network/problem.ts";
import type { Remark } from "../photo/remark.ts";
import { methodRemarks } from "../vehicle/methods.ts";
import {
  boardAt,
  type VehicleSetup,
  type WheelPlace,
  type WheelSetup,
  wheelPlaces,
} from "../vehicle/setup.ts";
import type { PlacementSetup, StepContext } from "./checks.ts";
import type { CheckResult } from "./verdict.ts";

type Present = (board: string) => boolean;

/**
 * The set-up without what no photo shows: plates, points, floor boards, taught boards, and car
 * positions in which fewer than two plates are seen.
 */
export const keepPresent = (setup: PlacementSetup, present: Present): PlacementSetup => ({
  vehicle: keepPresentVehicle(setup.vehicle, present),
  targets: setup.targets
    .map((target) => ({ ...target, boards: target.boards.filter((b) => present(b.board)) }))
    .filter((target) => target.boards.length > 0),
});

const keepPresentVehicle = (vehicle: VehicleSetup, present: Present): VehicleSetup => {
  const points = (vehicle.points ?? []).filter((p) => present(p.board));
  const has = (name: string | undefined) => points.some((p) => p.name === name);
  const wheels: Partial<Record<WheelPlace, WheelSetup>> = {};
  for (const place of wheelPlaces) {
    const wheel = vehicle.wheels[place];
    const plate = wheel?.plate && present(wheel.plate.board) ? wheel.plate : undefined;
    const plumbPoint = has(wheel?.plumbPoint) ? wheel?.plumbPoint : undefined;
    if (plate || plumbPoint) wheels[place] = { plate, plumbPoint };
  }
  const seenIn = (position: string) =>
    wheelPlaces.filter((place) => {
      const plate = wheels[place]?.plate;
      return plate && present(boardAt(plate.board, position));
    });
  return {
    ...vehicle,
    wheels,
    points,
    positions: (vehicle.positions ?? []).filter((p) => seenIn(p.key).length >= 2),
    floor:
      vehicle.floor.kind === "boards"
        ? { ...vehicle.floor, boards: vehicle.floor.boards.filter((b) => present(b.board)) }
        : vehicle.floor,
  };
};

interface Propagating {
  readonly state: StateView;
  propagate(quantities: readonly Quantity[]): Propagated;
}

/** Findings that need the adjusted network: methods that disagree, a thrust line too weak. */
export const findingsAfter = (
  solution: Propagating,
  context: StepContext,
  checks: readonly CheckResult[],
): Remark[] => [
  ...methodRemarks(solution, context.setup.vehicle),
  ...secondPositionRemarks(context, checks),
];

/** One position leaves the plates' tilt in the thrust line; say so where the sheet depends on it. */
const secondPositionRemarks = (context: StepContext, checks: readonly CheckResult[]): Remark[] => {
  const { vehicle } = context.setup;
  const asked = context.sheet.secondPosition === true;
  const onThrust = context.sheet.axis === "thrust line";
  if ((vehicle.positions ?? []).length > 0 || (!asked && !onThrust)) return [];
  const open = checks.some((c) => c.verdict === "not proven");
  return [
    {
      code: asked ? "second-position-asked" : "second-position-helps",
      severity: asked || open ? "warning" : "info",
      message: asked
        ? "The placement sheet asks for a second position of the car, and there is only one."
        : "The thrust line rests on one position of the car: the tilt of the plates on the rims is in it.",
      remedy:
        "Roll the car by about half a turn of the wheels, photograph the wheel plates and floor " +
        "boards again, and add these photos as a second position.",
    },
  ];
};

import { type VehicleSetup, type WheelPlace, wheelPlaces } from "../../vehicle/setup.ts";
import type { Remark } from "../sheet/codes.ts";
import type { Check, PlacementSheet, PointRef, Step } from "../sheet/sheet.ts";
import { error } from "../sheet/sheet-remarks.ts";
import { type PlacementSetup, targetOfPoint } from "./checks.ts";

/** Three points determine the floor plane. */
const fewestFloorBoards = 3;

/**
 * Does the job have what the sheet asks for? Every missing thing is named before anything is
 * computed, so that no later function meets it.
 */
export const setupRemarks = (setup: PlacementSetup, sheet: PlacementSheet): Remark[] => [
  ...wheelRemarks(setup.vehicle),
  ...axisRemarks(setup.vehicle, sheet),
  ...floorRemarks(setup.vehicle),
  ...sheet.steps.flatMap((step, s) => stepRemarks(setup, step, `steps[${s}]`)),
];

const wheelRemarks = (vehicle: VehicleSetup): Remark[] => {
  const gone = wheelPlaces.filter((place) => !hasWheel(vehicle, place));
  return gone.length === 0
    ? []
    : [
        error(
          "wheels-missing",
          "wheels",
          `No wheel plate and no dropped hub point for: ${gone.join(", ")}.`,
          "Put a wheel plate on each wheel, or mark the hub's plumb point, and photograph it.",
          { places: gone },
        ),
      ];
};

const hasWheel = (vehicle: VehicleSetup, place: WheelPlace): boolean => {
  const wheel = vehicle.wheels[place];
  return (
    wheel?.plate !== undefined ||
    (wheel?.plumbPoint !== undefined && hasPoint(vehicle, wheel.plumbPoint))
  );
};

const hasPoint = (vehicle: VehicleSetup, name: string): boolean =>
  (vehicle.points ?? []).some((p) => p.name === name);

const axisRemarks = (vehicle: VehicleSetup, sheet: PlacementSheet): Remark[] => {
  const rearPlates = vehicle.wheels["rear left"]?.plate && vehicle.wheels["rear right"]?.plate;
  const centre = vehicle.centreline;
  return [
    ...(sheet.axis === "thrust line" && !rearPlates
      ? [
          error(
            "thrust-needs-plates",
            "axis",
            "The sheet places along the thrust line, and the job has no plates on both rear wheels.",
            "Put wheel plates on both rear wheels; a dropped point gives no direction.",
          ),
        ]
      : []),
    ...(sheet.origin.kind === "dropped point" && !hasPoint(vehicle, sheet.origin.name)
      ? [
          error(
            "origin-missing",
            "origin.name",
            `The sheet's origin is the dropped point "${sheet.origin.name}", which the job does not have.`,
            "Mark that point with a floor board or a pointer board and name it so, or choose another origin.",
            { name: sheet.origin.name },
          ),
        ]
      : []),
    ...(centre
      ? [centre.front, centre.rear]
          .filter((name) => !hasPoint(vehicle, name))
          .map((name) =>
            error(
              "centreline-point-missing",
              "centreline",
              `The centreline runs through the dropped point "${name}", which the job does not have.`,
              "Mark that point, or use the axle midpoints.",
              { name },
            ),
          )
      : []),
  ];
};

const floorRemarks = (vehicle: VehicleSetup): Remark[] => {
  const { floor } = vehicle;
  if (floor.kind === "wheels") {
    return [
      {
        code: "floor-from-wheels",
        severity: "info",
        message: "Fewer than three floor boards: the floor is taken below the wheel centres.",
        remedy: "Lay at least three floor boards for heights that do not depend on the tyres.",
        about: "floor",
      },
    ];
  }
  return floor.boards.length >= fewestFloorBoards
    ? []
    : [
        error(
          "floor-boards-few",
          "floor",
          `A floor needs at least three floor boards, and the job has ${floor.boards.length}.`,
          "Lay more floor boards between car and target, well apart and not in one line.",
          { count: floor.boards.length },
        ),
      ];
};

const stepRemarks = (setup: PlacementSetup, step: Step, field: string): Remark[] => {
  const named = setup.targets.some((t) => t.name === step.target.name);
  const only = setup.targets.length === 1 ? setup.targets[0].name : null;
  const target: Remark[] = named
    ? []
    : only !== null
      ? [
          {
            code: "target-other-name",
            values: { step: step.id, wanted: step.target.name, only },
            severity: "warning",
            message:
              `Step "${step.id}" asks for the target "${step.target.name}", ` +
              `and the job has only "${only}". That one is used: is it the same?`,
            remedy: "Give target and step the same name.",
            about: `${field}.target.name`,
          },
        ]
      : [
          error(
            "target-missing",
            `${field}.target.name`,
            `Step "${step.id}" asks for the target "${step.target.name}", which the job does not have.`,
            "Teach the target, or take it from the target library.",
            { name: step.target.name },
          ),
        ];
  return [
    ...target,
    ...step.checks.flatMap((check, c) => checkRemarks(setup, step, check, `${field}.checks[${c}]`)),
  ];
};

/** All points that a check names. */
export const pointsOf = (check: Check): PointRef[] => {
  switch (check.kind) {
    case "distance":
    case "lateral offset":
    case "height":
      return check.of ? [check.of] : [];
    case "straight distance":
    case "range":
    case "bearing":
      return [check.from, check.to];
    case "equal diagonals":
      return [...check.first, ...check.second];
    case "free space":
      return [check.from, ...check.obstacles];
    case "mat corner along":
    case "mat corner across":
      return [{ kind: "target corner", corner: check.corner }];
    case "floor flatness":
      return (check.boards ?? []).map((board) => ({ kind: "floor board", board }));
    default:
      return [];
  }
};

const checkRemarks = (setup: PlacementSetup, step: Step, check: Check, field: string): Remark[] => [
  ...pointsOf(check).flatMap((ref) => refRemarks(setup, step, ref, field)),
  ...(check.kind === "floor flatness" ? flatnessRemarks(setup, check, field) : []),
];

/** Flatness is the range over the boards that it names: none of them may be missing unnoticed. */
const flatnessRemarks = (
  { vehicle: { floor } }: PlacementSetup,
  check: Extract<Check, { kind: "floor flatness" }>,
  field: string,
): Remark[] => {
  if (floor.kind !== "boards")
    return [
      error(
        "flatness-needs-boards",
        field,
        `Check "${check.id}" asks for the floor's flatness, and the job has no floor boards.`,
        "Lay floor boards where the floor is to be checked.",
      ),
    ];
  const known = new Set(floor.boards.map((entry) => entry.board));
  const unknown = (check.boards ?? []).filter((board) => !known.has(board));
  if (unknown.length === 0) return [];
  return [
    error(
      "flatness-board-unknown",
      field,
      `Check "${check.id}" asks for the floor's flatness at board ${unknown.join(", ")}, ` +
        "which is no floor board of this job or is in no photo.",
      "Lay a floor board there and photograph it, or correct the check.",
      { boards: unknown },
    ),
  ];
};

const refRemarks = (setup: PlacementSetup, step: Step, ref: PointRef, field: string): Remark[] => {
  if (ref.kind === "dropped point" && !hasPoint(setup.vehicle, ref.name)) {
    return [
      error(
        "point-missing",
        field,
        `The check uses the dropped point "${ref.name}", which the job does not have.`,
        "Mark that point with a floor board or a pointer board and give it this name.",
        { name: ref.name },
      ),
    ];
  }
  if (!("target" in ref) && ref.kind !== "target corner") return [];
  const target = targetOfPoint(setup, step, ref.target);
  if (!target)
    return ref.target === undefined
      ? [] // The step's own target is asked for by the step.
      : [
          error(
            "target-missing",
            field,
            `The check uses the target "${ref.target}", which the job does not have.`,
            "Teach that target, or correct the name.",
            { name: ref.target },
          ),
        ];
  const sized = target.widthMm !== undefined && target.heightMm !== undefined;
  return ref.kind !== "target corner" || sized
    ? []
    : [
        error(
          "target-size-missing",
          field,
          `The check uses a corner of "${target.name}", whose width and height are not stated.`,
          "State the width and height of its face in the step or in the target library.",
          { name: target.name },
        ),
      ];
};

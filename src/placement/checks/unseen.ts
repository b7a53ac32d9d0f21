import type { SaidValues } from "../../say/remark.ts";
import { isFront, wheelPlaces } from "../../vehicle/setup.ts";
import type { PlacementCode, Remark } from "../sheet/codes.ts";
import type { PlacementSheet, PointRef, Step } from "../sheet/sheet.ts";
import { type PlacementSetup, targetFor } from "./checks.ts";
import { pointsOf } from "./contradictions.ts";

type Present = (board: string) => boolean;

/** Three points determine the floor plane. */
const fewestFloorBoards = 3;

/**
 * What one step of the sheet needs and no photo shows: wheel plates, the stand, marked points,
 * floor boards, other targets. Each is named, since without it nothing can be computed.
 */
export const unseenRemarks = (
  setup: PlacementSetup,
  sheet: Pick<PlacementSheet, "origin" | "axis">,
  step: Step,
  present: Present,
): Remark[] => [
  ...unseenWheels(setup, sheet, present),
  ...unseenStand(setup, step, present),
  ...unseenPoints(setup, sheet, step, present),
  ...unseenFloor(setup, present),
];

const unseen = (code: PlacementCode, message: string, values: SaidValues): Remark => ({
  code,
  severity: "error",
  message,
  remedy: "Photograph it together with floor boards, from two sides.",
  values,
});

/** A hub's dropped point stands in for its plate, but gives the thrust line no direction. */
const unseenWheels = (
  { vehicle }: PlacementSetup,
  { axis }: Pick<PlacementSheet, "axis">,
  present: Present,
): Remark[] => {
  const lacking = wheelPlaces.flatMap((place) => {
    const wheel = vehicle.wheels[place];
    const forThrust = axis === "thrust line" && !isFront(place);
    const plate = wheel?.plumbPoint && !forThrust ? undefined : wheel?.plate;
    return plate && !present(plate.board) ? [{ place, board: plate.board }] : [];
  });
  if (lacking.length === 0) return [];
  const names = lacking.map(({ place, board }) => `${place} (board ${board})`).join(", ");
  return [
    unseen(
      "wheels-unseen",
      `No photo shows the wheel ${lacking.length === 1 ? "plate" : "plates"} ${names}.`,
      { boards: lacking.map(({ board }) => board) },
    ),
  ];
};

const unseenStand = (setup: PlacementSetup, step: Step, present: Present): Remark[] => {
  const { name, boards } = targetFor(setup, step.target.name);
  if (boards.some((taught) => present(taught.board))) return [];
  const ids = boards.map((taught) => taught.board);
  return [
    // True also where photos show the stand alone: what is missing is one that ties it to the car.
    unseen(
      "stand-unseen",
      `No stand board of "${name}" (${ids.join(", ")}) could be placed: no photo shows one together ` +
        "with boards of the bay.",
      { name, boards: ids },
    ),
  ];
};

const unseenPoints = (
  setup: PlacementSetup,
  sheet: Pick<PlacementSheet, "origin">,
  step: Step,
  present: Present,
): Remark[] => {
  const { centreline } = setup.vehicle;
  const points: PointRef[] = [
    ...(sheet.origin.kind === "dropped point" ? [sheet.origin] : []),
    ...[centreline?.front, centreline?.rear].flatMap((name) =>
      name === undefined ? [] : [{ kind: "dropped point" as const, name }],
    ),
    ...step.checks.flatMap(pointsOf),
  ];
  const lacking = new Map(
    points.flatMap((ref) =>
      unseenBoards(setup, ref, present).map((found) => [found.words, found] as const),
    ),
  );
  return [...lacking.values()].map(({ words, values }) =>
    unseen("point-unseen", `No photo shows ${words}, which step "${step.id}" needs.`, {
      ...values,
      step: step.id,
    }),
  );
};

const unseenFloor = ({ vehicle }: PlacementSetup, present: Present): Remark[] => {
  if (vehicle.floor.kind !== "boards") return [];
  const count = vehicle.floor.boards.filter((entry) => present(entry.board)).length;
  if (count >= fewestFloorBoards) return [];
  return [
    unseen(
      "floor-boards-few",
      `Photos show ${count} floor boards; the floor needs at least three.`,
      { count },
    ),
  ];
};

interface Unseen {
  readonly words: string;
  readonly values: SaidValues;
}

const unseenBoards = (setup: PlacementSetup, ref: PointRef, present: Present): Unseen[] => {
  if (ref.kind === "floor board")
    return present(ref.board)
      ? []
      : [{ words: `floor board ${ref.board}`, values: { boards: [ref.board] } }];
  if (ref.kind === "dropped point") {
    const point = setup.vehicle.points?.find((p) => p.name === ref.name);
    return point && !present(point.board)
      ? [
          {
            words: `the point "${ref.name}" (board ${point.board})`,
            values: { boards: [point.board] },
          },
        ]
      : [];
  }
  if ("target" in ref && ref.target !== undefined) {
    const target = setup.targets.find((t) => t.name === ref.target);
    return target && !target.boards.some((b) => present(b.board))
      ? [
          {
            words: `a board of the target "${ref.target}"`,
            values: { boards: target.boards.map((b) => b.board) },
          },
        ]
      : [];
  }
  return [];
};

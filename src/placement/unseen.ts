import type { Remark } from "../photo/remark.ts";
import type { PlacementSetup } from "./checks.ts";
import { pointsOf } from "./contradictions.ts";
import type { PlacementSheet, PointRef, Step } from "./sheet.ts";

/**
 * What one step of the sheet needs and no photo shows: marked points, floor boards, other targets.
 * Wheel plates and the step's own target are the job's to name.
 */
export const unseenRemarks = (
  setup: PlacementSetup,
  sheet: Pick<PlacementSheet, "origin">,
  step: Step,
  present: (board: string) => boolean,
): Remark[] => {
  const { centreline, floor } = setup.vehicle;
  const points: PointRef[] = [
    ...(sheet.origin.kind === "dropped point" ? [sheet.origin] : []),
    ...[centreline?.front, centreline?.rear].flatMap((name) =>
      name === undefined ? [] : [{ kind: "dropped point" as const, name }],
    ),
    ...step.checks.flatMap(pointsOf),
  ];
  const lacking = new Set(points.flatMap((ref) => unseenBoards(setup, ref, present)));
  const onFloor = floor.kind === "boards" ? floor.boards.filter((b) => present(b.board)) : [];
  return [
    ...[...lacking].map((what) =>
      unseen("point-unseen", `No photo shows ${what}, which step "${step.id}" needs.`),
    ),
    ...(floor.kind === "boards" && onFloor.length < 3
      ? [
          unseen(
            "floor-boards-few",
            `Photos show ${onFloor.length} floor boards; the floor needs at least three.`,
          ),
        ]
      : []),
  ];
};

const unseen = (code: string, message: string): Remark => ({
  code,
  severity: "error",
  message,
  remedy: "Photograph it together with other boards, from two sides.",
});

const unseenBoards = (
  setup: PlacementSetup,
  ref: PointRef,
  present: (board: string) => boolean,
): string[] => {
  if (ref.kind === "floor board") return present(ref.board) ? [] : [`floor board ${ref.board}`];
  if (ref.kind === "dropped point") {
    const point = setup.vehicle.points?.find((p) => p.name === ref.name);
    return point && !present(point.board) ? [`the point "${ref.name}" (board ${point.board})`] : [];
  }
  if ("target" in ref && ref.target !== undefined) {
    const target = setup.targets.find((t) => t.name === ref.target);
    return target && !target.boards.some((b) => present(b.board))
      ? [`a board of the target "${ref.target}"`]
      : [];
  }
  return [];
};

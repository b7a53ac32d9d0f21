import type { Remark } from "../photo/remark.ts";
import type { PlacementSetup } from "./checks.ts";

/**
 * After a move only the stand is photographed again. The new photos join the same network through
 * the floor boards in view, the old car stays; the stand's boards get new keys, because they are
 * in a new place, and the target is tied to those.
 */
export const movedBoard = (board: string, move: number): string => `${board}#${move}`;

/** The set-up whose targets sit on the boards as they stand after move number `move` (1, 2, ...). */
export const setupAfterMove = (setup: PlacementSetup, move: number): PlacementSetup => ({
  ...setup,
  targets: setup.targets.map((target) => ({
    ...target,
    boards: target.boards.map((taught) => ({ ...taught, board: movedBoard(taught.board, move) })),
  })),
});

/** Do the new photos hang on to the old network? Two floor boards or more must be in view. */
export const reshootRemarks = (
  floorBoardsSeen: readonly string[],
  standBoardsSeen: readonly string[],
): Remark[] => [
  ...(new Set(floorBoardsSeen).size >= 2
    ? []
    : [
        {
          code: "reshoot-needs-floor",
          severity: "error" as const,
          message: "The new photos of the stand show fewer than two floor boards.",
          remedy: "Step back so that two or more floor boards are in view with the stand.",
        },
      ]),
  ...(standBoardsSeen.length > 0
    ? []
    : [
        {
          code: "reshoot-needs-stand",
          severity: "error" as const,
          message: "The new photos show no board of the stand.",
          remedy: "Photograph the stand's boards.",
        },
      ]),
];

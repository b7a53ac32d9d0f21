import type { Propagated, Quantity } from "../adjust/problem/problem.ts";
import { normalSurvival } from "../maths/statistics.ts";
import type { Remark } from "./codes.ts";
import { floorQuantities } from "./floor.ts";
import type { VehicleSetup } from "./setup.ts";

/** So many boards define their plane: none of them can stand out from it. */
const boardsOfAPlane = 3;

/** Floor boards whose spot stands out from the plane more than their statement explains. */
export const floorRemarks = (
  solution: { propagate(quantities: readonly Quantity[]): Propagated },
  setup: VehicleSetup,
  heightSdMm: number,
): Remark[] => {
  const { floor } = setup;
  if (floor.kind !== "boards" || floor.boards.length <= boardsOfAPlane) return [];
  const { values } = solution.propagate(floorQuantities(floor));
  return floor.boards.flatMap((entry, i) => {
    const chance = 2 * normalSurvival(Math.abs(values[i]) / heightSdMm);
    if (chance * floor.boards.length > 0.01) return [];
    const way = values[i] > 0 ? "above" : "below";
    return [
      {
        code: "floor-board-off-plane",
        values: { board: entry.board, rise: Math.abs(values[i]), way, stated: heightSdMm },
        severity: "warning" as const,
        message:
          `The floor at board ${entry.board} lies ${Math.abs(values[i]).toFixed(1)} mm ${way} ` +
          `the plane of the others (stated unevenness ${heightSdMm} mm).`,
        remedy: "Look under the board; if the floor is really so, state its unevenness.",
        about: entry.board,
      },
    ];
  });
};

/** A difference between the floors of car and target that chance does not explain, and that counts. */
const tellMm = 2;

/** Says how much lower or higher the floor under the target lies than under the car. */
export const floorStepRemark = (riseMm: number, sdMm: number, counted: string): Remark[] => {
  if (Math.abs(riseMm) < tellMm || Math.abs(riseMm) < 3 * sdMm) return [];
  const way = riseMm > 0 ? "higher" : "lower";
  return [
    {
      code: "floor-differs",
      values: { rise: Math.abs(riseMm), way, counted },
      severity: "warning",
      message:
        `The floor under the target lies ${Math.abs(riseMm).toFixed(1)} mm ${way} than under the ` +
        `car. The sheet counts heights from the ${counted}.`,
      remedy: "Make sure that the procedure means the same floor.",
      about: "floor",
    },
  ];
};

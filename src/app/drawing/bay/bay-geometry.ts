import type { Result } from "../../../job/result/result.ts";
import { type Point, plus, rotate, type View } from "./view.ts";

/** Corners and ends of what the drawings of the bay show, vehicle-frame mm. */

type Drawing = Result["drawing"];

export const tyreRadius = 315;
const tyreWidth = 205;

/** A generic outline: the tool does not know the body, so it is thin and says so by its dashes. */
export function bodyOutline(
  result: { readonly drawing: Pick<Drawing, "frontAxleMm" | "rearAxleMm"> },
  side: View["side"],
): Point[] {
  const front = result.drawing.frontAxleMm[0];
  const rear = result.drawing.rearAxleMm[0];
  const points: readonly (readonly [number, number])[] =
    side === "plan"
      ? [
          [front + 820, 520],
          [front + 640, 800],
          [front - 300, 860],
          [rear - 100, 860],
          [rear - 620, 800],
          [rear - 720, 560],
          [rear - 720, -560],
          [rear - 620, -800],
          [rear - 100, -860],
          [front - 300, -860],
          [front + 640, -800],
          [front + 820, -520],
        ]
      : [
          [front + 820, 330],
          [front + 780, 640],
          [front + 420, 820],
          [front - 420, 960],
          [front - 1080, 1430],
          [rear + 200, 1470],
          [rear - 480, 1200],
          [rear - 700, 900],
          [rear - 690, 330],
        ];
  return points.map(([x, other]) => (side === "plan" ? [x, other, 0] : [x, 0, other]));
}

/** A tyre seen from above, mm. */
export function wheelCorners(wheel: Drawing["wheels"][number]): Point[] {
  const inward = wheel.centreMm[1] > 0 ? -1 : 1;
  const across = wheel.axisMm[1] * inward > 0 ? wheel.axisMm : wheel.axisMm.map((v) => -v);
  const ahead = [across[1] * inward, -across[0] * inward, 0];
  return [
    [1, 0],
    [1, 1],
    [-1, 1],
    [-1, 0],
  ].map(([a, b]) =>
    plus(plus(wheel.centreMm, ahead, a * tyreRadius), across, (b - 0.5) * tyreWidth),
  );
}

/** The pattern of a board, mm. */
export function boardCorners({
  cellMm,
  pose,
}: {
  readonly cellMm: number;
  readonly pose: Pick<Result["boards"][number]["pose"], "positionMm" | "rotation">;
}): Point[] {
  const half = cellMm * 7;
  return [
    [half, half, 0],
    [half, -half, 0],
    [-half, -half, 0],
    [-half, half, 0],
  ].map((corner) => plus(pose.positionMm, rotate(pose.rotation, corner)));
}

/**
 * From the rear axle along the thrust line to a little beyond what is measured ahead, mm; empty
 * where no thrust line was measured.
 */
export function thrustEnds({ drawing }: Result): readonly Point[] {
  const { rearAxleMm: rear, thrustDirection } = drawing;
  if (!thrustDirection) return [];
  return [
    rear,
    plus(rear, thrustDirection, (reachOf(drawing) + 200 - rear[0]) / thrustDirection[0]),
  ];
}

/** How far ahead the lines are drawn. */
export const reachOf = ({ requiredTarget, measuredTarget }: Drawing): number =>
  Math.max(1200, (requiredTarget ?? measuredTarget)?.positionMm[0] ?? 0);

/** The face of a target, mm; where its size is not stated, 600 mm square. */
export function targetCorners(
  target: NonNullable<Drawing["measuredTarget"]>,
  sizeMm: Drawing["targetSizeMm"],
): Point[] {
  const half = [(sizeMm?.[0] ?? 600) / 2, (sizeMm?.[1] ?? 600) / 2];
  return [
    [half[0], half[1], 0],
    [half[0], -half[1], 0],
    [-half[0], -half[1], 0],
    [-half[0], half[1], 0],
  ].map((corner) => plus(target.positionMm, rotate(target.rotation, corner)));
}

/** How far the drawn body reaches ahead of the front axle, and how high its nose is drawn, mm. */
const noseAheadMm = 820;
const noseHighMm = 560;

/** The middle of the drawn body's front. */
export const noseOf = ({ drawing }: Result, side: "plan" | "side"): Point => [
  drawing.frontAxleMm[0] + noseAheadMm,
  0,
  side === "plan" ? 0 : noseHighMm,
];

/** How far to the right of the car the required distance is drawn, mm. */
const dimensionAsideMm = 1150;

/**
 * The required distance as a dimension: its two ends on the paper's floor, front axle first, and its
 * value in mm. Null where the sheet states none, or the target stands behind the axle.
 */
export function requiredDistance({
  drawing,
  checks,
}: Result): { readonly ends: readonly [Point, Point]; readonly valueMm: number } | null {
  const { requiredTarget, frontAxleMm } = drawing;
  const distance = checks.find(({ quantity }) => quantity === "distance");
  if (!requiredTarget || !distance || requiredTarget.positionMm[0] < frontAxleMm[0]) {
    return null;
  }
  const across = frontAxleMm[1] - dimensionAsideMm;
  return {
    ends: [
      [frontAxleMm[0], across, 0],
      [requiredTarget.positionMm[0], across, 0],
    ],
    valueMm: distance.required,
  };
}

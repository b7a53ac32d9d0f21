import type { Result } from "../../job/result.ts";

export type Point = readonly [number, number, number] | readonly number[];

/** One projection of the bay on paper. `at` takes vehicle-frame mm and gives px. */
export interface View {
  readonly side: "plan" | "side";
  readonly scale: number;
  readonly width: number;
  readonly height: number;
  at(point: Point): readonly [number, number];
}

export interface Bounds {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Room around the car's wheels that stands for its body, mm. */
const overhang = 850;
const halfBody = 900;

/** Everything to be shown, in paper directions (mm): x to the right, y down. */
export function boundsOf({ drawing, boards }: Result, side: "plan" | "side"): Bounds {
  const points: number[][] = [
    ...drawing.wheels.map((wheel) => [...wheel.centreMm]),
    ...boards.map((board) => [...board.pose.positionMm]),
    ...[drawing.requiredTarget, drawing.measuredTarget].flatMap((target) =>
      target ? [[...target.positionMm]] : [],
    ),
    [drawing.frontAxleMm[0] + overhang, halfBody, 0],
    [drawing.rearAxleMm[0] - overhang, -halfBody, 0],
    [0, 0, 0],
    [0, 0, 1500],
  ];
  const xs = points.map((point) => (side === "plan" ? -point[1] : point[0]));
  const ys = points.map((point) => (side === "plan" ? -point[0] : -point[2]));
  return {
    left: Math.min(...xs) - 150,
    right: Math.max(...xs) + 150,
    top: Math.min(...ys) - 250,
    bottom: Math.max(...ys) + 200,
  };
}

/** Vector R v of a row-major 3 x 3 rotation. */
export const rotate = (rotation: readonly number[], v: Point): number[] => [
  rotation[0] * v[0] + rotation[1] * v[1] + rotation[2] * v[2],
  rotation[3] * v[0] + rotation[4] * v[1] + rotation[5] * v[2],
  rotation[6] * v[0] + rotation[7] * v[1] + rotation[8] * v[2],
];

export const plus = (a: Point, b: Point, factor = 1): number[] => [
  a[0] + factor * b[0],
  a[1] + factor * b[1],
  a[2] + factor * b[2],
];

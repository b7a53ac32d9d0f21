import type { Result } from "../../../job/result/result.ts";

export type Point = readonly [number, number, number] | readonly number[];

/** One projection of the bay on paper. `at` takes vehicle-frame mm and gives px. */
export type Projection = "plan on its side" | "side";

/** Vehicle-frame mm to paper directions (x right, y down). The car's front is to the right in every drawing. */
export function onPaper(point: Point, projection: Projection): readonly [number, number] {
  switch (projection) {
    case "plan on its side":
      return [point[0], -point[1]];
    case "side":
      return [point[0], -point[2]];
  }
}

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
export function boundsOf({ drawing, boards }: Result, projection: Projection): Bounds {
  const points = [
    ...drawing.wheels.map((wheel) => [...wheel.centreMm]),
    ...boards.map((board) => [...board.pose.positionMm]),
    ...[drawing.requiredTarget, drawing.measuredTarget].flatMap((target) =>
      target ? targetReach(target, drawing.targetSizeMm) : [],
    ),
    [drawing.frontAxleMm[0] + overhang, halfBody, 0],
    [drawing.rearAxleMm[0] - overhang, -halfBody, 0],
    [0, 0, 0],
    [0, 0, projection === "side" ? 1500 : 0],
  ].map((point) => onPaper(point, projection));
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const room = 250;
  return {
    left: Math.min(...xs) - room,
    right: Math.max(...xs) + room,
    top: Math.min(...ys) - room,
    bottom: Math.max(...ys) + room,
  };
}

/** The four ends of a target's face along its own axes. */
function targetReach(
  { positionMm, rotation }: NonNullable<Result["drawing"]["measuredTarget"]>,
  sizeMm: Result["drawing"]["targetSizeMm"],
): number[][] {
  const [width, height] = sizeMm ?? [600, 600];
  return [-1, 1].flatMap((sign) => [
    plus(positionMm, rotate(rotation, [(sign * width) / 2, 0, 0])),
    plus(positionMm, rotate(rotation, [0, (sign * height) / 2, 0])),
  ]);
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

import { z } from "zod";
import type { Result } from "../job/result/result.ts";
import {
  column,
  cross,
  degrees,
  dot,
  type Mat3,
  norm,
  type Pose,
  scale,
  sub,
  unit,
  type Vec3,
} from "../maths/pose.ts";

/**
 * The renderer's truth beside what was measured. Only the demonstration knows this file; the
 * measurement never sees it.
 */

const vector = z.array(z.number()).length(3);
const poseSchema = z.object({ rotation: z.array(vector).length(3), translation: vector });

export const truthSchema = z.object({
  format: z.literal("sample-truth"),
  boards: z.array(z.object({ id: z.number(), vehicleFromBoard: poseSchema })),
  vehicle: z.object({ thrustAngleDeg: z.number(), wheelbase: z.number() }),
  target: z.object({
    required: z.object({
      aheadOfFrontAxle: z.number(),
      leftOfCentreline: z.number(),
      heightAboveFloor: z.number(),
      yawDeg: z.number(),
      pitchDeg: z.number(),
      rollDeg: z.number(),
    }),
    deviationFromRequired: z.record(z.string(), z.number()),
  }),
});
export type Truth = z.infer<typeof truthSchema>;

const truthKeys = {
  distance: "aheadOfFrontAxle",
  "lateral offset": "leftOfCentreline",
  height: "heightAboveFloor",
  yaw: "yawDeg",
  pitch: "pitchDeg",
  roll: "rollDeg",
} as const;

/** True value of a check of the demo sheet; null for kinds that the truth file does not hold. */
export const trueValue = (truth: Truth, quantity: string): number | null => {
  const key = truthKeys[quantity as keyof typeof truthKeys];
  if (!key) return null;
  return truth.target.required[key] + truth.target.deviationFromRequired[key];
};

const toPose = (p: z.infer<typeof poseSchema>): Pose => ({
  R: p.rotation.flat() as unknown as Mat3,
  t: p.translation as unknown as Vec3,
});

type Boards = ReadonlyMap<number, Pose>;

export const trueBoards = (truth: Truth): Boards =>
  new Map(truth.boards.map(({ id, vehicleFromBoard }) => [id, toPose(vehicleFromBoard)]));

export const measuredBoards = (result: Result): Boards =>
  new Map(
    result.boards.map(({ id, pose }) => [
      id,
      { R: pose.rotation as unknown as Mat3, t: pose.positionMm as unknown as Vec3 },
    ]),
  );

const middle = (a: Vec3, b: Vec3): Vec3 => [
  (a[0] + b[0]) / 2,
  (a[1] + b[1]) / 2,
  (a[2] + b[2]) / 2,
];

export interface BoardOnlyPlacement {
  readonly aheadMm: number;
  readonly leftMm: number;
  readonly yawDeg: number;
}

/**
 * Place of the stand boards in a frame made of the printed boards alone: no plate, floor or target
 * statement enters, so the difference to the truth is the camera's share of the error. X runs from
 * the middle of the rear wheel boards to the middle of the front ones, Z is the mean up direction
 * of the front pair across X; the stand is the middle of boards 31 and 32, its yaw that of the
 * line from 31 to 32 (which is long, hence exact).
 */
export const boardOnlyPlacement = (boards: Boards): BoardOnlyPlacement => {
  const at = (id: number): Vec3 => {
    const pose = boards.get(id);
    if (!pose) throw new Error(`board ${id} was not placed`);
    return pose.t;
  };
  const front = middle(at(1), at(2));
  const x = unit(sub(front, middle(at(3), at(4))));
  const across = sub(at(1), at(2));
  const y = unit(sub(across, scale(x, dot(across, x))));
  const stand = sub(middle(at(31), at(32)), front);
  const line = sub(at(31), at(32));
  const up = cross(x, y);
  const level = sub(line, scale(up, dot(line, up)));
  return {
    aheadMm: dot(stand, x),
    leftMm: dot(stand, y),
    yawDeg: degrees(Math.atan2(dot(level, x), Math.abs(dot(level, y)))),
  };
};

export interface PairErrors {
  readonly pairs: number;
  readonly worstMm: number;
  readonly rmsMm: number;
  /** Common scale error of all distances, parts per million: rulers and laser, not the camera. */
  readonly scalePpm: number;
  /** The same two once that common scale is taken out. */
  readonly shapeWorstMm: number;
  readonly shapeRmsMm: number;
  /** Largest error of an angle between two boards' normals. */
  readonly angleDeg: number;
}

/** Errors of the distances between boards' centres and of the angles between their normals. */
export const pairErrors = (truth: Boards, measured: Boards): PairErrors => {
  const ids = [...measured.keys()].filter((id) => truth.has(id));
  const lengths: { readonly exact: number; readonly error: number }[] = [];
  let angleDeg = 0;
  for (const [i, a] of ids.entries())
    for (const b of ids.slice(i + 1)) {
      const distance = (m: Boards): number => norm(sub(m.get(a)!.t, m.get(b)!.t));
      const between = (m: Boards): number =>
        degrees(
          Math.acos(Math.min(1, Math.max(-1, dot(column(m.get(a)!.R, 2), column(m.get(b)!.R, 2))))),
        );
      const exact = distance(truth);
      lengths.push({ exact, error: distance(measured) - exact });
      const turned = Math.abs(between(measured) - between(truth));
      if (between(truth) > 5) angleDeg = Math.max(angleDeg, turned);
    }
  const squares = lengths.reduce((sum, { exact }) => sum + exact * exact, 0);
  const scale = lengths.reduce((sum, { exact, error }) => sum + exact * error, 0) / squares;
  const errors = lengths.map(({ error }) => error);
  const shape = lengths.map(({ exact, error }) => error - scale * exact);
  return {
    pairs: lengths.length,
    worstMm: largest(errors),
    rmsMm: rootMeanSquare(errors),
    scalePpm: 1e6 * scale,
    shapeWorstMm: largest(shape),
    shapeRmsMm: rootMeanSquare(shape),
    angleDeg,
  };
};

const largest = (values: readonly number[]): number => Math.max(0, ...values.map(Math.abs));

const rootMeanSquare = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / Math.max(1, values.length));

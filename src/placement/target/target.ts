import {
  expRotation,
  type Mat3,
  matMul,
  type Pose,
  radians,
  transpose,
  type Vec3,
  yawPitchRoll,
} from "../../maths/pose.ts";
import type { Radians } from "../../maths/units.ts";
import type { ProblemPieces } from "../../vehicle/pieces.ts";
import type { StartPoses } from "../../vehicle/setup.ts";
import type { TargetRequest } from "../sheet/sheet.ts";

/**
 * A target as the job knows it: boards fixed to its stand, and where its reference point and face
 * are relative to each of them ("taught" once, then kept in the target library).
 *
 * Target frame: origin at the reference point, x to the right and y up as seen from the front, z
 * out of the face. For a mat lying on the floor: y ahead.
 */
export interface TargetSetup {
  /** As in the placement sheet's step. */
  readonly name: string;
  readonly boards: readonly TargetBoard[];
  /** Size of the face, for corners and drawings. */
  readonly widthMm?: number;
  readonly heightMm?: number;
  /** Reference point in the face: from the centre of the face to the right and up. Default 0, 0. */
  readonly referenceInFaceMm?: readonly [number, number];
  /** Feet of the stand in the target frame, with the names that a person would use. */
  readonly feet?: readonly { readonly name: string; readonly inTargetMm: Vec3 }[];
}

export interface TargetBoard {
  /** Board key, for instance "31". */
  readonly board: string;
  /** Where the board's centre is in the target frame, mm. */
  readonly centreInTargetMm: Vec3;
  /** Turns of the board against the target: yaw about y, pitch about x, roll about z, degrees. */
  readonly turnDeg?: {
    readonly aboutX?: number;
    readonly aboutY?: number;
    readonly aboutZ?: number;
  };
  /** How exactly the offset was taught, per direction. */
  readonly shiftSdMm: number;
  readonly turnSdDeg: number;
}

export const targetKey = (name: string): string => `target:${name}`;

/** targetFromBoard of a taught board: R = Rx Ry Rz of the stated turns. */
export const targetFromBoard = (taught: TargetBoard): Pose => {
  const turn = taught.turnDeg ?? {};
  return {
    R: matMul(
      matMul(
        expRotation([radians(turn.aboutX ?? 0), 0, 0]),
        expRotation([0, radians(turn.aboutY ?? 0), 0]),
      ),
      expRotation([0, 0, radians(turn.aboutZ ?? 0)]),
    ),
    t: taught.centreInTargetMm,
  };
};

/** The target's frame in the adjustment, tied to each of its boards by the taught offset. */
export const targetPieces = (
  target: TargetSetup,
  start: StartPoses = () => undefined,
): ProblemPieces => {
  const known = target.boards.find((b) => start(b.board));
  const bayFromBoard = known && start(known.board);
  const startPose = known && bayFromBoard && composeInverse(bayFromBoard, targetFromBoard(known));
  return {
    floor: [],
    frames: [{ key: targetKey(target.name), start: startPose }],
    scalars: [],
    chains: target.boards.map((taught) => {
      const turn = radians(taught.turnSdDeg);
      const shift = taught.shiftSdMm;
      return {
        key: `taught:${target.name}:${taught.board}`,
        links: [
          { kind: "pose" as const, key: taught.board, inverse: true },
          { kind: "pose" as const, key: targetKey(target.name) },
          { kind: "fixed" as const, pose: targetFromBoard(taught) },
        ],
        sd: [turn, turn, turn, shift, shift, shift] as const,
        source: "target offset" as const,
      };
    }),
  };
};

/** aFromB . (cFromB)^-1 = aFromC. */
const composeInverse = (aFromB: Pose, cFromB: Pose): Pose => {
  const R = matMul(aFromB.R, transpose(cFromB.R));
  const t = aFromB.t.map(
    (v, i) =>
      v - (R[3 * i] * cFromB.t[0] + R[3 * i + 1] * cFromB.t[1] + R[3 * i + 2] * cFromB.t[2]),
  );
  return { R, t: [t[0], t[1], t[2]] };
};

export type Facing = TargetRequest["facing"];

/** Axes of a target that faces the car from ahead, as columns in the axis frame: -Y, Z, -X. */
const facingRearward: Mat3 = [0, 0, -1, -1, 0, 0, 0, 1, 0];
/** A mat: x to the right, y ahead, z up. */
const lyingUp: Mat3 = [0, 1, 0, -1, 0, 0, 0, 0, 1];
const turnOfFacing = { rearward: 0, forward: Math.PI, left: -Math.PI / 2, right: Math.PI / 2 };

/**
 * Rotation axisFromTarget of a target with the given turns (rad): the facing's heading and the yaw
 * about Z, then pitch and roll about the level axes of a target that faces rearward. So pitch is
 * positive where the face looks up, roll where the left end, seen from the front, is high; for a
 * target ahead of the car these are the signs of ISO 8855.
 */
export const rotationOf = (facing: Facing, yaw: Radians, pitch: Radians, roll: Radians): Mat3 => {
  const heading = facing === "up" ? 0 : turnOfFacing[facing];
  const base = facing === "up" ? lyingUp : facingRearward;
  const turned = matMul(
    matMul(expRotation([0, 0, heading + yaw]), expRotation([0, pitch, 0])),
    expRotation([roll, 0, 0]),
  );
  return matMul(turned, base);
};

/** Inverse of rotationOf: yaw in (-pi, pi]. */
export const turnsOf = (
  facing: Facing,
  axisFromTarget: Mat3,
): { yaw: Radians; pitch: Radians; roll: Radians } => {
  const base = facing === "up" ? lyingUp : facingRearward;
  const heading = facing === "up" ? 0 : turnOfFacing[facing];
  const turned = matMul(expRotation([0, 0, -heading]), matMul(axisFromTarget, transpose(base)));
  return yawPitchRoll(turned);
};

export type Corner = "upper left" | "upper right" | "lower left" | "lower right";

/** A corner of the face in the target frame; needs the target's size. */
export const cornerInTarget = (target: TargetSetup, corner: Corner): Vec3 => {
  if (target.widthMm === undefined || target.heightMm === undefined) {
    throw new Error(`The target "${target.name}" has no width and height, so no corners.`);
  }
  const [rx, ry] = target.referenceInFaceMm ?? [0, 0];
  const x = (corner.endsWith("right") ? 0.5 : -0.5) * target.widthMm - rx;
  const y = (corner.startsWith("upper") ? 0.5 : -0.5) * target.heightMm - ry;
  return [x, y, 0];
};

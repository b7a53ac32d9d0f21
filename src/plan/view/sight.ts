import { type Lens, project } from "../../lens/lens.ts";
import {
  column,
  compose,
  dot,
  invert,
  matVec,
  norm,
  type Pose,
  sub,
  transform,
  transpose,
  type Vec3,
} from "../../maths/pose.ts";
import type { Obstacle, PlacedBoard } from "./bay.ts";
import { seeCell } from "./predicted-view.ts";

/** What of a board a phone at some place can see. */
export interface SightLimits {
  /** Smallest mean side of a cell, px. */
  readonly cellPx: number;
  /** Largest angle between the board's normal and the line of sight, degrees. */
  readonly slantDeg: number;
  /** Nearest distance, mm: closer by, a phone changes to its close-up lens. */
  readonly nearestMm: number;
  /** Largest difference of 1 / distance within a photo, 1/mm: what stays sharp together. */
  readonly sharpness: number;
  /** Room that a board keeps from the frame's edge, as a share of each side. */
  readonly edgeShare: number;
}

/**
 * A little inside of what the finder grades "good" (cells of 4 px, 73 degrees; detect/quality), so
 * that a photo taken a hand's breadth off still shows the board. Distances: with an opening of 3 mm
 * and a focal length of 5.6 mm (a phone's main camera, from memory), 1.2 per metre either side of
 * the focus blur by some 2.5 px at the most.
 */
export const usualLimits: SightLimits = {
  cellPx: 4.6,
  slantDeg: 68,
  nearestMm: 600,
  sharpness: 0.0012,
  edgeShare: 0.09,
};

/** Half of the print with its white margin, cells: all of it must be in the picture. */
const halfPrint = 8;

export interface Sighted {
  readonly board: PlacedBoard;
  readonly distance: number;
  /** Unit vector from the phone to the board's centre. */
  readonly direction: Vec3;
}

/** Boards that can be seen from a place at all, whichever way the phone looks. */
export const boardsInSight = (
  from: Vec3,
  boards: readonly PlacedBoard[],
  obstacles: readonly Obstacle[],
  focalPx: number,
  limits: SightLimits,
): Sighted[] => {
  const least = Math.cos((limits.slantDeg * Math.PI) / 180);
  return boards.flatMap((board) => {
    const away = sub(board.pose.t, from);
    const distance = norm(away);
    if (distance < limits.nearestMm) return [];
    const cosine = -dot(column(board.pose.R, 2), away) / distance;
    if (cosine < least) return [];
    if ((focalPx * board.cellMm * Math.sqrt(cosine)) / distance < limits.cellPx) return [];
    if (isHidden(from, board, obstacles)) return [];
    const direction: Vec3 = [away[0] / distance, away[1] / distance, away[2] / distance];
    return [{ board, distance, direction }];
  });
};

/** Whether an obstacle lies before any corner of the print. */
export const isHidden = (
  from: Vec3,
  { pose, cellMm }: PlacedBoard,
  obstacles: readonly Obstacle[],
): boolean => {
  const h = 7 * cellMm;
  const points = [
    [0, 0],
    [-h, -h],
    [h, -h],
    [-h, h],
    [h, h],
  ].map(([x, y]) => transform(pose, [x, y, 2]));
  return obstacles.some((box) => points.some((point) => crosses(from, point, box)));
};

/** Whether the way from one point to another enters a box (slabs of its three axes). */
const crosses = (from: Vec3, to: Vec3, { pose, half }: Obstacle): boolean => {
  const back = transpose(pose.R);
  const a = matVec(back, sub(from, pose.t));
  const d = sub(matVec(back, sub(to, pose.t)), a);
  let [enter, leave] = [0, 1];
  for (let k = 0; k < 3; k++) {
    if (Math.abs(d[k]) < 1e-9) {
      if (Math.abs(a[k]) >= half[k]) return false;
      continue;
    }
    const [p, q] = [(-half[k] - a[k]) / d[k], (half[k] - a[k]) / d[k]];
    enter = Math.max(enter, Math.min(p, q));
    leave = Math.min(leave, Math.max(p, q));
    if (enter >= leave) return false;
  }
  return true;
};

export interface Frame {
  readonly lens: Lens;
  readonly width: number;
  readonly height: number;
}

export interface BoardInPhoto {
  readonly board: string;
  readonly cameraFromBoard: Pose;
  readonly cellMm: number;
  /** Mean side of a cell, px. */
  readonly cellPx: number;
}

/** Of boards in sight, those that a photo shows whole and sharp enough together. */
export const boardsInPhoto = (
  frame: Frame,
  cameraFromVehicle: Pose,
  sighted: readonly Sighted[],
  limits: SightLimits,
): BoardInPhoto[] => {
  // Nothing farther from the axis than the frame's corner can be inside.
  const corner = Math.hypot(frame.width, frame.height) / 2 / frame.lens.fx;
  const least = Math.cos(Math.atan(corner));
  const { R } = cameraFromVehicle;
  const axis: Vec3 = [R[6], R[7], R[8]];
  const inside = sighted.filter(
    ({ board, direction }) =>
      dot(axis, direction) > least &&
      isInside(frame, compose(cameraFromVehicle, board.pose), board.cellMm, limits.edgeShare),
  );
  return sharpTogether(inside, limits).flatMap(({ board: { key, pose, cellMm } }) => {
    const cameraFromBoard = compose(cameraFromVehicle, pose);
    const cellPx = seeCell(frame.lens, cameraFromBoard, cellMm)?.cellPx ?? 0;
    return cellPx >= limits.cellPx ? [{ board: key, cameraFromBoard, cellMm, cellPx }] : [];
  });
};

const isInside = (
  { lens, width, height }: Frame,
  cameraFromBoard: Pose,
  cellMm: number,
  share: number,
): boolean => {
  const h = halfPrint * cellMm;
  const [left, top] = [share * width, share * height];
  for (const [x, y] of [
    [-h, -h],
    [h, -h],
    [h, h],
    [-h, h],
  ]) {
    const p = transform(cameraFromBoard, [x, y, 0]);
    // Far off the axis a lens polynomial may fold back into the frame.
    if (p[2] <= 0 || Math.hypot(p[0], p[1]) > 1.1 * p[2]) return false;
    const pixel = project(lens, p);
    if (!pixel || pixel[0] < left || pixel[0] > width - left) return false;
    if (pixel[1] < top || pixel[1] > height - top) return false;
  }
  return true;
};

/** The largest set of boards whose distances stay sharp together. */
const sharpTogether = (inside: readonly Sighted[], { sharpness }: SightLimits): Sighted[] => {
  const sorted = [...inside].sort((a, b) => a.distance - b.distance);
  let best: Sighted[] = [];
  sorted.forEach(({ distance }, i) => {
    const group = sorted.slice(i).filter((s) => 1 / distance - 1 / s.distance <= sharpness);
    if (group.length > best.length) best = group;
  });
  return best;
};

/** cameraFromVehicle of a phone at `from` looking along `towards`, level or upright. */
export const heldPose = (from: Vec3, towards: Vec3, upright: boolean): Pose => {
  const length = norm(towards);
  const z: Vec3 = [towards[0] / length, towards[1] / length, towards[2] / length];
  const flat = Math.hypot(z[0], z[1]);
  const right: Vec3 = [z[1] / flat, -z[0] / flat, 0];
  const down: Vec3 = [
    z[1] * right[2] - z[2] * right[1],
    z[2] * right[0] - z[0] * right[2],
    z[0] * right[1] - z[1] * right[0],
  ];
  // Upright, the sensor's long side stands: its x points down, its y to the left.
  const [x, y]: [Vec3, Vec3] = upright ? [down, [-right[0], -right[1], -right[2]]] : [right, down];
  return invert({ R: [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]], t: from });
};

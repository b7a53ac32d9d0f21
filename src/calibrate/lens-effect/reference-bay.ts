import type { BoardObservation, NetworkProblem } from "../../adjust/problem/problem.ts";
import { type Lens, lensSize, project, undistort } from "../../lens/lens.ts";
import {
  cross,
  dot,
  expRotation,
  invert,
  type Mat3,
  matMul,
  norm,
  type Pose,
  sub,
  transform,
  unit,
  type Vec3,
} from "../../maths/pose.ts";

/**
 * An ordinary bay, invented, on which a lens is tried out on paper: a car of 2.6 m wheelbase with
 * four wheel boards, six floor boards, two stand boards 4 m ahead of the front axle, and fourteen
 * photos walked round it. Pixels are exact, noise is only stated: the adjustment of this bay tells
 * how strongly a lens error would show in the 4 m distance, with the bay's own boards helping.
 */

/** Corner points of the ring: enough of a board, with the noise of the whole board's fit. */
const boardCorners = [-6, 6, 6, 6, 6, -6, -6, -6, 0, 6, 6, 0, 0, -6, -6, 0];
/** As eight points with this noise, a board is as exact as 48 saddles of 0.05 px each. */
const noisePx = 0.02;
/** Photos are framed for this many pixels a cell at least, 2 px being the limit of the finder. */
const fewestCellPx = 4;

interface BayBoard {
  readonly key: string;
  readonly cellMm: number;
  readonly pose: Pose;
}

/** Board x along `right`, y along `up`, face towards right x up. */
const facing = (position: Vec3, right: Vec3, up: Vec3): Pose => {
  const z = cross(right, up);
  const R: Mat3 = [right[0], up[0], z[0], right[1], up[1], z[1], right[2], up[2], z[2]];
  return { R, t: position };
};

const up: Vec3 = [0, 0, 1];
const wheelbase = 2600;

const standDistanceMm = 4000;

const bayBoards: readonly BayBoard[] = [
  ...[0, -wheelbase].flatMap((x, axle) => [
    { key: `wheel-left-${axle}`, cellMm: 13, pose: facing([x, 800, 320], [-1, 0, 0], up) },
    { key: `wheel-right-${axle}`, cellMm: 13, pose: facing([x, -800, 320], [1, 0, 0], up) },
  ]),
  ...[600, 1900, 3200].flatMap((x, i) => [
    { key: `floor-left-${i}`, cellMm: 19, pose: facing([x, 900, 0], [0, -1, 0], [1, 0, 0]) },
    { key: `floor-right-${i}`, cellMm: 19, pose: facing([x, -900, 0], [0, -1, 0], [1, 0, 0]) },
  ]),
  { key: "stand-left", cellMm: 19, pose: facing([standDistanceMm, 350, 900], [0, -1, 0], up) },
  { key: "stand-right", cellMm: 19, pose: facing([standDistanceMm, -350, 900], [0, -1, 0], up) },
];

/** cameraFromBay of a camera at `from` that looks at `to`, then rolled by `roll` about its view. */
const lookAt = (from: Vec3, to: Vec3, roll: number): Pose => {
  const z = unit(sub(to, from));
  const x = unit(cross(z, up));
  const y = cross(z, x);
  const level: Mat3 = [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]];
  return invert({ R: matMul(level, expRotation([0, 0, roll])), t: from });
};

const walk: readonly { from: Vec3; to: Vec3 }[] = [
  ...[1, -1].flatMap((side): { from: Vec3; to: Vec3 }[] => [
    { from: [-3800, side * 2900, 1500], to: [-600, side * 900, 200] },
    { from: [-1300, side * 3600, 1400], to: [-1000, side * 800, 200] },
    { from: [400, side * 3500, 1600], to: [900, side * 700, 200] },
    { from: [1400, side * 3000, 1500], to: [2600, side * 100, 400] },
    { from: [4300, side * 2900, 1500], to: [800, side * 800, 200] },
  ]),
  { from: [300, 1500, 1700], to: [3300, 0, 300] },
  { from: [300, -1500, 1700], to: [3300, 0, 300] },
  { from: [900, 0, 1800], to: [3300, 100, 300] },
  { from: [200, 200, 1900], to: [3600, 0, 500] },
];

const observe = (
  lens: Lens,
  width: number,
  height: number,
  photo: string,
  cameraFromBay: Pose,
  board: BayBoard,
): BoardObservation | null => {
  const toCamera = (x: Vec3): Vec3 => transform(cameraFromBay, transform(board.pose, x));
  const origin = toCamera([0, 0, 0]);
  const normal = sub(toCamera([0, 0, 1]), origin);
  const away = dot(origin, normal) / norm(origin);
  if (origin[2] <= 0 || away > -0.2) return null;
  if ((lens.fx * board.cellMm * -away) / origin[2] < fewestCellPx) return null;
  const pixels: number[] = [];
  for (let i = 0; i < boardCorners.length; i += 2) {
    const p = toCamera([boardCorners[i] * board.cellMm, boardCorners[i + 1] * board.cellMm, 0]);
    const pixel = project(lens, p);
    if (!pixel || !withinFrame(pixel, width, height) || !undoes(lens, pixel)) return null;
    pixels.push(...pixel);
  }
  return {
    photo,
    board: board.key,
    boardPoints: Float64Array.from(boardCorners),
    pixels: Float64Array.from(pixels),
    noise: { kind: "isotropic", sigmaPx: noisePx },
  };
};

const withinFrame = ([u, v]: readonly number[], width: number, height: number): boolean =>
  u > 20 && v > 20 && u < width - 21 && v < height - 21;

const undoes = (lens: Lens, [u, v]: readonly number[]): boolean =>
  undistort(lens, (u - lens.cx) / lens.fx, (v - lens.cy) / lens.fy) !== null;

/**
 * The bay's problem, seen through `lens`. The lens's prior is so wide that the bay alone decides;
 * what a profile adds can then be put in afterwards (see lens-effect.ts).
 */
export const referenceBay = (
  lens: Lens,
  width: number,
  height: number,
  lensSd: readonly number[],
  spread: { readonly focalSd: number; readonly shiftSdPx: number },
): NetworkProblem => {
  const photos = walk.map(({ from, to }, i) => ({
    key: `photo-${i}`,
    pose: lookAt(from, to, i % 2 === 0 ? 0.04 : -0.05),
  }));
  const observations = photos.flatMap(({ key, pose }) =>
    bayBoards.flatMap((board) => observe(lens, width, height, key, pose, board) ?? []),
  );
  const seen = new Set(observations.map((o) => o.board));
  const used = new Set(observations.map((o) => o.photo));
  return {
    cameras: [
      {
        key: "camera",
        lens,
        priorCovariance: Float64Array.from({ length: lensSize * lensSize }, (_, at) =>
          at % (lensSize + 1) === 0 ? lensSd[at / (lensSize + 1)] ** 2 : 0,
        ),
        free: lensSd.map((sd) => sd > 0),
        ...spread,
      },
    ],
    photos: photos.filter((p) => used.has(p.key)).map((p) => ({ key: p.key, camera: "camera" })),
    boards: bayBoards
      .filter((board) => seen.has(board.key))
      .map((board) => ({
        key: board.key,
        cellMm: board.cellMm,
        cellSd: 0.0003,
        print: "print",
        bendSd: 0,
      })),
    prints: [{ key: "print", scaleSd: 0.002 }],
    observations,
    lengths: [
      {
        key: "tape",
        from: { board: "wheel-left-1" },
        to: { board: "floor-left-2" },
        lengthMm: 0,
        sdMm: 1,
      },
    ].map((length) => ({ ...length, lengthMm: straight(length.from.board, length.to.board) })),
    floor: bayBoards
      .filter((board) => board.key.startsWith("floor") && seen.has(board.key))
      .map((board) => ({ board: board.key, heightMm: 0, heightSdMm: 1, tiltSd: 0.005 })),
    frames: [],
    scalars: [],
    chains: [],
  };
};

const straight = (a: string, b: string): number => {
  const at = (key: string): Vec3 => bayBoards.find((board) => board.key === key)!.pose.t;
  return Math.hypot(...sub(at(a), at(b)));
};

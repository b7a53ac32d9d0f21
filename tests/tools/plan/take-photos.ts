import type { BoardView, PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import {
  add,
  compose,
  dot,
  expRotation,
  invert,
  matMul,
  type Pose,
  radians,
  sub,
  unit,
  type Vec3,
} from "../../../src/maths/pose.ts";
import type { Obstacle } from "../../../src/plan/view/bay.ts";
import {
  type PictureQuality,
  predictedObservation,
  type Seen,
  usualPicture,
  viewPoints,
} from "../../../src/plan/view/predicted-view.ts";
import { heldPose, isHidden } from "../../../src/plan/view/sight.ts";
import { truePixelOf } from "../../oracle/camera.ts";
import { sampleExif } from "../simulated-job.ts";
import type { RandomBay } from "./random-bay.ts";

/**
 * Photos of a random bay as a person takes them where a plan says: not quite there, not quite that
 * way, with a hand that turns and a lens that focuses anew. Pixels by the oracle's camera.
 */
export interface Wish {
  readonly name: string;
  readonly cameraFromVehicle: Pose;
  readonly upright: boolean;
  /** What the words name: the person points the phone so that these are in the picture. */
  readonly boards: readonly number[];
}

const frame = { width: 4032, height: 3024 } as const;
/** How far off a person stands and looks, standard deviations: mm and degrees. */
const sloppy = { placeMm: 150, heightMm: 80, lookDeg: 2, rollDeg: 3 } as const;
/** What the photos do to lens and hand: as the job's priors have it. */
const photoSd = { focal: 0.001, shiftPx: 5, turnDeg: 0.02, swayDeg: 0, shiftMm: 0.2 } as const;
/** The finder's own limits. */
const finder = { cellPx: 3.6, slantCos: Math.cos(radians(73)), edgePx: 8 } as const;

export const takePhoto = (
  bay: RandomBay,
  obstacles: readonly Obstacle[],
  { name, cameraFromVehicle, boards: wanted, upright }: Wish,
): PhotoOutcome => {
  const { normal, even } = bay.random;
  const wished = invert(cameraFromVehicle);
  const t: Vec3 = [
    wished.t[0] + normal(sloppy.placeMm),
    wished.t[1] + normal(sloppy.placeMm),
    wished.t[2] + normal(sloppy.heightMm),
  ];
  const [turnSd, rollSd] = [radians(sloppy.lookDeg), radians(sloppy.rollDeg)];
  const aimed = invert(heldPose(t, towardsBoards(bay, t, wanted), upright)).R;
  const stood: Pose = {
    R: matMul(aimed, expRotation([normal(turnSd), normal(turnSd), normal(rollSd)])),
    t,
  };
  const camera = invert(stood);
  const change = {
    focal: normal(photoSd.focal),
    shiftX: normal(photoSd.shiftPx),
    shiftY: normal(photoSd.shiftPx),
  };
  const turn = [0, 1, 2].map(() => normal(radians(photoSd.turnDeg)));
  const shift = [0, 1, 2].map(() => normal(photoSd.shiftMm));
  // A read-out along the rows: the pose moves with the row that shows the point.
  const pixelOf = (board: Pose, x: number, y: number): [number, number] | null => {
    let row: number = frame.height / 2;
    let found: [number, number] | null = null;
    for (let round = 0; round < 3; round++) {
      const t = (row + 0.5) / frame.height - 0.5;
      const moved: Pose = {
        R: expRotation([t * turn[0], t * turn[1], t * turn[2]]),
        t: [t * shift[0], t * shift[1], t * shift[2]],
      };
      found = truePixelOf(bay.trueLens, [moved, camera, board], [x, y, 0], change);
      if (!found) return null;
      row = found[1];
    }
    return found;
  };
  const picture: PictureQuality = {
    ...usualPicture,
    contrast: usualPicture.contrast * even(0.85, 1.15),
    blurPx: usualPicture.blurPx * even(0.8, 1.25),
  };
  const boards = [...bay.boards].flatMap(([key, { pose, cellMm }]): BoardView[] => {
    const away = pose.t.map((v, k) => v - stood.t[k]);
    const distance = Math.hypot(...away);
    const cosine = -(pose.R[2] * away[0] + pose.R[5] * away[1] + pose.R[8] * away[2]) / distance;
    if (cosine < finder.slantCos) return [];
    if (isHidden(stood.t, { key, pose, cellMm }, obstacles)) return [];
    const at = (x: number, y: number) => pixelOf(pose, x * cellMm, y * cellMm);
    const corners = [at(-8, -8), at(8, -8), at(8, 8), at(-8, 8)];
    if (!corners.every((c) => c && isInside(c))) return [];
    const behind = compose(camera, pose).t;
    if (Math.hypot(behind[0], behind[1]) > 1.2 * behind[2]) return [];
    const pixels = new Float64Array(viewPoints.length);
    for (let i = 0; i < pixels.length; i += 2) pixels.set(at(viewPoints[i], viewPoints[i + 1])!, i);
    const [l, r, d, u] = [at(-1, 0)!, at(1, 0)!, at(0, -1)!, at(0, 1)!];
    const alongX = [(r[0] - l[0]) / 2, (r[1] - l[1]) / 2] as const;
    const alongY = [(u[0] - d[0]) / 2, (u[1] - d[1]) / 2] as const;
    const cellPx = Math.sqrt(Math.abs(alongX[0] * alongY[1] - alongX[1] * alongY[0]));
    if (cellPx < finder.cellPx) return [];
    return [noisy(bay, key, { pixels, cellPx, alongX, alongY }, picture)];
  });
  const findings = {
    name,
    ...frame,
    exif: { ...sampleExif, takenAt: null },
    boards,
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  };
  return { ok: true, findings };
};

/** Half-way between the two of the boards that lie farthest apart, as seen from a place. */
const towardsBoards = (bay: RandomBay, from: Vec3, wanted: readonly number[]): Vec3 => {
  const directions = wanted.map((id) => unit(sub(bay.boards.get(String(id))!.pose.t, from)));
  let best: Vec3 = directions[0];
  let least = 2;
  for (const a of directions)
    for (const b of directions)
      if (dot(a, b) < least) {
        least = dot(a, b);
        best = unit(add(a, b));
      }
  return best;
};

const isInside = ([u, v]: readonly [number, number]): boolean =>
  u > finder.edgePx &&
  v > finder.edgePx &&
  u < frame.width - finder.edgePx &&
  v < frame.height - finder.edgePx;

/**
 * Noise drawn from what the finder would state, and on top of it the displacement of whole boards
 * that nobody states.
 */
const noisy = (bay: RandomBay, key: string, seen: Seen, picture: PictureQuality): BoardView => {
  const { normal } = bay.random;
  const stated = predictedObservation("", key, seen, { ...picture, fieldPx: 0 });
  if (stated.noise.kind !== "full") throw new Error("the predicted noise is per point");
  const { sqrtInformation: w, rows } = stated.noise;
  const pixels = seen.pixels.slice();
  const n = pixels.length;
  const middle = [0, 1].map((k) => {
    let sum = 0;
    for (let i = k; i < n; i += 2) sum += pixels[i] / (n / 2);
    return sum;
  });
  const field = Array.from({ length: 6 }, () => normal(picture.fieldPx));
  for (let i = 0; i < n; i += 2) {
    const [a, b, c, d] = [
      w[i * n + i],
      w[i * n + i + 1],
      w[(i + 1) * n + i],
      w[(i + 1) * n + i + 1],
    ];
    const [p, q] = [normal(1), normal(1)];
    const det = a * d - b * c;
    const [x, y] = [(seen.pixels[i] - middle[0]) / 250, (seen.pixels[i + 1] - middle[1]) / 250];
    pixels[i] += (d * p - b * q) / det + field[0] + field[2] * x + field[3] * y;
    pixels[i + 1] += (-c * p + a * q) / det + field[1] + field[4] * x + field[5] * y;
  }
  return {
    id: Number(key),
    boardPoints: viewPoints,
    pixels,
    noise: { kind: "full", rows, sqrtInformation: w },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: seen.cellPx,
      obliquityDeg: 30,
      blurPx: picture.blurPx,
      contrast: picture.contrast,
      coveredShare: 0,
      residualPx: 0.05,
    },
  };
};

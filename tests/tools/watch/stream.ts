/**
 * A stand and floor boards as a phone on a tripod sees them: rendered frames, and frames that are
 * drawn from one rendered frame with the scatter of its own fits, for hours in seconds.
 */
import { findBoards } from "../../../src/detect/find-boards.ts";
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import type { TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import type { Lens } from "../../../src/lens/lens.ts";
import { invertPositive } from "../../../src/maths/dense.ts";
import { expRotation, type Pose, type Vec3 } from "../../../src/maths/pose.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";
import type { Measurement } from "../../../src/watch/watch.ts";
import { developed, linearLight, type Print, rounded, type Scene } from "../render-board.ts";

/** The middle of a stream of 1920 x 1080 px with the field of view of a phone's usual lens. */
export const streamSize = { width: 1152, height: 704 } as const;
export const streamLens: Lens = {
  fx: 1440,
  fy: 1440,
  cx: 575.5,
  cy: 351.5,
  k1: 0.05,
  k2: -0.08,
  p1: 0,
  p2: 0,
  k3: 0,
};
export const cellMm = 13;

/** Places in mm, camera frame; boards of the stand stand 3 m away, turned a little. */
const scene: readonly { id: number; at: Vec3; turn: Vec3 }[] = [
  { id: 31, at: [-180, -150, 3000], turn: [Math.PI, 0.25, 0] },
  { id: 32, at: [220, -150, 3020], turn: [Math.PI, 0.25, 0.03] },
  { id: 11, at: [-650, 420, 2500], turn: [Math.PI - 0.9, 0, 0.1] },
  { id: 12, at: [600, 430, 2700], turn: [Math.PI - 0.9, 0, -0.1] },
  { id: 13, at: [-100, 480, 2300], turn: [Math.PI - 0.9, 0, 0.2] },
];

export interface StreamChange {
  /** Movement of the stand, mm, camera frame. */
  readonly stand?: Vec3;
  /** Turn of the camera, rad. */
  readonly camera?: Vec3;
  /** Movement of the camera, mm. */
  readonly cameraShift?: Vec3;
  readonly hidden?: readonly number[];
  readonly light?: number;
}

export const isStandId = (id: number): boolean => id >= 31 && id <= 39;

function printsOf({
  stand = [0, 0, 0],
  camera,
  cameraShift = [0, 0, 0],
  hidden = [],
}: StreamChange): Print[] {
  const turn = camera ? expRotation(camera) : null;
  return scene
    .filter(({ id }) => !hidden.includes(id))
    .map(({ id, at, turn: own }) => {
      const moved = at.map(
        (value, k) => (value + (isStandId(id) ? stand[k] : 0) - cameraShift[k]) / cellMm,
      ) as unknown as Vec3;
      const pose: Pose = { R: expRotation(own), t: moved };
      return { id, cameraFromBoard: turn ? turned(turn, pose) : pose };
    });
}

function turned(by: Pose["R"], { R, t }: Pose): Pose {
  const row = (i: number, v: Vec3) =>
    by[3 * i] * v[0] + by[3 * i + 1] * v[1] + by[3 * i + 2] * v[2];
  const columns = [0, 1, 2].map((k): Vec3 => [R[k], R[k + 3], R[k + 6]]);
  const cell = (i: number, k: number) => row(i, columns[k]);
  return {
    R: [0, 1, 2].flatMap((i) => [0, 1, 2].map((k) => cell(i, k))) as unknown as Pose["R"],
    t: [row(0, t), row(1, t), row(2, t)],
  };
}

/** The light of a scene, to be made into frames as video gives them: noise, sharpening, rounded. */
export function filmed(change: StreamChange, samples = 4): (seed: number) => LumaImage {
  const scene: Scene = {
    ...streamSize,
    lens: streamLens,
    prints: printsOf(change),
    blurPx: 0.8,
    tone: "sRGB",
    sharpen: 0.5,
    noise: 3,
    seed: 0,
    samples,
    light: change.light ?? 1,
  };
  const light = linearLight(scene);
  return (seed) => rounded(scene, developed({ ...scene, seed }, light));
}

export const measureFrame = (frame: LumaImage, finder: TagFinder, at: number): Measurement => ({
  at,
  ...streamSize,
  boards: findBoards(frame, finder, { what: "boards" }).boards,
});

/** Pseudo-inverse of a view's weights: standard normal numbers become pixel errors. */
export function errorShape({ noise, pixels }: BoardView): { rows: number; shape: Float64Array } {
  if (noise.kind === "isotropic") throw new Error("the print fit states a full covariance");
  const { rows, sqrtInformation: w } = noise;
  const columns = pixels.length;
  const gram = new Float64Array(rows * rows);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < rows; j++) {
      for (let c = 0; c < columns; c++)
        gram[i * rows + j] += w[i * columns + c] * w[j * columns + c];
    }
  }
  const inverse = invertPositive(gram, rows);
  if (!inverse) throw new Error("the weights have dependent rows");
  const shape = new Float64Array(columns * rows);
  for (let c = 0; c < columns; c++) {
    for (let r = 0; r < rows; r++) {
      for (let k = 0; k < rows; k++)
        shape[c * rows + r] += w[k * columns + c] * inverse[k * rows + r];
    }
  }
  return { rows, shape };
}

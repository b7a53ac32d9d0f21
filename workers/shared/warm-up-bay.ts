/** An invented bay, photographed without pixels: input for warm-up runs of the solver. */
import { ringSaddlePoints } from "../../src/boards/pattern.ts";
import type { BoardView, PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { parseJobFile } from "../../src/job/file/parse-job.ts";
import type { CameraKnowledge, SolveInput } from "../../src/job/run/run.ts";
import { project } from "../../src/lens/lens.ts";
import {
  column,
  compose,
  cross,
  dot,
  invert,
  type Mat3,
  norm,
  type Pose,
  sub,
  transform,
  unit,
  type Vec3,
} from "../../src/maths/pose.ts";
import { inventedLens } from "./warm-up-pictures.ts";

const cellMm = 13;
const [width, height] = [1024, 768];
const sigmaPx = 0.02;
/** A board is not found when seen flatter than this, cosine. */
const flattest = 0.35;

/** Vehicle frame: x ahead, y left, z up; a pose's columns are the board's right, up and out. */
const turned = (right: Vec3, up: Vec3): Mat3 => {
  const out = cross(right, up);
  return [right[0], up[0], out[0], right[1], up[1], out[1], right[2], up[2], out[2]];
};
const onLeft = turned([-1, 0, 0], [0, 0, 1]);
const onRight = turned([1, 0, 0], [0, 0, 1]);
const onFloor = turned([1, 0, 0], [0, 1, 0]);
const towardsCar = turned([0, -1, 0], [0, 0, 1]);

const boards: ReadonlyMap<number, Pose> = new Map([
  [1, { R: onLeft, t: [0, 930, 310] }],
  [2, { R: onRight, t: [0, -930, 310] }],
  [3, { R: onLeft, t: [-2580, 930, 310] }],
  [4, { R: onRight, t: [-2580, -930, 310] }],
  [11, { R: onFloor, t: [900, 1300, 0] }],
  [12, { R: onFloor, t: [1000, -1200, 0] }],
  [13, { R: onFloor, t: [1800, 300, 0] }],
  [14, { R: onFloor, t: [-1300, 1700, 0] }],
  [15, { R: onFloor, t: [-1300, -1700, 0] }],
  [31, { R: towardsCar, t: [2500, 450, 1180] }],
  [32, { R: towardsCar, t: [2500, -450, 1180] }],
]);

/** Where the phone is held, and what it looks at. */
const photos: readonly (readonly [Vec3, Vec3])[] = [
  [
    [900, 3600, 1600],
    [200, 700, 300],
  ],
  [
    [-1300, 3700, 1600],
    [-1300, 900, 300],
  ],
  [
    [900, -3600, 1600],
    [200, -700, 300],
  ],
  [
    [-1300, -3700, 1600],
    [-1300, -900, 300],
  ],
  [
    [-600, 2600, 1700],
    [1900, 300, 500],
  ],
  [
    [-600, -2600, 1700],
    [1900, -300, 500],
  ],
];

const sheet = {
  format: "plumbshot-placement",
  version: 1,
  title: "Practice",
  vehicle: "practice",
  invented: true,
  source: "invented for practice",
  origin: { kind: "front-axle line" },
  axis: "geometric centreline",
  heightReference: "floor under the target",
  steps: [
    {
      id: "step",
      title: "Practice",
      target: { name: "target", kind: "board", facing: "rearward", widthMm: 600, heightMm: 460 },
      checks: (
        [
          ["distance", 2500, 10],
          ["lateral offset", 0, 10],
          ["height", 1180, 10],
          ["yaw", 0, 0.5],
        ] as const
      ).map(([kind, required, by]) => ({
        kind,
        id: kind.replace(" ", "-"),
        required,
        lowerDeviation: -by,
        upperDeviation: by,
        reference: "invented",
      })),
    },
  ],
};
const onTarget = (board: number, x: number) => ({
  board,
  centreMm: [x, 0, 0],
  shiftSdMm: 0.3,
  turnSdDeg: 0.02,
});
const jobFile = {
  format: "plumbshot-job",
  version: 1,
  title: "Practice",
  invented: true,
  boards: { cellMm },
  wheelPlates: { standOffMm: 168, standOffSdMm: 0.5, centringSdMm: 1, tiltSdDeg: 0.2 },
  floor: { boardThicknessMm: 0, unevennessSdMm: 0.5 },
  targets: [
    {
      name: "target",
      widthMm: 600,
      heightMm: 460,
      boards: [onTarget(31, -450), onTarget(32, 450)],
    },
  ],
  placement: sheet,
};

/** The bay as `solveJob` takes it, with the lens that `inventedLens` was found to be. */
export function inventedBay(camera: CameraKnowledge): SolveInput {
  const parsed = parseJobFile(jobFile);
  if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
  const outcomes = photos.map(([at, towards], index) => photographed(index, at, towards));
  return { job: parsed.job, camera, outcomes, measuredAt: "2000-01-01T00:00:00Z" };
}

function photographed(index: number, at: Vec3, towards: Vec3): PhotoOutcome {
  const ahead = unit(sub(towards, at));
  const right = unit(cross(ahead, [0, 0, 1]));
  const down = cross(ahead, right);
  const cameraFromBay = invert({
    R: [right[0], down[0], ahead[0], right[1], down[1], ahead[1], right[2], down[2], ahead[2]],
    t: at,
  });
  const seen = [...boards].flatMap(([id, pose]) => view(id, compose(cameraFromBay, pose)) ?? []);
  return {
    ok: true,
    findings: {
      name: `practice ${index}`,
      width,
      height,
      exif: null,
      boards: seen,
      remarks: [],
      timesMs: { decode: 0, find: 0, refine: 0 },
    },
  };
}

/** Exact projections, a little shaken; null where the board is not wholly in view. */
function view(id: number, cameraFromBoard: Pose): BoardView | null {
  const { R, t } = cameraFromBoard;
  if (-dot(column(R, 2), t) / norm(t) < flattest) return null;
  const boardPoints = ringSaddlePoints();
  const pixels = new Float64Array(boardPoints.length);
  for (let i = 0; i < pixels.length; i += 2) {
    const place: Vec3 = [boardPoints[i] * cellMm, boardPoints[i + 1] * cellMm, 0];
    const pixel = project(inventedLens, transform(cameraFromBoard, place));
    if (!pixel) return null;
    const [x, y] = pixel;
    if (x < 5 || y < 5 || x > width - 5 || y > height - 5) return null;
    pixels[i] = x + sigmaPx * Math.sin(9 * x + y);
    pixels[i + 1] = y + sigmaPx * Math.cos(7 * y + x);
  }
  const rows = pixels.length;
  const sqrtInformation = new Float64Array(rows * rows);
  for (let i = 0; i < rows; i++) sqrtInformation[i * rows + i] = 1 / sigmaPx;
  return {
    id,
    boardPoints,
    pixels,
    noise: { kind: "full", rows, sqrtInformation },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: 5,
      obliquityDeg: 30,
      blurPx: 1,
      contrast: 150,
      coveredShare: 0,
      residualPx: sigmaPx,
    },
  };
}

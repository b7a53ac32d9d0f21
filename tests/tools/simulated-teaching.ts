import { pointerTip } from "../../src/boards/kit.ts";
import { ringSaddlePoints } from "../../src/boards/pattern.ts";
import type { BoardView, PhotoOutcome } from "../../src/detect/findings/findings.ts";
import { lensFromOwnPhotos } from "../../src/job/problem/own-photos.ts";
import type { CameraKnowledge } from "../../src/job/run/run.ts";
import { type TeachFile, teachFileSchema } from "../../src/job/teach/teach-target.ts";
import type { Lens } from "../../src/lens/lens.ts";
import {
  expRotation,
  invert,
  norm,
  type Pose,
  sub,
  transform,
  type Vec3,
} from "../../src/maths/pose.ts";
import { truePixelOf } from "../oracle/camera.ts";
import { normalSource, sampleExif } from "./simulated-job.ts";

/**
 * Photos of a target with pointer boards, as detection would report them: five views from different
 * sides of stand boards 31 and 32 and pointers 41, 42, 43, with image noise of 0.03 px.
 */

/** A target frame at the world's origin; stand boards and pointers around it, all hand-made. */
export const cell = 13;
const lens: Lens = {
  ...{ fx: 2960, fy: 2960, cx: 2015, cy: 1511 },
  ...{ k1: 0.04, k2: -0.1, p1: 0, p2: 0, k3: 0.05 },
};
export const standBoards: Record<number, Pose> = {
  31: { R: expRotation([0.01, -0.02, 0.03]), t: [-450, 20, 15] },
  32: { R: expRotation([-0.02, 0.01, -0.01]), t: [450, 15, 18] },
};
const turned = (angle: number) => expRotation([0, 0, angle]);
/** A pointer whose tip is on `point`, turned about z. */
export const pointing = (point: Vec3, angle: number): Pose => {
  const R = turned(angle);
  const tip = transform({ R, t: [0, 0, 0] }, [pointerTip[0] * cell, pointerTip[1] * cell, 0]);
  return { R, t: sub(point, tip) };
};
const scene: Record<number, Pose> = {
  ...standBoards,
  41: pointing([0, 0, 0], 0.4),
  42: pointing([250, -150, 0], 2.2),
  43: pointing([-40, 200, 0], -0.3),
};

export const lookFrom = (eye: Vec3): Pose => {
  const z = sub([0, 0, 0], eye).map((v) => v / norm(eye)) as unknown as Vec3;
  const side: Vec3 = [z[2], 0, -z[0]];
  const x = side.map((v) => -v / norm(side)) as unknown as Vec3;
  const y: Vec3 = [z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0]];
  return invert({ R: [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]], t: eye });
};

const points = ringSaddlePoints();
const viewOf = (camera: Pose, id: number, at: Pose, normal: () => number): BoardView => {
  const pixels = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const pixel = truePixelOf(lens, [camera, at], [points[i] * cell, points[i + 1] * cell, 0])!;
    pixels[i] = pixel[0] + 0.03 * normal();
    pixels[i + 1] = pixel[1] + 0.03 * normal();
  }
  return {
    id,
    boardPoints: points,
    pixels,
    noise: { kind: "isotropic", sigmaPx: 0.03 },
    outline: new Float64Array(8),
    quality: {
      ...{ grade: "good", reasons: [], cellPx: 15, obliquityDeg: 20, blurPx: 1 },
      ...{ contrast: 150, coveredShare: 0, residualPx: 0.03 },
    },
  };
};

/** `scene` as built, or with boards laid elsewhere. */
export const simulateTeaching = (
  ids: readonly number[],
  moved: Record<number, Pose> = {},
): PhotoOutcome[] => {
  const normal = normalSource(5);
  const eyes: Vec3[] = [
    [0, 300, 1700],
    [900, 200, 1500],
    [-900, 100, 1500],
    [200, 900, 1400],
    [-300, -700, 1500],
  ];
  return eyes.map((eye, i) => ({
    ok: true,
    findings: {
      ...{ name: `t${i}.jpg`, width: 4032, height: 3024, exif: sampleExif, remarks: [] },
      boards: ids.map((id) => viewOf(lookFrom(eye), id, moved[id] ?? scene[id], normal)),
      timesMs: { decode: 0, find: 0, refine: 0 },
    },
  }));
};

export const teachFile = (change: Partial<TeachFile> = {}): TeachFile => ({
  ...teachFileSchema.parse({
    format: "plumbshot-teach",
    version: 1,
    name: "board",
    standBoards: [31, 32],
    pointers: { reference: 41, right: 42, above: 43 },
    touchSdMm: 0.3,
    boards: {
      printCheck: {
        horizontal: { nominalMm: 190, readingMm: 190 },
        vertical: { nominalMm: 270, readingMm: 270 },
      },
    },
  }),
  ...change,
});

export const allIds = [31, 32, 41, 42, 43];
export const knownLens = (outcomes: readonly PhotoOutcome[]): CameraKnowledge => {
  const wide = lensFromOwnPhotos(outcomes)!;
  return {
    ...wide,
    source: "saved profile",
    profile: {
      ...wide.profile,
      lens,
      covariance: wide.profile.covariance.map((v) => v * 1e-6),
      spread: { ...wide.profile.spread, focalSd: 1e-5, shiftSdPx: 0.02 },
    },
  };
};

import { readFileSync } from "node:fs";
import { ringSaddlePoints } from "../../src/boards/pattern.ts";
import { sheetId, sheetMarkers } from "../../src/boards/sheet.ts";
import type { BoardView, PhotoOutcome } from "../../src/detect/findings/findings.ts";
import type { JobFile } from "../../src/job/file/job-file.ts";
import { parseJobFile } from "../../src/job/file/parse-job.ts";
import type { Lens } from "../../src/lens/lens.ts";
import {
  add,
  column,
  compose,
  dot,
  type Mat3,
  norm,
  type Pose,
  type Vec3,
} from "../../src/maths/pose.ts";
import { truePixelOf } from "../oracle/camera.ts";

/**
 * The sample job without images: features projected from the renderer's truth with image noise, as
 * detection would report them. Fast, for tests of everything behind detection.
 */

export const sampleFolder = "sample-images/demo-job";
const readJson = (name: string) => JSON.parse(readFileSync(`${sampleFolder}/${name}`, "utf8"));
const truth = readJson("truth.json");

/** A small repeatable source of normal deviates (linear congruential and Box-Muller). */
export const normalSource = (seed: number): (() => number) => {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
};

export const sampleExif = {
  make: "Invented",
  model: "Bay One",
  lensModel: "Bay One 5.6 mm f/1.8",
  focalLengthMm: 5.6,
  focalLength35mm: 26,
  digitalZoom: 1,
  orientation: 1,
  exposureTimeS: 0.01,
  fNumber: 1.8,
  iso: 100,
  takenAt: null,
  software: null,
  exifWidth: 4032,
  exifHeight: 3024,
  customRendered: null,
};

interface TruePose {
  rotation: number[][];
  translation: number[];
}
interface TruePhoto {
  file: string;
  focalFactor: number;
  principalPointShift: [number, number];
}

const toPose = (p: TruePose): Pose => ({
  R: p.rotation.flat() as unknown as Mat3,
  t: p.translation as unknown as Vec3,
});

const shifted = (pose: Pose, by: Vec3 = [0, 0, 0]): Pose => ({ ...pose, t: add(pose.t, by) });

const steepest = Math.cos((72 * Math.PI) / 180);

/** A phone as the simulation knows it. */
export interface SimulatedPhone {
  readonly lens: Lens;
  readonly exif: typeof sampleExif;
}

export const samplePhone: SimulatedPhone = { lens: truth.lens as Lens, exif: sampleExif };

/** A second phone: shorter focal length, more and other distortion, another centre. Invented. */
export const otherPhone: SimulatedPhone = {
  lens: {
    ...samplePhone.lens,
    fx: 0.87 * samplePhone.lens.fx,
    fy: 0.8706 * samplePhone.lens.fx,
    cx: samplePhone.lens.cx - 31,
    cy: samplePhone.lens.cy + 22,
    k1: samplePhone.lens.k1 - 0.05,
    k2: samplePhone.lens.k2 + 0.04,
    p1: -samplePhone.lens.p1,
  },
  exif: {
    ...sampleExif,
    model: "Bay Two",
    lensModel: "Bay Two 4.9 mm f/1.9",
    focalLengthMm: 4.9,
    focalLength35mm: 23,
  },
};

const viewOf = (
  { lens }: SimulatedPhone,
  photo: TruePhoto,
  cameraFromBoard: Pose,
  points: readonly (readonly [number, number])[],
  cellMm: number,
  id: number,
  sigmaPx: number,
  normal: () => number,
): BoardView | null => {
  const facing = -dot(column(cameraFromBoard.R, 2), cameraFromBoard.t) / norm(cameraFromBoard.t);
  if (facing < steepest) return null;
  const change = {
    focal: photo.focalFactor - 1,
    shiftX: photo.principalPointShift[0],
    shiftY: photo.principalPointShift[1],
  };
  const pixels: number[] = [];
  for (const [x, y] of points) {
    const at = truePixelOf(lens, [cameraFromBoard], [x * cellMm, y * cellMm, 0], change);
    if (!at || at[0] < 5 || at[1] < 5 || at[0] > 4026 || at[1] > 3018) return null;
    pixels.push(at[0] + sigmaPx * normal(), at[1] + sigmaPx * normal());
  }
  return {
    id,
    boardPoints: Float64Array.from(points.flat()),
    pixels: Float64Array.from(pixels),
    noise: { kind: "isotropic", sigmaPx },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: 10,
      obliquityDeg: 30,
      blurPx: 1,
      contrast: 150,
      coveredShare: 0,
      residualPx: sigmaPx,
    },
  };
};

const outcome = (
  file: string,
  boards: readonly (BoardView | null)[],
  { exif }: SimulatedPhone,
  takenAt: string | null = null,
): PhotoOutcome => ({
  ok: true,
  findings: {
    name: file.replace(/^.*\//, ""),
    width: 4032,
    height: 3024,
    exif: { ...exif, takenAt },
    boards: boards.filter((view): view is BoardView => view !== null),
    remarks: [],
    timesMs: { decode: 0, find: 0, refine: 0 },
  },
});

const sheetPoints = sheetMarkers.map(({ x, y }) => [x, y] as const);
const boardPoints = ringSaddlePoints();

export interface SimulateOptions {
  readonly seed?: number;
  readonly sigmaPx?: number;
  /** Shifts of boards in the vehicle frame, mm, for jobs in which something moved. */
  readonly shifts?: Readonly<Record<number, Vec3>>;
  /** The phone of the sheet photos, and of each photo of the bay. Default: the sample's one phone. */
  readonly sheetPhone?: SimulatedPhone;
  readonly phoneOf?: (photo: number) => SimulatedPhone;
  /** Other places of boards, vehicle frame of the first position. */
  readonly placed?: (id: number, vehicleFromBoard: Pose) => Pose;
  /** Before each photo's name, for a second set of photos in one job. */
  readonly prefix?: string;
}

/** Findings of the sheet photos and of the bay photos, as detection would report them. */
export const simulateSample = ({
  seed = 1,
  sigmaPx = 0.05,
  shifts = {},
  sheetPhone = samplePhone,
  phoneOf = () => samplePhone,
  placed = (_, pose) => pose,
  prefix = "",
}: SimulateOptions = {}): {
  sheet: PhotoOutcome[];
  photos: PhotoOutcome[];
} => {
  const normal = normalSource(seed);
  const pairs = Array.from(
    { length: boardPoints.length / 2 },
    (_, i) => [boardPoints[2 * i], boardPoints[2 * i + 1]] as const,
  );
  const sheet = truth.sheetPhotos.map((photo: TruePhoto & { cameraFromSheet: TruePose }) =>
    outcome(
      photo.file,
      [
        viewOf(
          sheetPhone,
          photo,
          toPose(photo.cameraFromSheet),
          sheetPoints,
          truth.print.sheetSquareTrue,
          sheetId,
          sigmaPx,
          normal,
        ),
      ],
      sheetPhone,
    ),
  );
  const photos = truth.photos.map(
    (photo: TruePhoto & { cameraFromVehicle: TruePose }, at: number) =>
      outcome(
        photo.file.replace(/([^/]*)$/, `${prefix}$1`),
        truth.boards.map((board: { id: number; cell: number; vehicleFromBoard: TruePose }) =>
          viewOf(
            phoneOf(at),
            photo,
            compose(
              toPose(photo.cameraFromVehicle),
              placed(board.id, shifted(toPose(board.vehicleFromBoard), shifts[board.id])),
            ),
            pairs,
            board.cell,
            board.id,
            sigmaPx,
            normal,
          ),
        ),
        phoneOf(at),
        // Every seed is another session from the same places: only the clock tells them apart.
        new Date(Date.UTC(2026, 0, 1, 0, 0, seed)).toISOString().slice(0, 19),
      ),
  );
  return { sheet, photos };
};

/** The sample's job file, parsed, with changes made to the raw JSON before. */
export const sampleJob = (
  change: (raw: Record<string, unknown>) => void = () => undefined,
): JobFile => {
  const raw = { ...readJson("job.json"), placement: readJson("placement.json") };
  change(raw);
  const parsed = parseJobFile(raw);
  if (!parsed.ok) throw new Error(parsed.problems.join("\n"));
  return parsed.job;
};

export const sampleTruth = truth;

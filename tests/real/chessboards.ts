/**
 * Two sets of chessboard photos by two cameras (Debian opencv-doc, examples/data/left??.jpg and
 * right??.jpg; OpenCV, Apache-2.0; read from the package, not copied). The lens is found without each
 * photo in turn, by our camera step and by OpenCV on the same corners; then only the board's pose is
 * fitted to that photo, and what is left of its corners says how good the lens is.
 */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { calibrateCamera, type SheetPhoto } from "../../src/calibrate/camera-step.ts";
import { fitSheet } from "../../src/calibrate/estimate/fit.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { chessboardPhoto } from "../unit/calibrate/chessboard.ts";

const [columns, rows, width, height] = [9, 6, 640, 480];
const boardPoints = Float64Array.from(
  Array.from({ length: rows * columns }, (_, i) => [
    (i % columns) - (columns - 1) / 2,
    (rows - 1) / 2 - Math.floor(i / columns),
  ]).flat(),
);

interface Found {
  readonly name: string;
  readonly pixels: number[];
  readonly openCvWithout: Lens;
}

/** Null where the packages are not there. */
const findCorners = (): Readonly<Record<string, Found[]>> | null => {
  const script = fileURLToPath(new URL("chessboards.py", import.meta.url));
  const run = spawnSync("/usr/bin/python3", [script], { encoding: "utf8", maxBuffer: 1e8 });
  if (run.status !== 0) return null;
  const sets = JSON.parse(run.stdout) as Record<string, Found[]>;
  return Object.values(sets).every((photos) => photos.length > 5) ? sets : null;
};

const sheetPhoto = ({ name, pixels }: Found): SheetPhoto =>
  chessboardPhoto(name, width, height, boardPoints, Float64Array.from(pixels));

/** What is left of a photo's corners with this lens as it is, px per coordinate. */
const leftWith = (photo: SheetPhoto, lens: Lens): number | null =>
  fitSheet(
    [photo],
    {
      lens,
      lensSd: null,
      free: new Array<boolean>(9).fill(false),
      fixedAspect: false,
      focalSd: 0,
      shiftSdPx: 0,
      noiseScale: 1,
      squareMm: 25,
      bendSd: 0,
    },
    { robust: false },
  )?.residualPx ?? null;

export interface ChessboardSet {
  readonly set: string;
  readonly photos: number;
  /** Root mean square over the photos left out, and the middle one of them, px per coordinate. */
  readonly ours: number;
  readonly openCv: number;
  readonly oursMedian: number;
  readonly openCvMedian: number;
}

export const compareChessboards = (): ChessboardSet[] | null => {
  const sets = findCorners();
  if (!sets) return null;
  return Object.entries(sets).map(([set, found]) => {
    const photos = found.map(sheetPhoto);
    const pairs = found.flatMap(({ openCvWithout }, i) => {
      const rest = photos.filter((_, k) => k !== i);
      const step = calibrateCamera(rest, { heldOut: false, effect: false });
      if (!step.ok) return [];
      const ours = leftWith(photos[i], step.profile.lens);
      const openCv = leftWith(photos[i], openCvWithout);
      return ours === null || openCv === null ? [] : [{ ours, openCv }];
    });
    const rms = (list: readonly number[]): number =>
      Math.sqrt(list.reduce((sum, v) => sum + v * v, 0) / list.length);
    const median = (list: readonly number[]): number =>
      [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
    return {
      set,
      photos: pairs.length,
      ours: rms(pairs.map(({ ours }) => ours)),
      openCv: rms(pairs.map(({ openCv }) => openCv)),
      oursMedian: median(pairs.map(({ ours }) => ours)),
      openCvMedian: median(pairs.map(({ openCv }) => openCv)),
    };
  });
};

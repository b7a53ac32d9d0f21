import { readFileSync } from "node:fs";
import type { SheetPhoto } from "../../../src/calibrate/camera-step.ts";
import type { SheetSettings } from "../../../src/calibrate/estimate/sheet-problem.ts";
import type { Lens } from "../../../src/lens/lens.ts";

/** Corners of one chessboard as a sheet photo: points of the board in squares, pixels with 0.15 px of noise. */
export const chessboardPhoto = (
  photo: string,
  width: number,
  height: number,
  boardPoints: Float64Array,
  pixels: Float64Array,
): SheetPhoto => ({
  photo,
  width,
  height,
  exif: null,
  view: {
    id: 1000,
    boardPoints,
    pixels,
    noise: { kind: "isotropic", sigmaPx: 0.15 },
    outline: new Float64Array(8),
    quality: {
      grade: "good",
      reasons: [],
      cellPx: 30,
      obliquityDeg: 20,
      blurPx: 0.8,
      contrast: 150,
      coveredShare: 0,
      residualPx: 0.15,
    },
  },
});

/** The chessboard corners of opencv-doc's photos as if they were sheet photos, 25 mm squares. */
export const chessboardPhotos = (): SheetPhoto[] => {
  const file = new URL("./left-corners.json", import.meta.url);
  const data = JSON.parse(readFileSync(file, "utf8")) as {
    columns: number;
    rows: number;
    width: number;
    height: number;
    photos: { name: string; pixels: number[] }[];
  };
  const boardPoints = Float64Array.from(
    Array.from({ length: data.rows * data.columns }, (_, i) => [
      (i % data.columns) - (data.columns - 1) / 2,
      (data.rows - 1) / 2 - Math.floor(i / data.columns),
    ]).flat(),
  );
  return data.photos.map(({ name, pixels }) =>
    chessboardPhoto(name, data.width, data.height, boardPoints, Float64Array.from(pixels)),
  );
};

/** OpenCV's model: fx = fy, five distortion numbers, flat board, nothing changes, no priors. */
export const chessboardSettings = (lens: Lens): SheetSettings => ({
  lens,
  lensSd: null,
  free: new Array<boolean>(9).fill(true),
  fixedAspect: true,
  focalSd: 0,
  shiftSdPx: 0,
  noiseScale: 1,
  squareMm: 25,
  bendSd: 0,
});

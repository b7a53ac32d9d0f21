/** opencv.js as a stranger to the project would use it on a printed page. */
import { loadOpenCV } from "@opencvjs/web";
import type { Raster } from "./raster.ts";

export interface DetectedTag {
  readonly id: number;
  /** x0 y0 .. x3 y3 in px, from the tag's own upper left corner clockwise. */
  readonly corners: Float64Array;
}

export interface DetectedSheet {
  readonly cornerIds: readonly number[];
  readonly corners: Float64Array;
  readonly markerIds: readonly number[];
}

export interface PageReader {
  tags(raster: Raster): DetectedTag[];
  sheet(raster: Raster): DetectedSheet;
}

/** Its marker classes are missing in its types, so the few calls are untyped. */
// biome-ignore lint/suspicious/noExplicitAny: see above
type Untyped = any;

export async function openPageReader(sheetIds: readonly number[]): Promise<PageReader> {
  const cv: Untyped = await loadOpenCV();
  const dictionary = cv.getPredefinedDictionary(cv.DICT_APRILTAG_36h11);
  const parameters = new cv.aruco_DetectorParameters();
  parameters.cornerRefinementMethod = 1; // CORNER_REFINE_SUBPIX
  // A rendered page is evenly lit: one threshold window does, and takes a third of the time.
  parameters.adaptiveThreshWinSizeMin = 23;
  parameters.adaptiveThreshWinSizeMax = 23;
  const refine = new cv.aruco_RefineParameters(10, 3, true);
  const detector = new cv.aruco_ArucoDetector(dictionary, parameters, refine);
  const ids = cv.matFromArray(sheetIds.length, 1, cv.CV_32SC1, sheetIds);
  const board = new cv.aruco_CharucoBoard(new cv.Size(7, 10), 25, 18.5, dictionary, ids);
  const sheetReader = new cv.aruco_CharucoDetector(
    board,
    new cv.aruco_CharucoParameters(),
    new cv.aruco_DetectorParameters(),
    refine,
  );

  return {
    tags: (raster) =>
      withMat(cv, raster, (image) => {
        const out = [new cv.MatVector(), new cv.Mat(), new cv.MatVector()];
        const [corners, found, rejected] = out;
        detector.detectMarkers(image, corners, found, rejected);
        const tags = Array.from({ length: corners.size() }, (_, i) => ({
          id: found.data32S[i] as number,
          corners: Float64Array.from(corners.get(i).data32F as Float32Array),
        }));
        for (const item of out) item.delete();
        return tags;
      }),
    sheet: (raster) =>
      withMat(cv, raster, (image) => {
        const out = [new cv.Mat(), new cv.Mat(), new cv.MatVector(), new cv.Mat()];
        const [corners, cornerIds, markers, markerIds] = out;
        sheetReader.detectBoard(image, corners, cornerIds, markers, markerIds);
        const sheet = {
          cornerIds: Array.from(cornerIds.data32S as Int32Array),
          corners: Float64Array.from(corners.data32F as Float32Array),
          markerIds: Array.from(markerIds.data32S as Int32Array),
        };
        for (const item of out) item.delete();
        return sheet;
      }),
  };
}

function withMat<T>(cv: Untyped, raster: Raster, read: (image: Untyped) => T): T {
  const image = new cv.Mat(raster.height, raster.width, cv.CV_8UC1);
  image.data.set(raster.data);
  const result = read(image);
  image.delete();
  return result;
}

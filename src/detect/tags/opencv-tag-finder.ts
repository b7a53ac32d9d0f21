import { kitIds } from "../../boards/kit.ts";
import { sheetFirstMarkerId, sheetMarkerCount } from "../../boards/sheet.ts";
import type { LumaImage } from "../../photo/grey/luma.ts";
import type { FoundTag, TagFinder, TagFindings, TagSearch } from "./tag-finder.ts";

/** The few parts of opencv.js that are used; its own type file leaves out the marker classes. */
export interface MarkerLibrary {
  readonly CV_8UC1: number;
  readonly DICT_APRILTAG_36h11?: unknown;
  readonly Mat: new (...args: never[]) => unknown;
  readonly MatVector: new () => unknown;
}

interface CodeTable {
  rowRange(from: number, to: number): CodeTable;
}
interface Deletable {
  delete(): void;
}
interface Mat extends Deletable {
  readonly data: Uint8Array;
  readonly data32S: Int32Array;
  readonly data32F: Float32Array;
}
interface MatVector extends Deletable {
  size(): number;
  get(index: number): Mat;
}
interface Parameters extends Deletable {
  adaptiveThreshWinSizeMin: number;
  adaptiveThreshWinSizeMax: number;
  adaptiveThreshWinSizeStep: number;
  adaptiveThreshConstant: number;
  minMarkerPerimeterRate: number;
  minMarkerDistanceRate: number;
  cornerRefinementMethod: number;
  minDistanceToBorder: number;
  perspectiveRemovePixelPerCell: number;
}
interface Detector extends Deletable {
  detectMarkers(image: Mat, corners: MatVector, ids: Mat, rejected: MatVector): void;
  setDetectorParameters(parameters: Parameters): void;
}
interface Library {
  readonly CV_8UC1: number;
  readonly Mat: { new (): Mat; new (rows: number, cols: number, type: number): Mat };
  readonly MatVector: new () => MatVector;
  readonly aruco_DetectorParameters: new () => Parameters;
  readonly aruco_RefineParameters: new (a: number, b: number, c: boolean) => Deletable;
  readonly aruco_ArucoDetector: new (
    dictionary: Deletable,
    parameters: Parameters,
    refine: Deletable,
  ) => Detector;
  getPredefinedDictionary(id: unknown): Deletable & { bytesList: CodeTable };
}

/** Step between window sizes where there is only one: any positive number will do. */
const unusedStep = 10;
/**
 * Share of a tag's perimeter below which the library takes two squares for one. The checks of the
 * ring touch the tag: a larger value merges them with it and loses the tag. Our own, no source.
 */
const minMarkerDistanceRate = 0.05;
/** Distance from the picture's border below which a tag is not read, px. */
const minDistanceToBorder = 1;
/** No refinement of the corners by the library: refineTagEdges does it. */
const noCornerRefinement = 0;
/** The library's own defaults for refining a board of several markers, which is not used. */
const boardRefinement = [10, 3, true] as const;

/** Consecutive ids of the family. */
export interface IdRange {
  readonly first: number;
  readonly count: number;
}

/**
 * Finds tags with opencv.js. `cv` is the loaded library. Its memory is freed after every picture;
 * the detector itself lives as long as the finder.
 *
 * The library compares every dark square with one code after the other until one fits, and most
 * squares fit none: with the ids that are wanted alone it is done many times sooner. Codes of the
 * family differ in at least 11 bits, so no other tag of the family can be taken for one of them.
 */
export function openCvTagFinder(cv: MarkerLibrary, ids?: IdRange): TagFinder {
  const library = cv as unknown as Library;
  const dictionary = library.getPredefinedDictionary(cv.DICT_APRILTAG_36h11);
  const first = ids?.first ?? 0;
  if (ids) dictionary.bytesList = dictionary.bytesList.rowRange(first, first + ids.count);
  const parameters = new library.aruco_DetectorParameters();
  const refine = new library.aruco_RefineParameters(...boardRefinement);
  const detector = new library.aruco_ArucoDetector(dictionary, parameters, refine);
  return {
    find(image, search) {
      setUp(parameters, image, search);
      detector.setDetectorParameters(parameters);
      const { tags, otherQuads } = detect(library, detector, image);
      return { tags: tags.map((tag) => ({ ...tag, id: tag.id + first })), otherQuads };
    },
  };
}

/**
 * Finds the kit's boards. A board with another id, if a job names one, is read through its ring, see
 * `rescueBoards`.
 */
export const boardTagFinder = (cv: MarkerLibrary): TagFinder =>
  openCvTagFinder(cv, { first: 0, count: Math.max(...kitIds) + 1 });

/** Finds the camera sheet's markers, the last of the family's 587 ids. */
export const sheetTagFinder = (cv: MarkerLibrary): TagFinder =>
  openCvTagFinder(cv, { first: sheetFirstMarkerId, count: sheetMarkerCount });

function setUp(parameters: Parameters, image: LumaImage, search: TagSearch): void {
  const { windows } = search;
  parameters.adaptiveThreshWinSizeMin = windows[0];
  parameters.adaptiveThreshWinSizeMax = windows[windows.length - 1];
  parameters.adaptiveThreshWinSizeStep = windows.length > 1 ? windows[1] - windows[0] : unusedStep;
  parameters.adaptiveThreshConstant = search.darkerBy;
  parameters.minMarkerPerimeterRate = search.minPerimeterPx / Math.max(image.width, image.height);
  parameters.cornerRefinementMethod = noCornerRefinement;
  parameters.minMarkerDistanceRate = minMarkerDistanceRate;
  parameters.minDistanceToBorder = minDistanceToBorder;
}

function detect(cv: Library, detector: Detector, image: LumaImage): TagFindings {
  const mat = new cv.Mat(image.height, image.width, cv.CV_8UC1);
  const corners = new cv.MatVector();
  const rejected = new cv.MatVector();
  const ids = new cv.Mat();
  try {
    mat.data.set(image.data);
    detector.detectMarkers(mat, corners, ids, rejected);
    const tags: FoundTag[] = quads(corners).map((quad, i) => ({
      id: ids.data32S[i],
      corners: quad,
    }));
    return { tags, otherQuads: quads(rejected) };
  } finally {
    for (const item of [mat, corners, rejected, ids]) item.delete();
  }
}

function quads(list: MatVector): Float64Array[] {
  return Array.from({ length: list.size() }, (_, i) => {
    const quad = list.get(i);
    const copy = Float64Array.from(quad.data32F);
    quad.delete();
    return copy;
  });
}

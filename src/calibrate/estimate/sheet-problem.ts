import { readoutOf } from "../../adjust/problem/motion.ts";
import type { MotionSpread, NetworkProblem } from "../../adjust/problem/problem.ts";
import type { FeatureNoise } from "../../detect/findings/findings.ts";
import { type Lens, lensSize } from "../../lens/lens.ts";
import type { SheetPhoto } from "../photos/sheet-photo.ts";

/** What one adjustment of sheet photos is told besides the photos. */
export interface SheetSettings {
  /** Start values, and centre of the lens prior. */
  readonly lens: Lens;
  /** Standard deviations of the lens prior in lensOrder; null for none at all. */
  readonly lensSd: readonly number[] | null;
  readonly free: readonly boolean[];
  readonly fixedAspect: boolean;
  /** Spread of the changes from photo to photo; 0 = none. */
  readonly focalSd: number;
  readonly shiftSdPx: number;
  /** The finder's feature noise is multiplied by this. */
  readonly noiseScale: number;
  readonly squareMm: number;
  /** Standard deviation of the sheet's curvature, 1/mm; 0 = flat. */
  readonly bendSd: number;
  /** Spread of the hand's motion during the read-out. */
  readonly motion?: MotionSpread;
  /** Photos that moved unlike the others, with the factor on that spread. */
  readonly motionScales?: ReadonlyMap<string, number>;
  /** Standard deviation of the sheet's stretch, width against height; absent = none. */
  readonly stretchSd?: number;
}

const sheetKey = "sheet";
export const cameraKey = "camera";

/** The camera step as a problem for the adjustment: one board, one camera, many photos. */
export const sheetProblem = (
  photos: readonly SheetPhoto[],
  settings: SheetSettings,
): NetworkProblem => ({
  cameras: [
    {
      key: cameraKey,
      lens: settings.lens,
      priorCovariance: settings.lensSd && diagonal(settings.lensSd, settings.free),
      free: settings.free,
      fixedAspect: settings.fixedAspect,
      focalSd: settings.focalSd,
      shiftSdPx: settings.shiftSdPx,
      motion: settings.motion,
    },
  ],
  photos: photos.map((photo) => ({
    key: photo.photo,
    camera: cameraKey,
    readout: readoutOf(photo),
    motionScale: settings.motionScales?.get(photo.photo) ?? 1,
  })),
  boards: [
    {
      key: sheetKey,
      cellMm: settings.squareMm,
      cellSd: 0,
      stretchSd: settings.stretchSd ?? 0,
      print: null,
      bendSd: settings.bendSd,
    },
  ],
  prints: [],
  observations: photos.map(({ photo, view }) => ({
    photo,
    board: sheetKey,
    boardPoints: view.boardPoints,
    pixels: view.pixels,
    noise: scaledNoise(view.noise, settings.noiseScale),
  })),
  lengths: [],
  floor: [],
  frames: [],
  scalars: [],
  chains: [],
});

const diagonal = (sd: readonly number[], free: readonly boolean[]): Float64Array =>
  Float64Array.from({ length: lensSize * lensSize }, (_, at) => {
    const i = at / (lensSize + 1);
    return Number.isInteger(i) && free[i] ? sd[i] ** 2 : 0;
  });

const scaledNoise = (noise: FeatureNoise, scale: number): FeatureNoise =>
  noise.kind === "isotropic"
    ? { kind: "isotropic", sigmaPx: noise.sigmaPx * scale }
    : { ...noise, sqrtInformation: noise.sqrtInformation.map((w) => w / scale) };

/**
 * What is known of any phone lens before a photo is seen, as standard deviations in lensOrder.
 * Wide on purpose (common practice, no source): it only keeps an adjustment of few photos from
 * diverging, and its share in a good set is far below a thousandth.
 */
export const anyLensSd = (lens: Lens, focalSd: number, width: number): number[] => {
  const f = lens.fx * Math.max(focalSd, 0.1);
  const centre = 0.04 * width;
  return [f, f, centre, centre, 0.5, 0.5, 0.02, 0.02, 0.5];
};

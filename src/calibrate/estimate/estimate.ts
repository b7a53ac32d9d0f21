import { usualMotion } from "../../adjust/spreads/motion-spread.ts";
import {
  type ComponentEstimate,
  updateComponent,
  widening,
} from "../../adjust/spreads/variance-component.ts";
import type { Lens } from "../../lens/lens.ts";
import type { SheetPhoto } from "../photos/sheet-photo.ts";
import { type FitOptions, fitSheet, type SheetFit } from "./fit.ts";
import { freeOf, fullModel, type LensModel } from "./model.ts";
import { anyLensSd, type SheetSettings } from "./sheet-problem.ts";
import { usualFocalSd, usualShiftSd } from "./variance-components.ts";

/**
 * Standard deviation of a printed sheet's stretch (width (1 + s), height / (1 + s)): two scales of
 * 0.2 % each. Common practice, no source.
 */
const sheetStretchSd = 0.0015;

/** Sagitta of 1.5 mm over 250 mm as a curvature, 1/mm: a sheet of paper laid on a table. */
const paperBendSd = (8 * 1.5) / 250 ** 2;

export interface EstimateOptions {
  readonly start: Lens;
  readonly startFocalSd: number;
  readonly width: number;
  readonly squareMm: number;
  readonly flat: boolean;
  readonly fixedAspect: boolean;
  readonly photoChanges: boolean;
  readonly motionAndStretch: boolean;
}

/** Lens, changes and their variance components, from one set of photos and one model. */
export interface SheetEstimate {
  readonly settings: SheetSettings;
  readonly fit: SheetFit;
  readonly focal: ComponentEstimate;
  readonly shift: ComponentEstimate;
  /** False where the variance components still moved in the last round. */
  readonly settled: boolean;
}

export const firstSettings = (options: EstimateOptions): SheetSettings => ({
  lens: options.start,
  lensSd: anyLensSd(options.start, options.startFocalSd, options.width),
  free: freeOf(fullModel),
  fixedAspect: options.fixedAspect,
  focalSd: options.photoChanges ? usualFocalSd : 0,
  shiftSdPx: options.photoChanges ? usualShiftSd * options.width : 0,
  noiseScale: 1,
  squareMm: options.squareMm,
  bendSd: options.flat ? 0 : paperBendSd,
  stretchSd: options.flat || !options.motionAndStretch ? 0 : sheetStretchSd,
  ...(options.photoChanges && options.motionAndStretch && { motion: usualMotion }),
});

/** Simulated and rendered phones take five at most. */
const mostRounds = 20;
/** Rounds stop when no standard deviation moves by more than this share of itself. */
const stillShare = 0.02;

export interface RoundOptions extends FitOptions {
  /** Rounds after the first. */
  readonly mostRounds?: number;
}

/**
 * Adjusts, re-estimates the three variance components (features, focal length, shift) from the
 * result, and repeats until they change no more; where they do not settle, the estimate is not `settled`. Null
 * where the adjustment finds no solution.
 */
export const estimateSheet = (
  photos: readonly SheetPhoto[],
  first: SheetSettings,
  width: number,
  options: RoundOptions = {},
): SheetEstimate | null => {
  const last = options.mostRounds ?? mostRounds;
  let settings = first;
  let from = options.from;
  for (let round = 0; ; round++) {
    const fit = fitSheet(photos, settings, { ...options, from });
    if (!fit) return null;
    const focal = component(fit, [0], settings.focalSd, usualFocalSd);
    const shift = component(fit, [1, 2], settings.shiftSdPx, usualShiftSd * width);
    const noiseScale = settings.noiseScale * featureNoiseFactor(fit, settings, focal, shift);
    const settled =
      isStill(focal.sd, settings.focalSd) &&
      isStill(shift.sd, settings.shiftSdPx) &&
      handStill(fit, settings) &&
      isStill(noiseScale, settings.noiseScale);
    if (settled || round >= last)
      return widened({ settings, fit, focal, shift, settled }, photos, options);
    settings = {
      ...settings,
      focalSd: focal.sd,
      shiftSdPx: shift.sd,
      noiseScale,
      ...(fit.hand && { motion: fit.hand.spread, motionScales: fit.hand.scales }),
    };
    from = fit;
  }
};

const isStill = (now: number, before: number): boolean =>
  Math.abs(now - before) <= stillShare * before;

const handStill = ({ hand }: SheetFit, { motion }: SheetSettings): boolean =>
  !hand ||
  !motion ||
  (isStill(hand.spread.turnSd, motion.turnSd) && isStill(hand.spread.swaySd, motion.swaySd));

/** The last adjustment, with the changes' deviations widened for being estimates themselves. */
const widened = (
  estimate: SheetEstimate,
  photos: readonly SheetPhoto[],
  options: FitOptions,
): SheetEstimate | null => {
  const { settings, fit, focal, shift } = estimate;
  if (settings.focalSd === 0 && settings.shiftSdPx === 0) return estimate;
  const wide = {
    focal: { ...focal, sd: focal.sd * widening(focal) },
    shift: { ...shift, sd: shift.sd * widening(shift) },
  };
  const last = { ...settings, focalSd: wide.focal.sd, shiftSdPx: wide.shift.sd };
  const again = fitSheet(photos, last, { ...options, from: fit });
  return again && { ...estimate, settings: last, fit: again, ...wide };
};

/** The estimate again with a smaller model, from where the larger one ended. */
export const withModel = (estimate: SheetEstimate, model: LensModel): SheetSettings => ({
  ...estimate.settings,
  free: freeOf(model),
});

const component = (
  fit: SheetFit,
  parts: readonly number[],
  priorSd: number,
  usual: number,
): ComponentEstimate => {
  if (priorSd === 0) return { sd: 0, fromPhotos: 0 };
  const pick = (all: Float64Array): number[] =>
    fit.photos.flatMap((_, i) => parts.map((part) => all[3 * i + part]));
  return updateComponent(pick(fit.changes), pick(fit.changeVariances), priorSd, usual);
};

/**
 * Factor by which the features are noisier than the finder says: the weighted squares of the
 * features over their own redundancy, which is the total less what the priors of the changes hold.
 */
const featureNoiseFactor = (
  fit: SheetFit,
  settings: SheetSettings,
  focal: ComponentEstimate,
  shift: ComponentEstimate,
): number => {
  const byHand = fit.hand?.redundancy ?? 0;
  const redundancy = fit.redundancy - focal.fromPhotos - shift.fromPhotos - byHand;
  let ofPriors = fit.hand?.squares ?? 0;
  for (let i = 0; i < fit.changes.length; i++) {
    const sd = i % 3 === 0 ? settings.focalSd : settings.shiftSdPx;
    if (sd > 0) ofPriors += (fit.changes[i] / sd) ** 2;
  }
  if (redundancy < 10) return 1;
  return Math.sqrt(Math.max(fit.cost - ofPriors, 1e-12) / redundancy);
};

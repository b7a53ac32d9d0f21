import type { SheetPhoto } from "../photos/sheet-photo.ts";
import type { SheetEstimate } from "./estimate.ts";
import { fitSheet } from "./fit.ts";

export interface HeldOut {
  /** Root mean square per coordinate over all photos, px; null where no photo could be tried. */
  readonly allPx: number | null;
  readonly perPhoto: readonly (number | null)[];
}

/**
 * Leave one out: the lens from all other photos, then only the pose and the own focal and shift
 * change of the photo left out are fitted to it. The residuals that remain are the lens's
 * errors in a photo that was not used to estimate it.
 */
export const heldOutErrors = (
  photos: readonly SheetPhoto[],
  { settings, fit }: SheetEstimate,
): HeldOut => {
  const bent = Math.abs(fit.sagittaMm) > 3 * fit.sagittaSdMm;
  const perPhoto = photos.map((left) => {
    const others = fitSheet(
      photos.filter((photo) => photo !== left),
      settings,
      { from: fit },
    );
    if (!others) return null;
    const lensHeld = {
      ...settings,
      bendSd: bent ? settings.bendSd : 0,
      lens: others.lens,
      lensSd: null,
      free: settings.free.map(() => false),
      fixedAspect: false,
    };
    return fitSheet([left], lensHeld, { from: fit, robust: false })?.photos[0].residualPx ?? null;
  });
  let squares = 0;
  let count = 0;
  for (const [i, px] of perPhoto.entries()) {
    if (px === null) continue;
    const n = photos[i].view.pixels.length;
    squares += n * px ** 2;
    count += n;
  }
  return { allPx: count > 0 ? Math.sqrt(squares / count) : null, perPhoto };
};

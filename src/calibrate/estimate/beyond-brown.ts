import { displacementAt, type LensRemainder, withoutRemainder } from "../../lens/remainder.ts";
import type { SheetPhoto } from "../photos/sheet-photo.ts";
import { estimateSheet, type RoundOptions, type SheetEstimate } from "./estimate.ts";
import { type FoundRemainder, lensRemainder } from "./lens-remainder.ts";
import { frameOf } from "./remainder-model.ts";
import { sheetNormals } from "./sheet-normals.ts";
import type { SheetSettings } from "./sheet-problem.ts";

/** An estimate with what Brown's numbers leave taken off the photos. */
export interface BeyondBrown {
  readonly estimate: SheetEstimate;
  readonly remainder: LensRemainder | null;
  /** The photos with it taken off; the same photos where there is none. */
  readonly corrected: readonly SheetPhoto[];
}

/** Each pass starts from noise and spreads that the displacement disturbs less; four are plenty. */
const mostPasses = 4;
/** Passes end when the displacement moves by less than this on average, px. */
const stillPx = 0.002;

/**
 * Takes off what the lens model leaves, in turn with estimating everything else afresh: noise and
 * spreads from the first pass hold the displacement, too. `first` are the settings before any photo
 * was seen, so that the spreads do not start from what the displacement made of them.
 */
export const beyondBrown = (
  photos: readonly SheetPhoto[],
  estimate: SheetEstimate,
  first: SheetSettings,
  rounds: RoundOptions,
): BeyondBrown => {
  const { cx, cy } = estimate.fit.lens;
  const frame = frameOf(photos[0], [cx, cy]);
  let best: BeyondBrown = { estimate, remainder: null, corrected: photos };
  let last: FoundRemainder | null = null;
  for (let pass = 0; pass < mostPasses; pass++) {
    const from = best.estimate.fit;
    const found = lensRemainder(sheetNormals(from.internals, frame), frame, best.remainder);
    if (!found) break;
    const { remainder } = found;
    const corrected = photos.map((photo) => withoutShared(photo, remainder));
    const again = estimateSheet(corrected, first, photos[0].width, { ...rounds, from });
    if (!again) break;
    const still = best.remainder && difference(remainder, best.remainder, photos[0]) < stillPx;
    best = { estimate: again, remainder, corrected };
    last = found;
    if (still) break;
  }
  if (!last) return best;
  const { lens, internals } = best.estimate.fit;
  const [spread] = internals.model.layout.lensSpread;
  return { ...best, remainder: last.withDoubt({ lens, spread }) };
};

const withoutShared = (photo: SheetPhoto, remainder: LensRemainder): SheetPhoto => {
  const pixels = withoutRemainder(remainder, photo, photo, photo.view.pixels);
  return { ...photo, view: { ...photo.view, pixels } };
};

/** Root mean square of the difference over a grid of places, px. */
const difference = (
  a: LensRemainder,
  b: LensRemainder,
  frame: Pick<SheetPhoto, "width" | "height">,
): number => {
  const steps = 8;
  let sum = 0;
  for (let i = 0; i <= steps; i++)
    for (let j = 0; j <= steps; j++) {
      const [x, y] = [(i / steps) * (frame.width - 1), (j / steps) * (frame.height - 1)];
      const [p, q] = [displacementAt(a, frame, x, y), displacementAt(b, frame, x, y)];
      sum += (p.dx - q.dx) ** 2 + (p.dy - q.dy) ** 2;
    }
  return Math.sqrt(sum / (2 * (steps + 1) ** 2));
};

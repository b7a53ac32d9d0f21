/** Compares a closed result with one that was computed anew from the same inputs. */
import type { Result } from "../job/result/result.ts";
import { type Json, plainCopy } from "./canonical.ts";

/**
 * Browsers and Node compute the demo's numbers to within 0.00001 mm and degrees of each other; half a
 * digit of what the record prints is 0.05 mm and 0.005 degrees. In between lies room for another
 * processor's rounding, none for another engine's opinion.
 */
export const sameWithin = 1e-4;

/**
 * How the lens stood in a photo is known to about 2 px; the adjustment may end a thousandth of a pixel
 * from where another processor's ends, which moves no placement by a nanometre.
 */
const samePixelsWithin = 0.01;
const inPixels = /principalShiftPx|\/camera\/(lens|standardUncertainty)\/[fc][xy]$/;

/**
 * Standard uncertainties of the lens rest on spreads that are estimated by repeated steps; where these
 * end differs between processors and engines of JavaScript. On the demo, Chromium against Node, that of
 * cx came out 0.7 % apart (2.055 and 2.041 px) and no check by more than 0.00001. An uncertainty is
 * stated with two digits at most (JCGM 100:2008, 7.2.6): one in a hundred is the same.
 */
const lensUncertainty = /^\/camera\/standardUncertainty\//;
const sameUncertaintyShare = 0.01;

/** What may differ: when and how fast it was computed, and by which program. */
const leftOut = new Set(["timesMs", "measuredAt", "program"]);

export interface Recomputed {
  /** Numbers and words that were compared. */
  readonly compared: number;
  /** Largest difference of any number, and of the numbers of the checks (mm, degrees, shares). */
  readonly worst: number;
  readonly worstCheck: number;
  readonly different: readonly { readonly path: string; readonly was: Json; readonly is: Json }[];
}

/** Absolute differences up to `within` count as the same; words must be equal. */
export function compareResults(closed: Result, anew: Result, within = sameWithin): Recomputed {
  const different: { path: string; was: Json; is: Json }[] = [];
  let compared = 0;
  let worst = 0;
  let worstCheck = 0;
  const compare = (was: Json, is: Json, path: string): void => {
    if (typeof was === "number" && typeof is === "number") {
      compared++;
      const apart = Math.abs(was - is);
      worst = Math.max(worst, apart);
      const limit = limitAt(path, was, within);
      if (path.startsWith("/checks/")) worstCheck = Math.max(worstCheck, apart);
      // Covariances may be large numbers: there their own size counts.
      if (apart > limit * Math.max(1, Math.abs(was) / 100)) different.push({ path, was, is });
      return;
    }
    const branch = (value: Json) => typeof value === "object" && value !== null;
    if (!branch(was) || !branch(is)) {
      compared++;
      if (was !== is) different.push({ path, was, is });
      return;
    }
    const [a, b] = [was, is] as unknown as [Record<string, Json>, Record<string, Json>];
    for (const name of new Set([...Object.keys(a), ...Object.keys(b)])) {
      if (!leftOut.has(name)) compare(a[name] ?? null, b[name] ?? null, `${path}/${name}`);
    }
  };
  compare(plainCopy(closed) as unknown as Json, plainCopy(anew) as unknown as Json, "");
  return { compared, worst, worstCheck, different };
}

function limitAt(path: string, was: number, within: number): number {
  const limit = inPixels.test(path) ? samePixelsWithin : within;
  return lensUncertainty.test(path) ? Math.max(limit, sameUncertaintyShare * Math.abs(was)) : limit;
}

import type { Limits } from "./decide.ts";

/** What a job's sheet allows: half the width of every tolerance of the present step. */
export interface Allowed {
  readonly lengthsMm: readonly number[];
  readonly anglesDeg: readonly number[];
}

/**
 * Share of a tolerance that a movement may take before it is an alarm: the stand was placed somewhere
 * inside of it, and the verdict's uncertainty needs room, too. Our own, no source.
 */
const share = 0.25;
/** A turn moves a board of the stand by as much as at this distance from the middle, mm. */
const armMm = 300;
/** Below this the watch would tell its own noise; above, a knock, whatever the sheet allows. */
const least = 0.3;
const most = 2;
/** Depth is known this many times worse than sideways at 3 m. */
const depthTimes = 4;

/** Movements that give an alarm: a quarter of the smallest tolerance, between 0.3 and 2 mm sideways. */
export function limitsFor({
  lengthsMm,
  anglesDeg,
}: Allowed): Pick<Limits, "sidewaysMm" | "depthMm"> {
  const turns = anglesDeg.map((deg) => armMm * Math.tan((deg * Math.PI) / 180));
  const smallest = Math.min(...lengthsMm, ...turns, most / share);
  const sidewaysMm = Math.max(least, share * smallest);
  return { sidewaysMm, depthMm: depthTimes * sidewaysMm };
}

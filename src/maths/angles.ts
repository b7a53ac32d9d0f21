import type { Degrees } from "./units.ts";

/** The same direction as `angle`, at most half a turn from `near`; degrees, in [near - 180, near + 180). */
export const wrapDegrees = (angle: Degrees, near: Degrees = 0): Degrees =>
  near + ((((angle - near + 180) % 360) + 360) % 360) - 180;

/** Angle between two directions, degrees, 0 to 180. */
export const betweenDirections = (a: Degrees, b: Degrees): Degrees => Math.abs(wrapDegrees(a - b));

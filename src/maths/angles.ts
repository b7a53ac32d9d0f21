/** The same direction as `angle`, at most half a turn from `near`; degrees, in [near - 180, near + 180). */
export const wrapDegrees = (angle: number, near = 0): number =>
  near + ((((angle - near + 180) % 360) + 360) % 360) - 180;

/** Angle between two directions, degrees, 0 to 180. */
export const betweenDirections = (a: number, b: number): number => Math.abs(wrapDegrees(a - b));

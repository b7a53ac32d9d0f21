import type { Lens } from "../../src/lens/lens.ts";
import { matMul, type Pose, rotationFromYawPitchRoll, unit } from "../../src/maths/pose.ts";

/** A plausible phone lens for a picture of the given size. */
export const phoneLens = (
  width: number,
  height: number,
  focal = 0.75 * Math.max(width, height),
): Lens => ({
  fx: focal,
  fy: focal,
  cx: (width - 1) / 2,
  cy: (height - 1) / 2,
  k1: 0.05,
  k2: -0.12,
  p1: 0.0004,
  p2: -0.0003,
  k3: 0.05,
});

/**
 * Pose of a print (unit: cells) whose centre appears near pixel (u, v), with cells of `cellPx` when
 * face on, tilted by `tilt` about an axis at angle `axis` in the board's plane and spun by `spin`.
 */
export function printPose(
  lens: Lens,
  at: readonly [number, number],
  cellPx: number,
  tilt: number,
  axis: number,
  spin: number,
): Pose {
  const z = lens.fx / cellPx;
  const faceOn = rotationFromYawPitchRoll(0, 0, Math.PI);
  const turnAxis = rotationFromYawPitchRoll(axis, 0, 0);
  const turnBack = rotationFromYawPitchRoll(-axis, 0, 0);
  const tilted = matMul(turnAxis, matMul(rotationFromYawPitchRoll(0, 0, tilt), turnBack));
  const R = matMul(faceOn, matMul(tilted, rotationFromYawPitchRoll(spin, 0, 0)));
  return { R, t: [((at[0] - lens.cx) / lens.fx) * z, ((at[1] - lens.cy) / lens.fy) * z, z] };
}

/** The same with the tilt measured against the line of sight, as obliquity is. */
export function printPoseSeen(...place: Parameters<typeof printPose>): Pose {
  const pose = printPose(...place);
  const [x, y, z] = unit(pose.t);
  // Turns the optical axis into the line of sight (Rodrigues for two unit vectors).
  const s = 1 / (1 + z);
  const turn = [1 - x * x * s, -x * y * s, x, -x * y * s, 1 - y * y * s, y, -x, -y, z] as const;
  return { R: matMul(turn, pose.R), t: pose.t };
}

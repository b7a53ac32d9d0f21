import { degrees, dot, invert, sub, unit, type Vec3 } from "../../maths/pose.ts";
import type { Internals } from "../adjust.ts";
import type { Remark } from "../problem/codes.ts";

/** Smaller angles between the photos' lines of sight leave depths unchecked. Common practice, no source. */
const narrowDeg = 8;

/** Largest angle, degrees, under which any board was seen from two different photos. */
const widestViewDeg = ({ model, state }: Internals): number => {
  const directions = new Map<number, Vec3[]>();
  for (const { photo, board } of model.views) {
    const eye = invert(state.photoPose[photo]).t;
    const seen = directions.get(board) ?? [];
    seen.push(unit(sub(eye, state.boardPose[board].t)));
    directions.set(board, seen);
  }
  let smallestCosine = 1;
  for (const seen of directions.values())
    seen.forEach((a, i) => {
      for (const b of seen.slice(0, i)) smallestCosine = Math.min(smallestCosine, dot(a, b));
    });
  return degrees(Math.acos(Math.max(-1, smallestCosine)));
};

/**
 * Photos from one place check each other only in the directions across the line of sight: depths
 * then rest on the lens and the print size alone. See `narrowDeg`.
 */
export const viewpointRemark = (internals: Internals): Remark | null => {
  const widest = widestViewDeg(internals);
  if (widest >= narrowDeg) return null;
  return {
    code: "one-place",
    values: { widest },
    severity: "warning",
    message: `All photos were taken from nearly the same place (at most ${widest.toFixed(1)} degrees apart): nothing checks the depths.`,
    remedy: "Take more photos from places at least a big step to the left and right.",
  };
};

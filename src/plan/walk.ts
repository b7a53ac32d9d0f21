import { degrees } from "../maths/pose.ts";
import type { Shot } from "./plan-types.ts";
import type { Landmark, PlannedBay } from "./view/bay.ts";
import type { Candidate } from "./view/standpoints.ts";

/** Once round the bay: by the direction from the middle of the boards, from the front left on. */
export const inWalkingOrder = (shots: readonly Candidate[]): Candidate[] => {
  if (shots.length === 0) return [];
  const middle = [0, 1].map(
    (k) => shots.reduce((sum, { from }) => sum + from[k], 0) / shots.length,
  );
  const turn = ({ from }: Candidate): number => {
    const angle = Math.atan2(from[1] - middle[1], from[0] - middle[0]);
    return angle < 0 ? angle + 2 * Math.PI : angle;
  };
  return [...shots].sort((a, b) => turn(a) - turn(b));
};

/** A chosen photo as it is shown and said. */
export const shotOf = (bay: PlannedBay, shot: Candidate, number: number): Shot => {
  const [x, y, heightMm] = shot.from;
  const near = nearest(bay.landmarks, x, y);
  return {
    number,
    at: [x, y],
    heightMm,
    posture: shot.posture,
    upright: shot.upright,
    yawDeg: degrees(Math.atan2(shot.towards[1], shot.towards[0])),
    pitchDeg: degrees(Math.asin(shot.towards[2])),
    boards: shot.views.map(({ board }) => Number.parseInt(board, 10)).sort((a, b) => a - b),
    near: near.name,
    aheadMm: x - near.at[0],
    leftMm: y - near.at[1],
  };
};

const nearest = (landmarks: readonly Landmark[], x: number, y: number): Landmark =>
  landmarks.reduce((best, mark) => (away(mark, x, y) < away(best, x, y) ? mark : best));

const away = ({ at }: Landmark, x: number, y: number): number => Math.hypot(at[0] - x, at[1] - y);

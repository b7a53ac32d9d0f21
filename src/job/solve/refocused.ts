import { type Adjusted, type AdjustOutcome, adjust } from "../../adjust/adjust.ts";
import type { NetworkProblem } from "../../adjust/problem/problem.ts";
import { type BayProblem, buildBay, profileCameraKeyOf } from "../problem/build-problem.ts";
import { type CameraKnowledge, camerasOf, type SolveInput } from "../run/run.ts";

export interface Refocused {
  readonly camera: CameraKnowledge;
  readonly bay: BayProblem;
  readonly problem: NetworkProblem;
  readonly outcome: AdjustOutcome;
}

/** A smaller change of the focal length moves what is left of a lens by a pixel or two at most. */
const leastChange = 0.0005;

/**
 * What is left of the lens was learnt at the sheet, near by. In the bay the lens is focused farther
 * away and the picture is smaller by about a percent, which moves a line of sight by some 30 px at
 * the rim. Once a first adjustment has told the focal length, what is left is taken where it belongs.
 * Null where that changes nothing.
 */
export const refocused = (
  input: SolveInput,
  camera: CameraKnowledge,
  before: SolveInput["outcomes"],
  { problem, bay, adjusted }: { problem: NetworkProblem; bay: BayProblem; adjusted: Adjusted },
): Refocused | null => {
  const cameras = camerasOf(camera).map((one, at) =>
    inBay(one, profileCameraKeyOf(at), problem, adjusted),
  );
  if (cameras.every((one) => one === null)) return null;
  const [first, ...others] = camerasOf(camera).map((one, at) => cameras[at] ?? one);
  const again = others.length > 0 ? { ...first, others } : first;
  const built = buildBay(input.job, again, before);
  if (!built.ok) return null;
  const { observations } = built.bay.problem;
  const moved = { ...problem, observations };
  const outcome = adjust(moved, { startState: adjusted.internals.state });
  const moving = { ...bay, problem: { ...bay.problem, observations } };
  return { camera: again, bay: moving, problem: moved, outcome };
};

/** A lens with its focal length in the bay over the profile's; null where that changes nothing. */
const inBay = (
  camera: CameraKnowledge,
  key: string,
  problem: NetworkProblem,
  adjusted: Adjusted,
): CameraKnowledge | null => {
  const { lens, remainder } = camera.profile;
  if (!remainder || !problem.cameras.some((one) => one.key === key)) return null;
  const focalRatio = adjusted.state.lens(key).fx / lens.fx;
  return Math.abs(focalRatio - 1) < leastChange ? null : { ...camera, focalRatio };
};

import type { NetworkProblem, PrintStatement } from "../../adjust/problem/problem.ts";

/**
 * A job's problem as if phones and prints were simpler: the camera at rest while a photo is read, one
 * scale per set of prints, nothing left of the lens beyond its numbers. Only for benches that measure
 * what these are worth.
 */
export const withPlainPhysics = (problem: NetworkProblem): NetworkProblem => ({
  ...problem,
  cameras: problem.cameras.map(({ motion: _hand, modes: _rest, ...camera }) => camera),
  photos: problem.photos.map(({ readout: _order, ...photo }) => photo),
  prints: problem.prints.map(oneScale),
  observations: problem.observations.map(({ modes: _rest, ...seen }) => seen),
});

/** Width and height are one number: the mean, with the mean of their own deviations. */
const oneScale = ({
  key,
  scaleSd,
  widthSd = 0,
  heightSd = 0,
  width = 1,
  height = 1,
}: PrintStatement): PrintStatement => {
  const scale = (width + height) / 2;
  return {
    key,
    scaleSd: Math.hypot(scaleSd, widthSd / 2, heightSd / 2),
    width: scale,
    height: scale,
  };
};

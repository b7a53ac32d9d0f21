import { chiSquareQuantile } from "../../maths/statistics.ts";
import type { Adjusted } from "../adjust.ts";
import { motionSize } from "../problem/motion.ts";
import type { CameraStatement, MotionSpread, NetworkProblem } from "../problem/problem.ts";
import { localCovariance } from "../propagate/local-covariance.ts";
import { expectedSd } from "./variance-component.ts";

/**
 * What hands do before a job's photos are seen. A degree a second over a read-out of 20 ms is 0.02
 * degrees; read-out: 27 to 32 ms in a published table of older phones (kalibr's documentation),
 * about 10 ms in newer ones (from memory). A drift of ten millimetres a second gives 0.2 mm. A
 * tremor of 0.007 degrees at 10 Hz bends the turn's course by 0.002 degrees over 20 ms. The last
 * two are common practice, no source.
 */
export const usualMotion: MotionSpread = {
  turnSd: (0.02 * Math.PI) / 180,
  shiftSdMm: 0.2,
  swaySd: (0.002 * Math.PI) / 180,
};

/** A photo whose motion is less likely than this among the others has a spread of its own. */
const oddMotion = 1e-4;
/**
 * No photo turns by more than this while it is read, rad: 2 degrees, a sweep of 60 degrees a second
 * over a slow read-out. What asks for more does not fit for another reason.
 */
const mostTurn = (2 * Math.PI) / 180;
/**
 * A hand that turns less than the usual one shifts less, too, though not as much less; on a tripod it
 * does neither. The shift's spread goes with the root of the turn's, down to this share. Our own, no
 * source: photos hardly tell the shift itself.
 */
const leastShiftShare = 0.25;

const shiftShare = (turnSd: number): number =>
  Math.min(1, Math.max(leastShiftShare, Math.sqrt(turnSd / usualMotion.turnSd)));

/** One photo's turn, or sway: three numbers. */
const parts = 3;

/** How much a hand moved, from the motions as the last adjustment left them. */
export interface MotionEstimate {
  readonly spread: MotionSpread;
  /** Per photo the factor on that spread: 1, or more where it moved unlike the others. */
  readonly scales: ReadonlyMap<string, number>;
  /** Weighted squares of the motions' priors, and their share of the redundancy. */
  readonly squares: number;
  readonly redundancy: number;
}

/** Which hand a camera is held in. */
export const handOf = ({ hand = "" }: CameraStatement): string => hand;

/** What is stated of every hand, by its word. */
export const statedMotions = ({ cameras }: NetworkProblem): ReadonlyMap<string, MotionSpread> =>
  new Map(
    cameras.flatMap((camera) => (camera.motion ? [[handOf(camera), camera.motion] as const] : [])),
  );

/**
 * One step of the estimate of a hand's turn and sway; null where no photo of it has a motion. Photos
 * hardly tell the shift from where the camera was (its posterior is its prior): it follows the turn.
 * `usual`: what is known of this hand beforehand. Every phone has a spread of its own: what shows in a
 * photo is the hand's turn during the read-out, and read-outs of phones differ threefold.
 */
export const estimateMotion = (
  problem: NetworkProblem,
  { internals, sigma0Squared }: Adjusted,
  usual: MotionSpread = usualMotion,
  hand = "",
): MotionEstimate | null => {
  const { layout, equations } = internals.model;
  const moving = layout.photoBlock.filter((_, i) => {
    const { camera, motion } = layout.photoPlaces[i];
    return motion[0] >= 0 && handOf(problem.cameras[camera]) === hand;
  });
  const stated = statedMotions(problem).get(hand);
  if (moving.length === 0 || !stated) return null;
  const covarianceOf = localCovariance(equations, internals.factorisation);
  const variances = moving.map((block) =>
    covarianceOf({ blocks: [layout.blocks.indexOf(block)], width: block.size }),
  );
  const scales = new Map<string, number>();
  // Where all photos fit badly, so much of a motion is noise.
  const odd = Math.max(1, sigma0Squared || 1) * chiSquareQuantile(1 - oddMotion, parts);
  let [squares, redundancy] = [0, 0];
  const component = (part: 0 | 1 | 2, sd: number, usual: number): number => {
    const values: number[] = [];
    const spreads: number[] = [];
    moving.forEach(({ index, size }, i) => {
      const place = layout.photoPlaces[index].motion[part];
      if (place < 0) return;
      const from = motionSize * index + parts * part;
      const own = [...internals.state.photoMotion.subarray(from, from + parts)];
      const size2 = own.reduce((sum, v) => sum + (v / sd) ** 2, 0);
      const scale = problem.photos[index].motionScale ?? 1;
      const ownVariances = own.map((_, k) => variances[i][(place + k) * (size + 1)]);
      squares += size2 / scale ** 2;
      redundancy += ownVariances.reduce((sum, v) => sum + 1 - v / (scale * sd) ** 2, 0);
      if (size2 > odd) {
        const { key } = layout.problem.photos[index];
        const most = part === 1 ? Number.POSITIVE_INFINITY : Math.max(1, mostTurn / sd);
        const wanted = Math.min(most, Math.sqrt(size2 / parts));
        scales.set(key, Math.max(scales.get(key) ?? 1, wanted));
        return;
      }
      values.push(...own);
      spreads.push(...ownVariances);
    });
    return sd > 0 ? expectedSd(values, spreads, sd, usual) : 0;
  };
  const turnSd = component(0, stated.turnSd, usual.turnSd);
  component(1, stated.shiftSdMm, usual.shiftSdMm);
  const swaySd = component(2, stated.swaySd, usual.swaySd);
  const shiftSdMm = stated.turnSd > 0 ? usual.shiftSdMm * shiftShare(turnSd) : stated.shiftSdMm;
  const spread = { turnSd, shiftSdMm, swaySd };
  return { spread, scales, squares, redundancy };
};

/** The problem with the spread of every hand as estimated. */
export const withMotion = (
  problem: NetworkProblem,
  hands: ReadonlyMap<string, MotionEstimate>,
): NetworkProblem => {
  const scales = new Map([...hands.values()].flatMap((hand) => [...hand.scales]));
  return {
    ...problem,
    cameras: problem.cameras.map((camera) =>
      camera.motion
        ? { ...camera, motion: hands.get(handOf(camera))?.spread ?? camera.motion }
        : camera,
    ),
    photos: problem.photos.map((photo) => ({ ...photo, motionScale: scales.get(photo.key) ?? 1 })),
  };
};

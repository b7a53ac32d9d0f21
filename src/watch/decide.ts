/** Whether the last measurements of one body show a movement, with a stated rate of false alarms. */
import { fisherQuantile } from "../maths/statistics.ts";

/** Own movement of a body in mm: right, down (in the picture) and away from the phone. */
export interface Step {
  readonly at: number;
  readonly mm: readonly [number, number, number];
  /** Variances of one measurement, mm², and of what its neighbours share with it: reference and drift. */
  readonly variance: readonly [number, number, number];
  readonly shared: readonly [number, number, number];
  readonly degrees: number;
}

export interface Limits {
  /** Movements up to these are within what the job allows, mm. */
  readonly sidewaysMm: number;
  readonly depthMm: number;
  readonly falseAlarmsPerHour: number;
}

export interface Found {
  readonly sidewaysMm: number;
  /** Positive: away from the phone. */
  readonly depthMm: number;
  /** Expanded uncertainties, k = 2. */
  readonly sidewaysU: number;
  readonly depthU: number;
  readonly by: "sideways" | "depth";
}

/** How many of the latest measurements are taken together; at least two, so that no single one counts. */
export const windows: readonly number[] = [2, 3, 6];
/** Directions that are tested: sideways and depth. */
const directions = 2;
/**
 * A member of a window further than this from its mean (standard deviations) is a passer-by, unless it is
 * within this share of the movement: video repeats part of its noise from frame to frame, and then the
 * noise that was learned is too small for a movement of many times its size. Our own, no source.
 */
const strayFrom = 4.5;
const strayShare = 0.25;

/**
 * Share of false alarms that one test may have; `bodies` are measured `perHour` times. The windows of one
 * moment count as one test: they share their measurements and what lasts. 100 simulated hours with three
 * tests instead gave a fifth of the false alarms that were allowed (`npm run bench:watch`).
 */
export const levelOf = (limits: Limits, bodies: number, perHour: number): number =>
  limits.falseAlarmsPerHour / (perHour * Math.max(1, bodies) * directions);

/** `steps`: the latest last. Null where nothing significant and larger than allowed is seen. */
export function decide(steps: readonly Step[], limits: Limits, level: number): Found | null {
  for (const length of windows) {
    if (steps.length < length) return null;
    const found = ofWindow(steps.slice(-length), limits, level);
    if (found) return found;
  }
  return null;
}

function ofWindow(steps: readonly Step[], limits: Limits, level: number): Found | null {
  const n = steps.length;
  const mean = axes((k) => steps.reduce((sum, { mm }) => sum + mm[k] / n, 0));
  const one = axes((k) => steps.reduce((sum, { variance }) => sum + variance[k] / n, 0));
  // What lasts is not made smaller by the window; a step that was held by fewer boards has more of it.
  const shared = axes((k) => steps.reduce((sum, step) => sum + step.shared[k] / n, 0));
  const all = axes((k) => one[k] / n + shared[k]);
  const sideways = Math.hypot(mean[0], mean[1]);
  const depth = Math.abs(mean[2]);
  const allowed = axes((k) =>
    Math.max(strayFrom * Math.sqrt(one[k]), strayShare * (k < 2 ? sideways : depth)),
  );
  const steady = steps.every(({ mm }) =>
    mm.every((value, k) => Math.abs(value - mean[k]) < allowed[k]),
  );
  if (!steady) return null;
  const { degrees } = steps[n - 1];
  const sidewaysScore = (mean[0] ** 2 / all[0] + mean[1] ** 2 / all[1]) / 2;
  const depthScore = mean[2] ** 2 / all[2];
  const aside =
    sideways > limits.sidewaysMm && sidewaysScore > fisherQuantile(1 - level, 2, degrees);
  const away = depth > limits.depthMm && depthScore > fisherQuantile(1 - level, 1, degrees);
  if (!aside && !away) return null;
  return {
    sidewaysMm: sideways,
    depthMm: mean[2],
    sidewaysU: 2 * Math.sqrt(Math.max(all[0], all[1])),
    depthU: 2 * Math.sqrt(all[2]),
    by: aside ? "sideways" : "depth",
  };
}

const axes = (of: (k: number) => number): [number, number, number] => [of(0), of(1), of(2)];

/**
 * A bar's inclination from the phone's accelerometer, as an aid: the phone stands with a long edge on
 * the bar, is read, is turned end for end about the vertical, and is read again. What the phone and
 * its case add is the same in both faces and cancels (two-face reversal, common practice in levelling).
 */
import { degrees } from "../maths/pose.ts";

/** Gravity as the phone states it, device axes (W3C Device Orientation: y along the long edge), m/s2. */
export type Gravity = readonly [number, number, number];

export interface FaceReading {
  /** Inclination of the long edge, degrees, positive where the phone's top end is higher. */
  readonly deg: number;
  /** Standard uncertainty from the scatter, degrees. */
  readonly u: number;
}

export type FaceOutcome =
  | { readonly ok: true; readonly reading: FaceReading }
  | { readonly ok: false; readonly reason: "too few" | "shaken" | "not on edge" };

export interface BarLevel {
  /** Positive: the end where the phone's top was in the first face is higher. */
  readonly deg: number;
  readonly mmPerM: number;
  /** Expanded uncertainties, k = 2. */
  readonly degU: number;
  readonly mmPerMU: number;
  /** What phone and case add in every face, degrees. */
  readonly offsetDeg: number;
}

const fewest = 30;
/** Neighbouring samples are not independent: means of this many parts are. */
const parts = 6;
/** Scatter of the parts beyond which the phone was not at rest, degrees. */
const steadiest = 0.1;
/** The long edge within this of level, and the screen upright within it. */
const mostOnEdge = 20;
/** How well the edge sits on the bar each time, degrees, one standard deviation; an assumption. */
const seatDeg = 0.05;
/** Scale and axis errors of a phone's accelerometer, share of the angle; an assumption. */
const scaleShare = 0.01;

export function faceReading(samples: readonly Gravity[]): FaceOutcome {
  if (samples.length < fewest) return { ok: false, reason: "too few" };
  const angles = samples.map(([x, y, z]) => degrees(Math.asin(y / Math.hypot(x, y, z))));
  const tilt = mean(
    samples.map(([x, y, z]) => degrees(Math.asin(Math.abs(z) / Math.hypot(x, y, z)))),
  );
  const deg = mean(angles);
  if (!(Math.abs(deg) < mostOnEdge && tilt < mostOnEdge))
    return { ok: false, reason: "not on edge" };
  const length = Math.floor(angles.length / parts);
  const means = Array.from({ length: parts }, (_, i) =>
    mean(angles.slice(i * length, (i + 1) * length)),
  );
  const scatter = Math.sqrt(means.reduce((sum, m) => sum + (m - deg) ** 2, 0) / (parts - 1));
  if (scatter > steadiest) return { ok: false, reason: "shaken" };
  return { ok: true, reading: { deg, u: scatter / Math.sqrt(parts) } };
}

/** The bar's inclination from both faces; the phone is turned end for end in between. */
export function barLevel(first: FaceReading, second: FaceReading): BarLevel {
  const deg = (first.deg - second.deg) / 2;
  const u = Math.hypot(first.u / 2, second.u / 2, seatDeg / Math.SQRT2, scaleShare * deg);
  const perM = (angle: number): number => 1000 * Math.tan((angle * Math.PI) / 180);
  return {
    deg,
    mmPerM: perM(deg),
    degU: 2 * u,
    mmPerMU: perM(2 * u),
    offsetDeg: (first.deg + second.deg) / 2,
  };
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

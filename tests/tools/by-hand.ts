/**
 * Setting a target with plumb bobs, string and tape, simulated in plan: what the field guide compares
 * with. Every standard deviation is common practice without a source; change one and run again.
 */
import { type Random, random } from "../unit/adjust/bay.ts";

/** Millimetres. */
export const byHand = {
  /** Plumb bob from a hub centre to a mark on the floor, along and across. */
  markSd: 1.5,
  /** String over two marks, where it ends at the target, across. */
  stringSd: 1,
  /** Target's middle set over the string by eye, across. */
  settingSd: 1.5,
  /** One reading of a tape over some metres: sag, parallax, where its hook sits. */
  tapeSd: 2,
  wheelbase: 2700,
  track: 1550,
  /** Target ahead of the front axle, and the bar whose ends the diagonals go to. */
  distance: 2500,
  bar: 1200,
} as const;

export interface HandError {
  readonly aheadMm: number;
  readonly leftMm: number;
  readonly turnDeg: number;
}

/** 95 of 100 errors are smaller than these. */
export function errorsByHand(runs = 100_000, seed = 1): HandError {
  const draw = random(seed);
  const errors = Array.from({ length: runs }, () => oneSetting(draw));
  const p95 = (of: (error: HandError) => number): number =>
    errors.map((error) => Math.abs(of(error))).sort((a, b) => a - b)[Math.ceil(0.95 * runs) - 1];
  return {
    aheadMm: p95(({ aheadMm }) => aheadMm),
    leftMm: p95(({ leftMm }) => leftMm),
    turnDeg: p95(({ turnDeg }) => turnDeg),
  };
}

/** First order in the errors: marks at the four hubs, centreline, distance by tape, equal diagonals. */
function oneSetting(draw: Random): HandError {
  const { markSd, stringSd, settingSd, tapeSd, wheelbase, track, distance, bar } = byHand;
  const mark = () => ({ along: markSd * draw.normal(), across: markSd * draw.normal() });
  const [frontLeft, frontRight, rearLeft, rearRight] = [mark(), mark(), mark(), mark()];
  const front = (frontLeft.across + frontRight.across) / 2;
  const rear = (rearLeft.across + rearRight.across) / 2;
  const centreline = front + ((front - rear) * distance) / wheelbase;
  const leftMm = centreline + stringSd * draw.normal() + settingSd * draw.normal();
  const aheadMm = (frontLeft.along + frontRight.along) / 2 + tapeSd * draw.normal();
  // Each diagonal runs from a front mark to the bar's opposite end; both are read off the tape.
  const across = (track + bar) / 2;
  const [dx, dy] = [distance, across].map((part) => part / Math.hypot(distance, across));
  const longer = (point: { along: number; across: number }, side: 1 | -1) =>
    -point.along * dx + side * point.across * dy;
  const difference =
    longer(frontLeft, 1) -
    longer(frontRight, -1) +
    // The bar's middle stands off the centreline: one diagonal grows, the other shrinks.
    -2 * leftMm * dy +
    tapeSd * Math.SQRT2 * draw.normal();
  const turnDeg = ((difference / (bar * dx)) * 180) / Math.PI;
  return { aheadMm, leftMm, turnDeg };
}
